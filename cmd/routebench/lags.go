package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"ebbline/dispatch/week"
)

// lagSet is a published set of visits to people at home: one or two workers each, who
// work together or with a least and a greatest lag from start to start. Times are
// distances; row 0 of the distances is the office, then the patients in order.
type lagSet struct {
	Patients []struct {
		ID       string     `json:"id"`
		Window   [2]float64 `json:"time_window"`
		Services []struct {
			Service  string  `json:"service"`
			Duration float64 `json:"duration"`
		} `json:"required_caregivers"`
		Together *struct {
			Type string     `json:"type"`     // simultaneous or sequential
			Lag  [2]float64 `json:"distance"` // of the sequential ones
		} `json:"synchronization"`
	} `json:"patients"`
	Services []struct {
		ID string `json:"id"`
	} `json:"services"`
	Workers []struct {
		ID     string   `json:"id"`
		Skills []string `json:"abilities"`
	} `json:"caregivers"`
	Distances [][]float64 `json:"distances"`

	name string
}

// lagVisit is one visit of an answer, in the order in which its worker makes them.
type lagVisit struct {
	patient, service int // both by number; service 1 is the patient's second
	start            float64
}

func readLags(file string) (lagSet, error) {
	if filepath.Ext(file) == "" && !exists(file) {
		file = filepath.Join(dataFolder(), "lags", file+".json")
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return lagSet{}, err
	}
	set := lagSet{name: strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))}
	if err := json.Unmarshal(data, &set); err != nil {
		return lagSet{}, fmt.Errorf("%s: %w", file, err)
	}
	n := len(set.Patients) + 1
	if n < 2 || len(set.Workers) == 0 || len(set.Distances) != n {
		return lagSet{}, fmt.Errorf("%s: %d patients, %d workers, %d rows of distances; a row each for the office and the patients is asked", file, n-1, len(set.Workers), len(set.Distances))
	}
	for i, row := range set.Distances {
		if len(row) != n {
			return lagSet{}, fmt.Errorf("%s: row %d of the distances has %d numbers, %d asked", file, i, len(row), n)
		}
	}
	for _, p := range set.Patients {
		two := len(p.Services) == 2 && p.Together != nil && (p.Together.Type == "simultaneous" || p.Together.Type == "sequential")
		if !two && (len(p.Services) != 1 || p.Together != nil) {
			return lagSet{}, fmt.Errorf("%s: patient %s: one service, or two that are simultaneous or sequential, asked", file, p.ID)
		}
	}
	return set, nil
}

// milli is a length of the set in thousandths: the sets have three decimals.
func milli(x float64) int64 { return int64(math.Round(x * 1000)) }

// lagWeek writes a set as a week: a worker is a crew with one tour, a patient a job of
// one or two visits with a link, a thousandth of a unit a second and a metre. A window's
// begin is hard, its end is promised. A metre costs a tenth of a cent, and so does a
// second of lateness, and of the largest lateness. A week does not ask that two visits
// have two workers; in the published sets nobody can do both of one patient, and the
// check refuses it.
func lagWeek(set lagSet) *week.Week {
	const days = 14
	w := &week.Week{Version: week.Version, Zone: "Etc/UTC", End: days * 86400, NextWorkday: week.NextWorkday{Day: days, End: (days + 1) * 86400},
		Kinds: []week.Name{{ID: "visit"}}, Rates: week.Rates{LeftOutPermille: 1000, PromiseLateCents: 360, PromiseWorstCents: 360}}
	for d := range int64(days) {
		w.Days = append(w.Days, week.Day{Date: fmt.Sprintf("2026-03-%02d", 9+d), Start: d * 86400})
	}
	for _, s := range set.Services {
		w.Skills = append(w.Skills, week.Name{ID: s.ID})
	}
	for i, row := range set.Distances {
		w.Places = append(w.Places, week.Place{ID: fmt.Sprint("place", i)})
		var m []int64
		for _, d := range row {
			m = append(m, milli(d))
		}
		w.Travel.Metres, w.Travel.Seconds = append(w.Travel.Metres, m), append(w.Travel.Seconds, m)
	}
	for _, c := range set.Workers {
		w.Crews = append(w.Crews, week.Name{ID: c.ID})
		w.Tours = append(w.Tours, week.Tour{ID: c.ID, Crew: c.ID, Start: "place0", End: "place0", ShiftTo: 2 * w.End, OvertimeTo: 2 * w.End,
			Skills: c.Skills, People: 1, CostPerKm: 100})
	}
	for i, p := range set.Patients {
		j := week.Job{ID: p.ID, Value: 100_000_000}
		for k, s := range p.Services {
			v := week.Visit{ID: fmt.Sprintf("%d.%d", i, k), Kind: "visit", Place: fmt.Sprint("place", i+1), Seconds: milli(s.Duration), People: 1,
				Skills: []string{s.Service}, Water: week.NeedNothing, Allowed: []week.Span{{From: milli(p.Window[0]), To: w.End}}}
			j.Visits = append(j.Visits, v)
			w.Promises = append(w.Promises, week.Promise{ID: v.ID, Visit: v.ID, From: milli(p.Window[0]), To: milli(p.Window[1])})
		}
		if t := p.Together; t != nil {
			lo, hi := int64(0), int64(0)
			if t.Type == "sequential" {
				lo, hi = milli(t.Lag[0]), milli(t.Lag[1])
			}
			j.Links = []week.Link{{From: j.Visits[0].ID, To: j.Visits[1].ID, Lo: &lo, Hi: &hi}}
		}
		w.Jobs = append(w.Jobs, j)
	}
	return w
}

