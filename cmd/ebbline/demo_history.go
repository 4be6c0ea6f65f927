package main

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"ebbline/jobs"
)

// history brings in six weeks of finished work, three pools a week, by the file
// form for work from before the program.
func (f *demoFill) history() error {
	pools, err := demoFile("finished.csv")
	if err != nil {
		return err
	}
	var t demoTable
	for _, c := range jobs.Columns(jobs.ImportHistory) {
		t.columns = append(t.columns, c.Name)
	}
	crews := []string{"Lamp crew", "Ebb crew", "Dusk crew"}
	for i, row := range pools.rows {
		lights, err := strconv.Atoi(pools.cell(row, "lights"))
		if err != nil {
			return err
		}
		// The first pool's conversion lies about six weeks back, the last one's
		// just before the week that was planned here.
		back := 38 - i*29/17
		place := []string{"value", fmt.Sprintf("%d.00", 1650+950*lights+f.rng.IntN(300)), "outcome", "done"}
		for _, name := range []string{"key", "customer_name", "street", "city", "region", "postcode", "lat", "lon"} {
			place = append(place, name, pools.cell(row, name))
		}
		crew := crews[i%3]
		f.finished(&t, place, "drain", f.days.back(back), 8, 35, 29, crew)
		f.finished(&t, slices.Concat(place, []string{"lights", strconv.Itoa(lights)}), "convert", f.days.back(back-1), 8, 75+70*lights, 60+62*lights, crew)
		f.finished(&t, place, "connect", f.days.back(back-1), 14, 85, 75, "Lamp crew")
		f.finished(&t, place, "commission", f.days.back(back-3), 10, 60, 50, crew)
		if i%7 == 3 { // nobody was at home, the gate was shut
			t.add(slices.Concat(place, []string{"visit", "drain", "day", string(f.days.back(back + 1)), "start", "08:10", "end", "08:25", "crew", crew,
				"planned_minutes", "35", "median_minutes", "29", "outcome", "wasted", "reason", "gate locked, nobody answered"})...)
		}
	}
	return f.takeIn(jobs.ImportHistory, "history.csv", t)
}

// finished adds a visit; it took about as long as its median, now and then much
// longer. Most promised windows were kept.
func (f *demoFill) finished(t *demoTable, place []string, visit string, day jobs.Day, hour, planned, median int, crew string) {
	took := median * (85 + f.rng.IntN(45)) / 100
	if f.rng.IntN(9) == 0 {
		took = took * 3 / 2
	}
	begin := f.days.at(day, hour, f.rng.IntN(40))
	from := f.days.at(day, hour, 0)
	to := from.Add(time.Hour)
	if f.rng.IntN(12) == 0 {
		begin = to.Add(20 * time.Minute) // a promise that was not kept
	}
	end := begin.Add(time.Duration(took) * time.Minute)
	t.add(slices.Concat(place, []string{"visit", visit, "day", string(day), "start", clockText(begin), "end", clockText(end), "crew", crew,
		"planned_minutes", strconv.Itoa(planned), "median_minutes", strconv.Itoa(median),
		"promised_from", clockText(from), "promised_to", clockText(to)})...)
}
