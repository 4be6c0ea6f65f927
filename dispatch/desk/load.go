package desk

import (
	"cmp"
	"fmt"
	"slices"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// setsOf is the light-and-cord sets that a job's positions still wait for, in
// the length classes of its estimate.
func setsOf(e estimate.Estimate, parts []jobs.JobPart) []estimate.SetUse {
	var uses []estimate.SetUse
	for _, p := range parts {
		for _, c := range e.Cords {
			if p.State.Open() && !p.Surplus && p.SubjectID != "" && c.Position == p.SubjectID && c.Order.Known && c.Light != "" {
				uses = append(uses, estimate.SetUse{Light: c.Light, Length: c.Order.Value})
			}
		}
	}
	return uses
}

// loadOf is what goes on the truck in the morning: pumps, the parts of the
// day's stops, a spare of each length class, the tools. What the jobs no longer
// ask for stays in the yard; what is not there yet says so.
func loadOf(tx *store.Tx, t Today) ([]string, error) {
	load := []string{}
	if n := t.Tour.MorningPumps; n == 1 {
		load = append(load, "1 pump with its hose")
	} else if n > 1 {
		load = append(load, fmt.Sprintf("%d pumps with their hoses", n))
	}
	jobsSeen := map[string]bool{}
	var tools []string
	var uses []estimate.SetUse
	for _, s := range t.Stops {
		if jobsSeen[s.Job.ID] || s.Visit.Kind != jobs.VisitConvert && s.Visit.Kind != jobs.VisitConnect {
			continue
		}
		jobsSeen[s.Job.ID] = true
		if s.Visit.Kind == jobs.VisitConvert {
			uses = append(uses, s.sets...)
		}
		for _, p := range setsFirst(s.Parts) {
			if !p.State.Open() || p.Surplus {
				continue
			}
			line := fmt.Sprintf("%d × %s, job %d", p.Quantity, p.Name, s.Job.Number)
			if !p.State.There() {
				line += ": " + p.State.Label()
			}
			load = append(load, line)
		}
		for _, tool := range s.tools {
			if !slices.Contains(tools, tool) {
				tools = append(tools, tool)
			}
		}
	}
	spares, err := spareLines(tx, t.Crew.BranchID, uses)
	return append(append(load, spares...), tools...), err
}

// setsFirst lists a job's parts with the sets in front, as a truck is loaded:
// what is long and can't be bought on the way first.
func setsFirst(parts []jobs.JobPart) []jobs.JobPart {
	return slices.SortedStableFunc(slices.Values(parts), func(a, b jobs.JobPart) int {
		return cmp.Or(cmp.Compare(b2i(a.SubjectID == ""), b2i(b.SubjectID == "")), cmp.Compare(a.Name, b.Name))
	})
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// spareLines names one spare set of each length class of the day, where the
// office takes spares along.
func spareLines(tx *store.Tx, branchID string, uses []estimate.SetUse) ([]string, error) {
	if len(uses) == 0 {
		return nil, nil
	}
	set, err := tx.Settings(branchID)
	if err != nil {
		return nil, err
	}
	office, err := estimateSettings(set)
	if err != nil || !office.Orders.Spares {
		return nil, err
	}
	var lines []string
	for _, class := range estimate.TruckSpares(uses) {
		name := class.Light
		for _, l := range office.Catalogue.Lights {
			if l.Key == class.Light {
				name = l.Name
			}
		}
		lines = append(lines, fmt.Sprintf("1 × %s with cord of %s, spare", name, jobs.FeetInches(class.Length)))
	}
	return lines, nil
}
