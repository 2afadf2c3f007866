import type { Tried } from '../../src/features/planning/forecast/compute.ts'
import type { ForecastPageModel } from '../../src/features/planning/forecast/queries/page.ts'
import type { TryInput } from '../../src/features/planning/forecast/schemas.ts'
import type { FormRefusal, Typed } from '../shared/index.ts'

export type ForecastPageProps = ForecastPageModel & { tried?: { input: TryInput; result: Tried }; refusal?: FormRefusal; typed?: Typed }
