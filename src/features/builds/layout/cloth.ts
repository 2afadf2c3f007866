import { CLOTH_END_MM, CLOTH_LAP_MM, clothOnRoll } from '../../../core/estimate/panels.ts'
import type { Panel, Surface } from '../../../core/estimate/types.ts'
import type { ClothLayout, RollSource } from './types.ts'

/** Of a roll that nobody has named: 50 inches. */
const USUAL_ROLL_MM = 1270

const clothMaterial = (arealMass: number): string => `Glass cloth ${arealMass} g/m²`

/** Lengths to cut for each face that gets glass: by the panels of the same name, else by its area. */
export function clothsOf(surfaces: readonly Surface[], panels: readonly Panel[], rolls: ReadonlyMap<string, RollSource>): ClothLayout[] {
  return surfaces.flatMap(({ key, name, areaM2, cloth }) => {
    if (cloth === null || !(areaM2.value > 0) || cloth.layers === 0) return []
    const material = clothMaterial(cloth.arealMass)
    const roll = rolls.get(material) ?? { widthMm: USUAL_ROLL_MM, item: null }
    const face = faceOf(key, panels)
    const { best, other } = face === null ? { best: null, other: null } : clothOnRoll(face, { widthMm: roll.widthMm, lapMm: cloth.lap?.widthMm.value ?? CLOTH_LAP_MM, endMm: CLOTH_END_MM })
    const lapM2 = cloth.lap ? (cloth.lap.widthMm.value * cloth.lap.alongM.value) / 1000 : 0
    const oneMm = best?.totalMm ?? ((areaM2.value + lapM2) * (1 + cloth.trimShare.likely) * 1e6) / roll.widthMm
    return [{ surfaceKey: key, name, material, arealMass: cloth.arealMass, layers: cloth.layers, roll, face, cut: best, other, totalMm: oneMm * cloth.layers }]
  })
}

/** Equal panels lie side by side: a bottom in two halves is as long as one and as wide as both. 'inside-bottom' lies on the bottom, too. */
function faceOf(key: string, panels: readonly Panel[]): ClothLayout['face'] {
  const panel = panels.find((p) => p.key === key) ?? panels.find((p) => key.endsWith(`-${p.key}`))
  return panel === undefined || panel.count === 0 ? null : { lengthMm: panel.lengthMm.value, girthMm: panel.widthMm.value * panel.count }
}
