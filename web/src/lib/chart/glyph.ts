// A small mark for each kind of visit, drawn from the pool and the water in a 14 by 14 box, stroked in the
// colour of the text. A mark never stands alone: its words are in the box, under it, or in the reading line.

const wave = (y: number): string => `M1,${y}q1.5,-2 3,0t3,0t3,0t3,0`

const marks: Record<string, string> = {
  survey: 'M2,10.5l8.5,-8.5l2,2l-8.5,8.5z M5,7.5l1.4,1.4 M7.2,5.3l1.4,1.4',
  prepare: 'M3,12v-6h8v6 M5,6v-3h4v3 M1,12h12',
  circuit: 'M1,7h3l1.5,-4l3,8l1.5,-4h3',
  drain: wave(4) + ' M7,6v7 M4.5,10.5l2.5,2.5l2.5,-2.5',
  convert: 'M7,4a3,3 0 1 0 0.01,0 M7,1v1 M12,7h1 M1,7h1 M3,3l.8,.8 M11,3l-.8,.8 M4,13h6',
  connect: 'M1,7h4 M9,7h4 M5,4v6 M9,4v6',
  inspect: 'M1,7q6,-7 12,0q-6,7 -12,0 M7,5.5a1.5,1.5 0 1 0 0.01,0',
  commission: wave(9.5) + ' M7,1.5a2.2,2.2 0 1 0 0.01,0 M1,12.5h12',
  collect: 'M7,7m-5,0a5,5 0 1 1 10,0a3,3 0 1 1 -6,0a1.2,1.2 0 1 1 2.4,0',

  call_back: 'M11,11a5,5 0 1 0 -8,-1 M3,13v-3.4h3.4',
}

/** The path of a kind's mark; a plain drop for kinds the office has added. */
export function mark(kind: string): string {
  return marks[kind] ?? 'M7,2q4,5 4,7a4,4 0 1 1 -8,0q0,-2 4,-7'
}
