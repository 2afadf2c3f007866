import { z } from 'zod'
import { checkbox, maybeDate, shortText, version } from '../../../platform/form-fields.ts'

const fields = { untilOn: maybeDate('Last day'), money: checkbox, names: checkbox, photos: checkbox, snags: checkbox, log: checkbox }

const parts = ({ untilOn, ...shows }: z.output<z.ZodObject<typeof fields>>) => ({ untilOn, shows })

export const NewLinkForm = z.object({ label: shortText('For whom', 80), ...fields }).transform(({ label, ...rest }) => ({ label, ...parts(rest) }))
export type NewLink = z.output<typeof NewLinkForm>

export const ChangeLinkForm = z.object({ version, ...fields }).transform(({ version: v, ...rest }) => ({ version: v, ...parts(rest) }))
export type ChangeLink = z.output<typeof ChangeLinkForm>
