package main

import (
	"fmt"
	"math/rand/v2"

	"ebbline/jobs"
)

// demoSurvey draws a site as a survey would find it, in the import's form: a
// row for each value. way is how the pool becomes low, as the job has it.
type demoSurvey struct {
	table demoTable
	key   string
	by    string
	rng   *rand.Rand
}

// demoSite is what the story asks of a site.
type demoSite struct {
	key, way, size string
	by             string
	digs           bool // soil will be opened: no base stands yet
	lasts          bool // tile, which may stand low over a weekend
	small          bool // done within the days that its story gives it
}

var demoWays = map[jobs.WayLow]string{
	jobs.LowCrewPump: jobs.LowByCrewPump, jobs.LowOwnOutlet: jobs.LowByOutlet, jobs.LowCustomer: jobs.LowByCustomer,
	jobs.LowArrival: jobs.LowOnArrival, jobs.LowOthers: jobs.LowByOthers,
}

func surveyOf(in demoSite, rng *rand.Rand) demoTable {
	s := &demoSurvey{key: in.key, by: in.by, rng: rng}
	for _, c := range jobs.Columns(jobs.ImportSurvey) {
		s.table.columns = append(s.table.columns, c.Name)
	}
	s.site(in)
	lights := s.pool(in)
	s.lights(in, lights)
	s.ways(in)
	return s.table
}

// put writes a value; known is told, read, wet or dry.
func (s *demoSurvey) put(subject, kind, field, text, unit, known string) {
	full := map[string]string{"wet": "measured_wet", "dry": "measured_dry"}
	if long, ok := full[known]; ok {
		known = long
	}
	s.table.add("job_key", s.key, "subject", subject, "subject_kind", kind, "field", field, "text", text, "unit", unit, "known", known, "by", s.by)
}

// named gives a subject its name and what it hangs on.
func (s *demoSurvey) named(subject, kind, name, of, ends string) {
	s.table.add("job_key", s.key, "subject", subject, "subject_kind", kind, "subject_name", name, "of", of, "ends", ends)
}

func (s *demoSurvey) one(of ...string) string { return of[s.rng.IntN(len(of))] }

func (s *demoSurvey) between(low, high int) string { return fmt.Sprint(low + s.rng.IntN(high-low+1)) }

func (s *demoSurvey) site(in demoSite) {
	s.put("site", "site", "fenced", "yes", "", "wet")
	s.put("site", "site", "rain_season", "no", "", "told")
	digs := "no"
	if in.digs {
		digs = "yes"
	}
	s.put("site", "site", "soil_opened", digs, "", "wet")
	s.put("site", "site", "parking", s.one("In the drive", "On the street, left side", "Behind the house by the alley"), "", "told")
}

// pool draws the water and answers how many lights it has.
func (s *demoSurvey) pool(in demoSite) int {
	s.named("pool", "body", "Pool", "", "")
	length, width, lights := 24+s.rng.IntN(9), 12+s.rng.IntN(5), 1+s.rng.IntN(3)
	if in.small {
		length, width, lights = 24+s.rng.IntN(4), 12+s.rng.IntN(2), 1+s.rng.IntN(2)
	}
	if in.size == "large" {
		length, width, lights = 42, 20, 4
	}
	shape := s.one("rectangle", "rectangle", "oval")
	finish := s.one("plaster", "plaster", "aggregate", "tile")
	if in.lasts {
		finish = "tile"
	}
	for _, v := range [][4]string{
		{"use", "pool", "", "wet"}, {"shape", shape, "", "wet"}, {"length", fmt.Sprint(length), "ft", "wet"}, {"width", fmt.Sprint(width), "ft", "wet"},
		{"depth_shallow", "3' 6\"", "", "wet"}, {"depth_deep", s.between(6, 8), "ft", "read"}, {"finish", finish, "", "wet"},
		{"level", s.between(1, 3), "in", "wet"}, {"ground_water", s.between(60, 140), "ft", "read"}, {"salt", s.one("no", "yes"), "", "wet"},
		{"becomes_low", demoWays[jobs.WayLow(in.way)], "", "told"}, {"filler", s.one("yes", "no"), "", "wet"}, {"lights", fmt.Sprint(lights), "", "wet"},
	} {
		s.put("pool", "body", v[0], v[1], v[2], v[3])
	}
	s.put("pool", "body", "filler_valve", s.one("Under the lid beside the skimmer", "Behind the pump, red handle", "Planter at the steps"), "", "wet")
	switch jobs.WayLow(in.way) {
	case jobs.LowOwnOutlet:
		s.put("pool", "body", "outlet_rate", s.between(28, 34), "gpm", "wet")
	case jobs.LowCustomer, jobs.LowOthers:
		s.put("pool", "body", "read_rate", s.between(14, 20), "gpm", "wet")
	case jobs.LowArrival:
		s.put("pool", "body", "read_rate", s.between(45, 55), "gpm", "wet")
	}
	return lights
}

