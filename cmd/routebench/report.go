package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
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
	// Overloaded routes carry more than a vehicle can; only where the engine knows no load.
	Overloaded int `json:"overloaded,omitempty"`

	bestVehicles int
}

func (r result) line() string {
	vehicles := fmt.Sprint(r.Vehicles)
	if r.bestVehicles > 0 {
		vehicles += fmt.Sprintf(" (%d)", r.bestVehicles)
	}
	note := ""
	if r.Overloaded > 0 {
		note = fmt.Sprintf("   %d routes carry too much", r.Overloaded)
	}
	return fmt.Sprintf("%-28s %10.2f %10.2f %8.3f %9s %8.2f %8.2f %10d", r.Instance, r.Cost, r.BestKnown, r.GapPercent, vehicles, r.Wall, r.CPU, r.Iterations) + note
}

const heading = "instance                           cost best known    gap %  vehicles     wall s    cpu s iterations"

// summary is the mean by letters of the sets' names, and of all. Where the
// number of vehicles differs from the best known, distances can't be compared
// and the set is counted apart.
func summary(to io.Writer, list []result) {
	group := map[string][]float64{}
	var names []string
	worst, sum, count, fewer := 0.0, 0.0, 0, 0
	for _, r := range list {
		if r.bestVehicles > 0 && r.bestVehicles != r.Vehicles {
			fewer++
			continue
		}
		g := groupOf(r.Instance)
		if _, ok := group[g]; !ok {
			names = append(names, g)
		}
		group[g] = append(group[g], r.GapPercent)
		sum, count, worst = sum+r.GapPercent, count+1, max(worst, r.GapPercent)
	}
	for _, g := range names {
		total := 0.0
		for _, v := range group[g] {
			total += v
		}
		fmt.Fprintf(to, "%s %.3f %%   ", g, total/float64(len(group[g])))
	}
	fmt.Fprintf(to, "\n%d sets: mean gap %.4f %%, worst %.3f %%", len(list), sum/float64(max(count, 1)), worst)
	if fewer > 0 {
		fmt.Fprintf(to, "; %d with another number of vehicles than the best known", fewer)
	}
	fmt.Fprintln(to)
}

// groupOf is the letters and the first digit of a name: R1, RC2.
func groupOf(name string) string {
	i := strings.IndexAny(name, "0123456789")
	if i < 0 {
		return name
	}
	return name[:i+1]
}

func printJSON(to io.Writer, list []result) error {
	enc := json.NewEncoder(to)
	enc.SetIndent("", "  ")
	return enc.Encode(list)
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

// cpuSeconds is what this process has used so far.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
