import { answer } from '../forecast/answer.ts'
import { forecaster, type Forecaster } from './forecaster.ts'

/** In this very thread: for tests, and for telling a past. */
export const forecastHere: Forecaster = forecaster(async (_planId, job) => answer(job))
