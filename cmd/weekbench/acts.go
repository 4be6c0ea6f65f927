package main

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// acts is what questions to a plan took on the size test; nil: not measured. Percentiles
// are of wall milliseconds of one call.
type acts struct {
	Try    *float64 `json:"try_p99_ms"`
	HTTP   *float64 `json:"try_http_p99_ms"`
	Places *float64 `json:"places_p99_ms"`
	Offer  *float64 `json:"offer_p99_ms"`
	Mend   *float64 `json:"mend_first_ms"`
	Gap    *float64 `json:"mend_gap_percent"`
	Odds   *float64 `json:"odds_1000_ms"`
	Why    *float64 `json:"why_20_ms"`
}

// actsJobs and actsDays are the size test's.
const (
	actsJobs = 240
	actsDays = 10
)

// actsOn is a solved week that acts are measured on.
type actsOn struct {
	w *week.Week
	p *week.Plan
	// say writes a line for people beside the figures.
	say func(format string, args ...any)
}

// acts measures the questions to a plan of the size test.
func (b *bench) acts(ctx context.Context) error {
	s := b.shape
	s.Days, s.Jobs = actsDays, actsJobs
	w := weeks.Make(s)
	if err := w.Validate(); err != nil {
		return err
	}
	k := b.keyOf(w, s.Seed)
	start, err := b.kept(k)
	if err != nil {
		return err
	}
	from, err := b.solve(ctx, w, b.seconds, start, nil)
	if err != nil {
		return err
	}
	if b.write != "" {
		if err := b.files(k, w, from.plan); err != nil {
			return err
		}
	}
	on := actsOn{w: w, p: from.plan, say: func(format string, args ...any) {
		fmt.Fprintf(os.Stderr, format+"\n", args...)
	}}
	on.say("%d jobs, %d crews x %d days, %d left out; load %s", len(w.Jobs), s.Crews, s.Days, len(from.plan.LeftOut), loadAverage())
	var r acts
	for _, part := range []func(*actsOn, *acts) error{b.actsAsk, b.actsOdds, b.actsHTTP, b.actsMend} {
		if err := part(&on, &r); err != nil {
			return err
		}
	}
	if b.json {
		return printJSON([]acts{r})
	}
	for _, l := range []struct {
		name string
		ms   *float64
	}{{"try, p99 ms", r.Try}, {"try over HTTP, p99 ms", r.HTTP}, {"places, p99 ms", r.Places}, {"offer, p99 ms", r.Offer}, {"mend, first answer ms", r.Mend},
		{"mend, gap percent", r.Gap}, {"1,000 weeks of odds, ms", r.Odds}, {"why, 20 jobs, ms", r.Why}} {
		if l.ms == nil {
			fmt.Fprintf(os.Stdout, "%-26s not measured\n", l.name)
			continue
		}
		fmt.Fprintf(os.Stdout, "%-26s %.2f\n", l.name, *l.ms)
	}
	return nil
}

// loadAverage is what the machine has to do meanwhile.
func loadAverage() string {
	text, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "not known"
	}
	return strings.Join(strings.Fields(string(text))[:3], " ")
}

// timed are the times of many calls of one kind.
type timed struct{ wall, cpu []float64 }

// call times one call; the goroutine is locked to its thread.
func (t *timed) call(do func() error) error {
	c, w := threadCPU(), time.Now()
	err := do()
	t.wall, t.cpu = append(t.wall, float64(time.Since(w).Nanoseconds())/1e6), append(t.cpu, float64(threadCPU()-c)/1e6)
	return err
}

// forget takes the last call back.
func (t *timed) forget() { t.wall, t.cpu = t.wall[:len(t.wall)-1], t.cpu[:len(t.cpu)-1] }

func percentile(list []float64, p int) float64 {
	if len(list) == 0 {
		return 0
	}
	l := slices.Clone(list)
	slices.Sort(l)
	return l[min(len(l)-1, len(l)*p/100)]
}

// p99 says the percentiles and gives that of the wall times.
func (t *timed) p99(on *actsOn, name string) *float64 {
	x := percentile(t.wall, 99)
	on.say("%s: %d calls, wall p50 %.3f p99 %.3f most %.3f ms; processor p50 %.3f p99 %.3f ms", name, len(t.wall), percentile(t.wall, 50), x, percentile(t.wall, 100),
		percentile(t.cpu, 50), percentile(t.cpu, 99))
	return &x
}
