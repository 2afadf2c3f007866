export { loadPeople, memberNames, type PersonRow } from './queries/people.ts'
