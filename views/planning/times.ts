export * from '../shared/times.ts'
