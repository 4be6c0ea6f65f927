// A small invented contractor as CSV files, taken in through the Enquiry page: four people, two crews, three pumps.

export const people = `key,name,skills
ines,Ines Calder,survey;pull;licensed;water;dig
paul,Paul Dunn,survey;pull;water;dig
tam,Tam Ferris,survey;pull;water
odile,Odile Marsh,survey;pull;water
`

export const crews = `name,home,home_street,home_lat,home_lon,place,pump_berths,people,shifts,overtime_minutes
Crew Alder,Yard,1 Depot Rd,33.4000,-112.0000,1,2,ines;paul,mon-sat 07:00-17:00,120
Crew Brook,Yard,1 Depot Rd,33.4000,-112.0000,2,2,tam;odile,mon-sat 07:00-17:00,120
`

export const pumps = `name,home,flow,flow_unit
Pump 1,Yard,40,gpm
Pump 2,Yard,40,gpm
Pump 3,Yard,40,gpm
`

/** Takes a file in by the form at the foot of the Enquiry page; gives what the page says of it. */
export async function takeIn(page, kind, text) {
  await page.goto('/enquiry')
  await page.getByText('Take in a file, or take out', { exact: true }).click()
  await page.getByLabel('What is in it').selectOption(kind)
  await page.getByLabel('Choose a file').setInputFiles({ name: `${kind}.csv`, mimeType: 'text/csv', buffer: Buffer.from(text) })
  await page.getByRole('button', { name: 'Take in', exact: true }).click()
  const said = page.getByText(`${kind}.csv:`)
  await said.waitFor()
  return said.innerText()
}
