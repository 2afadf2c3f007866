import { parentPort } from 'node:worker_threads'
import { solveNow, type Job } from './solve.ts'

parentPort?.on('message', (job: Job) => parentPort?.postMessage(solveNow(job)))