func (s *demoSurvey) lights(in demoSite, n int) {
	depth := 15 + s.rng.IntN(6)
	if in.way == string(jobs.LowArrival) {
		depth = 9 // a shallow shelf: low within a visit
	}
	for i := range n {
		id := fmt.Sprintf("light-%d", i+1)
		s.named(id, "position", fmt.Sprintf("Light %d, %s", i+1, []string{"deep end", "steps", "shallow end", "bench"}[i]), "pool", "")
		for _, v := range [][4]string{
			{"depth", fmt.Sprint(depth), "in", "wet"}, {"fitting_size", "3 1/2", "in", "wet"}, {"fitting_thread", "threaded_1_1/2", "", "wet"},
			{"fitting_inside", "1.61", "in", "wet"}, {"elbow_depth", "6", "in", "wet"}, {"now", s.one("fibre_lens", "fibre_lens", "broken_lens"), "", "wet"},
		} {
			s.put(id, "position", v[0], v[1], v[2], v[3])
		}
	}
	s.supply(in)
	for i := range n {
		id := fmt.Sprintf("run-%d", i+1)
		s.named(id, "conduit", fmt.Sprintf("Conduit %d", i+1), "", fmt.Sprintf("light-%d;supply", i+1))
		for _, v := range [][4]string{
			{"length", s.between(28, 74), "ft", s.one("wet", "read")}, {"material", "pvc_40", "", "read"}, {"size_supply", "1", "", "wet"},
			{"size_water", "1", "", "read"}, {"bend_total", s.one("180", "180", "270"), "°", "read"}, {"tug", s.one("moves", "moves", "moves", "moves_hard"), "", "wet"},
		} {
			s.put(id, "conduit", v[0], v[1], v[2], v[3])
		}
	}
}

func (s *demoSurvey) supply(in demoSite) {
	s.named("supply", "supply", "Supply by the equipment", "", "")
	base, protection := "dry", "breaker"
	if in.digs {
		base = "none"
	}
	if in.size == "circuit" {
		protection = "none"
	}
	for _, v := range [][4]string{
		{"distance", s.between(8, 22), "ft", "wet"}, {"height_deck", "14", "in", "wet"}, {"height_water", "18", "in", "wet"}, {"base", base, "", "wet"},
		{"circuit_breaker", s.one("15", "20"), "A", "read"}, {"circuit_voltage", "120", "V", "read"}, {"circuit_other", "2", "A", "read"},
		{"circuit_what", s.one("Landscape lights", "Outlet at the patio", "Nothing else"), "", "told"}, {"voltage_box", s.one("118.9", "119.4", "121.2"), "V", "wet"},
		{"switched", s.one("timer", "relay", "wall"), "", "wet"}, {"protection", protection, "", "read"}, {"bonding", "yes", "", "wet"},
		{"pump_outlet", "yes", "", "wet"}, {"outlet_distance", s.between(15, 40), "ft", "wet"},
		{"breaker_place", "Panel at the garage, number " + s.between(4, 22), "", "read"},
	} {
		s.put("supply", "supply", v[0], v[1], v[2], v[3])
	}
}

// ways draws the old light source, the equipment and where the water goes and
// comes from.
func (s *demoSurvey) ways(in demoSite) {
	rows := []struct {
		subject, kind, name string
		values              [][4]string
	}{
		{"old", "illuminator", "Old illuminator", [][4]string{{"lamp", s.one("halide", "halogen"), "", "read"}, {"watts", s.one("150", "250"), "W", "read"}, {"count", "1", "", "wet"},
			{"hours_night", s.between(3, 6), "h", "told"}, {"nights_year", "300", "", "told"}}},
		{"pad", "equipment", "Equipment pad", [][4]string{{"pump_control", s.one("timer", "controller"), "", "wet"}, {"freeze_protection", s.one("yes", "no"), "", "read"},
			{"heater", s.one("gas", "none", "heat_pump"), "", "wet"}, {"cell", s.one("yes", "no"), "", "wet"}, {"valves", "Skimmer open, main drain half, returns open", "", "wet"}}},
		{"out", "discharge", "Clean-out by the side gate", [][4]string{{"where", "sewer_cleanout", "", "wet"}, {"found", "yes", "", "wet"}, {"reachable", "yes", "", "wet"},
			{"rate_limit", s.one("25", "30"), "gpm", "read"}, {"permission", "not_needed", "", "read"}, {"hold", "0", "d", "read"}, {"neutraliser", "yes", "", "read"},
			{"rise", "3", "ft", "wet"}, {"hose_length", "50", "ft", "wet"}, {"hose_inside", "1 1/2", "in", "read"}}},
		{"in", "refill", "Hose bib by the patio", [][4]string{{"source", "hose", "", "wet"}, {"flow", s.between(9, 13), "gpm", "wet"}, {"opens", "crew", "", "told"},
			{"closes", "customer", "", "told"}, {"stops_itself", "no", "", "told"}}},
	}
	if in.way == string(jobs.LowArrival) {
		rows[2].values[3][1] = "60" // a landscape drain that takes a strong pump
	}
	for _, r := range rows {
		of := ""
		if r.kind == "illuminator" {
			of = "supply"
		}
		s.named(r.subject, r.kind, r.name, of, "")
		for _, v := range r.values {
			s.put(r.subject, r.kind, v[0], v[1], v[2], v[3])
		}
	}
}
