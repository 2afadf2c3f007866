export const KIND_WORDS: Record<string, string> = { epoxy: 'Epoxy', glue: 'Glue', fairing: 'Fairing compound', primer: 'Primer', paint: 'Paint', varnish: 'Varnish' }

/** "45 min", "3 h", "1 h 15", "2 d 4 h". */
export function lagWords(min: number | null, none = '–'): string {
  if (min === null) return none
  if (min < 60) return `${min} min`
  if (min < 2880) {
    const rest = min % 60
    return rest === 0 ? `${min / 60} h` : `${Math.floor(min / 60)} h ${String(rest).padStart(2, '0')}`
  }
  const days = Math.floor(min / 1440)
  const hours = Math.round((min - days * 1440) / 60)
  return hours === 0 ? `${days} d` : hours === 24 ? `${days + 1} d` : `${days} d ${hours} h`
}
