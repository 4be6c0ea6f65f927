package main

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"text/tabwriter"
)

// figure is one line of the table.
type figure struct {
	What string `json:"what"`
	Unit string `json:"unit"`
	// Median, Low and High of the single measurements.
	Median float64 `json:"median"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Of     int     `json:"measurements"`
	Note   string  `json:"note,omitempty"`
}

func newFigure(what, unit string, values []float64) figure {
	return figure{What: what, Unit: unit, Median: median(values), Low: slices.Min(values), High: slices.Max(values), Of: len(values)}
}

// median of a list that is not empty: the middle one, or the mean of the two
// in the middle.
func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// report is the whole answer.
type report struct {
	Version string   `json:"version"` // of the format
	Figures []figure `json:"figures"`
}

func (r report) json(out io.Writer) error {
	encoder := json.NewEncoder(out)
	encoder.SetIndent("", "  ")
	return encoder.Encode(r)
}

func (r report) table(out io.Writer) error {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "what\tmedian\tlow\thigh\tunit\tof\tnote")
	for _, f := range r.Figures {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%d\t%s\n", f.What, digits(f.Median), digits(f.Low), digits(f.High), f.Unit, f.Of, f.Note)
	}
	return t.Flush()
}

// digits shows about three digits that count.
func digits(x float64) string {
	switch {
	case x >= 100:
		return fmt.Sprintf("%.0f", x)
	case x >= 10:
		return fmt.Sprintf("%.1f", x)
	case x >= 0.1:
		return fmt.Sprintf("%.2f", x)
	default:
		return fmt.Sprintf("%.2g", x)
	}
}
