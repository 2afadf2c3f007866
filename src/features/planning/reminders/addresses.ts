export const stopAddress = (publicUrl: string, stopKey: string): string => `${publicUrl}/reminders/stop/${stopKey}`
export const ownAddress = (publicUrl: string): string => `${publicUrl}/me/reminders`
