package estimate

import (
	"math"

	"ebbline/jobs"
)

// Unit is the base unit that a figure's whole numbers count.
type Unit string

// The units of figures.
const (
	UnitLength  Unit = "µm"
	UnitArea    Unit = "mm2"
	UnitVolume  Unit = "mL"
	UnitFlow    Unit = "mL/min"
	UnitSeconds Unit = "s"
	UnitPower   Unit = "mW"
	UnitVoltage Unit = "mV"
	UnitCurrent Unit = "mA"
	UnitMille   Unit = "permille"
	UnitMoney   Unit = "cents"
	UnitCount   Unit = "pc"
	UnitEnergy  Unit = "Wh"
	UnitMonths  Unit = "months"
	UnitGap     Unit = "µm gap" // a length that is told in millimetres where it is small
	UnitForce   Unit = "mN"
	UnitPress   Unit = "mN/m"  // side-wall pressure: force for each length of bend radius
	UnitAngle   Unit = "mdeg"  // thousandths of a degree
	UnitRatio   Unit = "ratio" // thousandths
)

// NotKnown is what a figure says when an input is missing.
const NotKnown = "not known yet"

// Figure is one result with its working. When Known is false, Value, Low and
// High are 0 and mean nothing: Missing says what to find out.
type Figure struct {
	Key     string  `json:"key"`  // stable, like water.area
	Name    string  `json:"name"` // as people say it
	About   string  `json:"about,omitempty"`
	Known   bool    `json:"known"`
	Value   int64   `json:"value"`
	Low     int64   `json:"low"`
	High    int64   `json:"high"`
	Unit    Unit    `json:"unit"`
	Text    string  `json:"text"`
	Missing []Miss  `json:"missing,omitempty"`
	Formula string  `json:"formula,omitempty"`
	Inputs  []Input `json:"inputs,omitempty"`
	Source  string  `json:"source,omitempty"`
	Margin  string  `json:"margin,omitempty"`
}

// Miss is something to find out: a survey field of a subject, or a thing that
// the survey has no subject for yet.
type Miss struct {
	Subject string `json:"subject,omitempty"` // id; empty where the subject itself is missing
	Field   string `json:"field,omitempty"`
	Text    string `json:"text"` // what to measure or ask, for a person
}

// Input is one input of a figure: a survey value with how it is known, a
// setting, or an earlier figure.
type Input struct {
	Name    string     `json:"name"`
	Text    string     `json:"text"`
	Known   jobs.Known `json:"known,omitempty"`
	Subject string     `json:"subject,omitempty"`
	Field   string     `json:"field,omitempty"`
}

// num is a number on its way: median with its 10 % and 90 % quantiles, what it
// came from, or what is missing for it.
type num struct {
	v, lo, hi float64
	ok        bool
	in        []Input
	miss      []Miss
}

// fixed is a number without error: a rule, a setting.
func fixed(v float64, in ...Input) num { return num{v: v, lo: v, hi: v, ok: true, in: in} }

// unknown lacks the things named.
func unknown(miss ...Miss) num { return num{miss: miss} }

// gather joins inputs and what is missing; ok only when all are known.
func gather(list ...num) num {
	out := num{ok: true}
	for _, n := range list {
		out.ok = out.ok && n.ok
		out.in = append(out.in, n.in...)
		out.miss = appendMiss(out.miss, n.miss...)
	}
	return out
}

// sum adds signed numbers; half-widths add in quadrature.
func sum(list ...num) num {
	out := gather(list...)
	if !out.ok {
		return out
	}
	var down, up float64
	for _, n := range list {
		out.v += n.v
		down += (n.v - n.lo) * (n.v - n.lo)
		up += (n.hi - n.v) * (n.hi - n.v)
	}
	out.lo, out.hi = out.v-math.Sqrt(down), out.v+math.Sqrt(up)
	return out
}

