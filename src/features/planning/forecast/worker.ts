import { parentPort } from 'node:worker_threads'
import { answer, type AnyJob } from './answer.ts'

parentPort?.on('message', (job: AnyJob) => parentPort?.postMessage(answer(job)))
