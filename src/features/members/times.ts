/** A date column as 'YYYY-MM-DD'. */
export const isoDate = (day: Date): string => day.toISOString().slice(0, 10)
/** 'YYYY-MM-DD' as a date column takes it. */
export const dateColumn = (iso: string): Date => new Date(`${iso}T00:00:00Z`)