// minus turns a number round, for use in sum.
func minus(n num) num {
	n.v, n.lo, n.hi = -n.v, -n.hi, -n.lo
	return n
}

// times scales by a constant that is not negative.
func (n num) times(k float64) num {
	n.v, n.lo, n.hi = n.v*k, n.lo*k, n.hi*k
	return n
}

// product multiplies numbers that are not negative; relative errors add in
// quadrature.
func product(a, b num) num {
	out := gather(a, b)
	if !out.ok {
		return out
	}
	out.v = a.v * b.v
	out.lo, out.hi = a.lo*b.lo, a.hi*b.hi
	if a.lo > 0 && b.lo > 0 {
		out.lo = out.v * math.Exp(-math.Hypot(math.Log(a.v/a.lo), math.Log(b.v/b.lo)))
	}
	if a.v > 0 && b.v > 0 {
		out.hi = out.v * math.Exp(math.Hypot(math.Log(a.hi/a.v), math.Log(b.hi/b.v)))
	}
	return out
}

// quotient divides by a number above zero.
func quotient(a, b num) num {
	inverse := b
	if b.ok {
		inverse.v, inverse.lo, inverse.hi = 1/b.v, 1/b.hi, 1/b.lo
	}
	return product(a, inverse)
}

// least is the smallest of the numbers, each quantile for itself.
func least(list ...num) num {
	return each(math.Min, list)
}

// greatest is the largest of the numbers, each quantile for itself.
func greatest(list ...num) num {
	return each(math.Max, list)
}

func each(pick func(a, b float64) float64, list []num) num {
	out := gather(list...)
	if !out.ok {
		return out
	}
	out.v, out.lo, out.hi = list[0].v, list[0].lo, list[0].hi
	for _, n := range list[1:] {
		out.v, out.lo, out.hi = pick(out.v, n.v), pick(out.lo, n.lo), pick(out.hi, n.hi)
	}
	return out
}

// spread widens the band by a relative error of its own, given as the factor
// between median and 90 % quantile.
func (n num) spread(factor float64) num {
	if !n.ok {
		return n
	}
	return product(n, num{v: 1, lo: 1 / factor, hi: factor, ok: true})
}

// atLeast keeps the number and its quantiles from falling below k.
func (n num) atLeast(k float64) num {
	n.v, n.lo, n.hi = math.Max(n.v, k), math.Max(n.lo, k), math.Max(n.hi, k)
	return n
}

// figure rounds a number into a figure. The formula, source and margin are
// added by the caller.
func figure(key, name, about string, unit Unit, n num) Figure {
	f := Figure{Key: key, Name: name, About: about, Unit: unit, Inputs: n.in}
	if !n.ok || !finite(n.v) || !finite(n.lo) || !finite(n.hi) {
		f.Text, f.Missing = NotKnown, n.miss
		if len(f.Missing) == 0 { // a number came out that no pool has
			f.Missing = []Miss{{Subject: about, Text: name + ": values of a size that can be real"}}
		}
		return f
	}
	f.Known = true
	f.Value, f.Low, f.High = round(n.v), round(n.lo), round(n.hi)
	f.Text = show(f.Value, unit)
	return f
}

// input is a figure as the input of a later one.
func (f Figure) input() Input { return Input{Name: f.Name, Text: f.Text, Subject: f.About} }

// then is a figure as a number that later figures compute with: inputs shrink
// to the figure itself, what is missing stays.
func (n num) then(f Figure) num {
	n.in = []Input{f.input()}
	return n
}

func appendMiss(list []Miss, more ...Miss) []Miss {
next:
	for _, m := range more {
		for _, have := range list {
			if have == m {
				continue next
			}
		}
		list = append(list, m)
	}
	return list
}

func finite(v float64) bool { return !math.IsNaN(v) && math.Abs(v) < 1e18 }

func round(v float64) int64 { return int64(math.Round(v)) }
