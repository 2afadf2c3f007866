export { addMember, addWalkIn, emailIsFree } from './commands/members.ts'
export { loadPeople, memberNames, type PersonRow } from './queries/people.ts'
