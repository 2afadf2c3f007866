import type { CureProduct } from '../../../core/cure/types.ts'
import { celsius, minutes, type Minutes } from '../../../core/units/index.ts'
import type { Prisma } from '../../../platform/generated/client.ts'

export type CureProductRow = Prisma.CureProductGetPayload<object>

/** A cure product as core's cure clock takes it. */
export type NamedCureProduct = CureProduct & { readonly name: string }

/** The figures that the cure clock needs: a stored row, or one that is just being typed. */
export type CureFigures = Pick<
  CureProductRow,
  | 'name' | 'referenceTemp' | 'workableMin' | 'dustFreeMin' | 'opensMin' | 'closesMin' | 'closesCapMin' | 'sandableMin' | 'handleableMin' | 'fullCureMin'
  | 'filmEnergyLow' | 'filmEnergyHigh' | 'potEnergy' | 'cureFloor' | 'minAir' | 'maxAir' | 'maxHumidity' | 'dewPointMargin' | 'dustSensitive'
>

const min = (n: number | null): Minutes | null => (n === null ? null : minutes(n))

export function toCore(row: CureFigures & { id: string }): NamedCureProduct {
  return {
    id: row.id,
    name: row.name,
    referenceTemp: celsius(row.referenceTemp),
    stages: {
      workable: min(row.workableMin),
      dustFree: min(row.dustFreeMin),
      opens: min(row.opensMin),
      closes: min(row.closesMin),
      sandable: min(row.sandableMin),
      handleable: min(row.handleableMin),
      fullCure: min(row.fullCureMin),
    },
    filmEnergyLow: row.filmEnergyLow,
    filmEnergyHigh: row.filmEnergyHigh,
    potEnergy: row.potEnergy,
    closesCap: min(row.closesCapMin),
    cureFloor: celsius(row.cureFloor),
    gate: {
      minAir: row.minAir === null ? null : celsius(row.minAir),
      maxAir: row.maxAir === null ? null : celsius(row.maxAir),
      maxHumidity: row.maxHumidity,
      dewPointMargin: row.dewPointMargin,
    },
    dustSensitive: row.dustSensitive,
  }
}
