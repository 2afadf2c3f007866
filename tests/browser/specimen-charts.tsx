import { LineChart, WeekChart } from '../../views/shared/index.ts'

export function SpecimenCharts() {
  return (
    <>
      <WeekChart
        caption="The coming sessions"
        says="Nightjar has work in the next three sessions; her window on Sunday opens while nobody is here and is met at 10:00."
        columns={[
          { id: '1', heading: 'Sat 30 May', href: '/sessions/1', note: '10:00–17:00, 6 come' },
          { id: '2', heading: 'Sun 31 May', href: '/sessions/2', note: '10:00–14:00, 3 come' },
          { id: '3', heading: 'Tue 2 Jun', href: '/sessions/3', note: '18:00–21:00, 4 come' },
          { id: '4', heading: 'week 24', note: 'projected' },
        ]}
        rows={[
          {
            id: 'n',
            name: 'Nightjar',
            href: '/builds/n',
            note: 'launch Sat 12 Sep',
            cells: [
              [
                { id: 'a', time: '10:00–12:30', text: 'Sheathe bottom, port', href: '/builds/n/tasks/a', state: 'under-way', note: 'Ann, Ben' },
                { id: 'b', time: '13:30–15:10', text: 'First fill coat', state: 'waiting' },
              ],
              [{ id: 'c', time: '10:00–11:00', text: 'Second fill coat', state: 'waiting', note: 'the window opens 02:30 and nobody is here at night' }],
              [],
              [{ id: 'd', text: 'Fair the bottom' }],
            ],
            between: [
              [{ id: 'w', state: 'open', coat: 'First fill coat', text: 'opens 02:30, shuts Sun 14:00' }],
              [{ id: 'x', state: 'curing', coat: 'Second fill coat', text: 'sandable Mon 09:00' }],
              [],
            ],
          },
          {
            id: 'g',
            name: 'Greylag',
            cells: [[{ id: 'e', time: '10:00–12:00', text: 'Fillets inside', state: 'ready' }], [], [{ id: 'f', time: '18:00–20:00', text: 'Tape inside seams', state: 'waiting' }], []],
            between: [[], [{ id: 'y', state: 'missed', coat: 'Fillets', text: 'let go: wash and sand first' }], []],
          },
        ]}
      />
      <LineChart
        caption="Hours on Nightjar by week"
        says="The team logged about 14 of 16 planned hours a week; from week 22 on the plan asks for 18."
        unit="h"
        xHeading="Week"
        x={['week 18', 'week 19', 'week 20', 'week 21', 'week 22', 'week 23', 'week 24']}
        nowAt={4}
        series={[
          { name: 'Planned', values: [16, 16, 14, 16, 18, 18, 18] },
          { name: 'Logged', values: [12, 15.5, 14, 13, 4, null, null] },
          { name: 'Available', values: [20, 22, 20, 24, 24, 22, 26] },
        ]}
      />
    </>
  )
}
