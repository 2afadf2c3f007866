/** What a schedule does about each window link: choose as it goes, meet it, or miss it on purpose. */
export const CHOOSE = 0
export const MEET = 1
export const MISS = 2
