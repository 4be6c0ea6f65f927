package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// result is one set solved and checked.
type result struct {
	Instance   string  `json:"instance"`
	Cost       float64 `json:"cost"`
	Vehicles   int     `json:"vehicles"`
	BestKnown  float64 `json:"best_known"`
	GapPercent float64 `json:"gap_percent"`
	Wall       float64 `json:"wall_seconds"`
	CPU        float64 `json:"cpu_seconds"`
	Iterations int     `json:"iterations"`
	// Seed is told where a set is solved with several.
	Seed uint64 `json:"seed,omitempty"`

	bestVehicles int
}

func (r result) line() string {
	vehicles := fmt.Sprint(r.Vehicles)
	if r.bestVehicles > 0 {
		vehicles += fmt.Sprintf(" (%d)", r.bestVehicles)
	}
	name := r.Instance
	if r.Seed > 0 {
		name += fmt.Sprintf(" seed %d", r.Seed)
	}
	return fmt.Sprintf("%-28s %10.2f %10.2f %8.3f %9s %8.2f %8.2f %10d", name, r.Cost, r.BestKnown, r.GapPercent, vehicles, r.Wall, r.CPU, r.Iterations)
}

const heading = "instance                           cost best known    gap %  vehicles     wall s    cpu s iterations"

// tally is the mean and the worst of some gaps.
type tally struct {
	name       string
	sum, worst float64
	count      int
}

func (t *tally) add(gap float64) {
	if t.count == 0 || gap > t.worst {
		t.worst = gap
	}
	t.sum, t.count = t.sum+gap, t.count+1
}

func (t tally) String() string {
	return fmt.Sprintf("%-28s mean gap %8.4f %%  worst %7.3f %%  runs %d", t.name, t.sum/float64(max(t.count, 1)), t.worst, t.count)
}

// summary is the mean and the worst gap: where sets were solved more than once by
// set, then by the letters and first digit of the sets' names, and of all. Where the
// number of vehicles differs from the best known, distances can't be compared and
// the run is counted apart.
func summary(to io.Writer, list []result) {
	var order []*tally
	by := map[string]*tally{}
	of := func(name string) *tally {
		if by[name] == nil {
			by[name] = &tally{name: name}
			order = append(order, by[name])
		}
		return by[name]
	}
	all, other := tally{name: "all"}, 0
	for _, r := range list { // sets stand above their groups
		if r.Seed > 0 {
			of(r.Instance)
		}
	}
	for _, r := range list {
		if r.bestVehicles > 0 && r.bestVehicles != r.Vehicles {
			other++
			continue
		}
		if r.Seed > 0 {
			of(r.Instance).add(r.GapPercent)
		}
		of(groupOf(r.Instance)).add(r.GapPercent)
		all.add(r.GapPercent)
	}
	fmt.Fprintln(to)
	for _, t := range order {
		fmt.Fprintln(to, t)
	}
	fmt.Fprintln(to, all)
	if other > 0 {
		fmt.Fprintf(to, "%d runs end with another number of vehicles than the best known\n", other)
	}
}

// groupOf is the letters and the first digit of a name: R1, RC2.
func groupOf(name string) string {
	i := strings.IndexAny(name, "0123456789")
	if i < 0 {
		return name
	}
	return name[:i+1]
}

// printer prints results as they come.
type printer interface {
	begin()
	add(r result)
	end() error
}

// table is for people: a line a run, then the means.
type table struct {
	out  io.Writer
	list []result
}

func (t *table) begin() { fmt.Fprintln(t.out, heading) }

func (t *table) add(r result) {
	t.list = append(t.list, r)
	fmt.Fprintln(t.out, r.line())
}

func (t *table) end() error {
	summary(t.out, t.list)
	return nil
}

// array is for programs: one JSON array.
type array struct {
	out    io.Writer
	behind bool // something stands in it
	err    error
}

func (a *array) begin() { fmt.Fprint(a.out, "[") }

func (a *array) add(r result) {
	text, err := json.MarshalIndent(r, "  ", "  ")
	if err != nil {
		a.err = err
		return
	}
	if a.behind {
		fmt.Fprint(a.out, ",")
	}
	a.behind = true
	fmt.Fprintf(a.out, "\n  %s", text)
}

func (a *array) end() error {
	if a.behind {
		fmt.Fprintln(a.out)
	}
	fmt.Fprintln(a.out, "]")
	return a.err
}

// writeRoutes writes the routes one a line, for a checker outside.
func writeRoutes(dir, name string, routes [][]int32) error {
	var text strings.Builder
	for i, route := range routes {
		fmt.Fprintf(&text, "Route #%d:", i+1)
		for _, stop := range route {
			fmt.Fprintf(&text, " %d", stop)
		}
		text.WriteByte('\n')
	}
	return os.WriteFile(filepath.Join(dir, name+".sol"), []byte(text.String()), 0o644)
}