// lags solves a set through the week engine, checks the answer by the set's own numbers,
// and only then reads the best known value.
func (b bench) lags(ctx context.Context, file string) (result, error) {
	if b.mirror || b.renumber {
		return result{}, fmt.Errorf("-mirror and -renumber are for time-window sets")
	}
	set, err := readLags(file)
	if err != nil {
		return result{}, err
	}
	p, r, err := b.solveWeek(ctx, lagWeek(set))
	if err != nil {
		return result{}, err
	}
	r.Instance = strings.TrimPrefix(set.name, "InstanzCPLEX_")
	routes, err := lagRoutes(set, p)
	if err != nil {
		return result{}, err
	}
	if r.Cost, err = set.check(routes); err != nil {
		return result{}, err
	}
	if b.write != "" {
		if err := set.write(b.write, routes); err != nil {
			return result{}, err
		}
	}
	if r.BestKnown, err = bestLags(set.name); err != nil {
		return result{}, err
	}
	r.GapPercent = 100 * (r.Cost/r.BestKnown - 1)
	return r, nil
}

// lagRoutes reads who visits whom, and when, out of a plan.
func lagRoutes(set lagSet, p *week.Plan) ([][]lagVisit, error) {
	routes := make([][]lagVisit, len(set.Workers))
	for _, t := range p.Tours {
		for c := range set.Workers {
			if set.Workers[c].ID != t.Tour {
				continue
			}
			for _, s := range t.Stops {
				v := lagVisit{start: float64(s.Start) / 1000}
				if _, err := fmt.Sscanf(s.Visit, "%d.%d", &v.patient, &v.service); err != nil {
					return nil, fmt.Errorf("visit %q: %w", s.Visit, err)
				}
				routes[c] = append(routes[c], v)
			}
		}
	}
	return routes, nil
}

// write writes an answer for a checker outside: worker, patient, service and start of
// each visit, in the worker's order.
func (set lagSet) write(dir string, routes [][]lagVisit) error {
	var text strings.Builder
	for c, route := range routes {
		for _, v := range route {
			fmt.Fprintf(&text, "%s %s %s %.3f\n", set.Workers[c].ID, set.Patients[v.patient].ID, set.Patients[v.patient].Services[v.service].Service, v.start)
		}
	}
	return os.WriteFile(filepath.Join(dir, set.name+".sol"), []byte(text.String()), 0o644)
}

// bestLags reads the published best value of a set.
func bestLags(name string) (float64, error) {
	f, err := os.Open(filepath.Join(dataFolder(), "lags", "best-known.csv"))
	if err != nil {
		return 0, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return 0, err
	}
	for _, row := range rows {
		if row[0] == name {
			return strconv.ParseFloat(row[1], 64)
		}
	}
	return 0, fmt.Errorf("no best known value of %s", name)
}
