package estimate

import "ebbline/jobs"

// Three cables of one size can wedge side by side where the conduit's inside is
// about three times their outside: NEC chapter 9, table 1, informational note 2
// (2017) gives 2.8 to 3.2. Cable-pulling guides (from memory) take 1.05 times
// the inside, as a bend is a little oval.
const (
	jamLow   = 2.8
	jamHigh  = 3.2
	bendOval = 1.05
)

// jams says whether three cables may wedge, by either form.
func jams(inside, outside float64) bool {
	plain := inside / outside
	return plain <= jamHigh && plain*bendOval >= jamLow
}

// jam is the jam ratio of a conduit with three cables; an empty figure with
// more or fewer, which hardly wedge.
func (c *calc) jam(run jobs.Subject, cords int, b bore) Figure {
	if cords != 3 || !c.lit {
		return Figure{}
	}
	n := gather(b.num)
	if n.ok {
		od := float64(c.light.CordOuter) / umPerInch
		n = fixed(1000*b.inside/od, append(b.num.in[:len(b.num.in):len(b.num.in)], Input{Name: "Cord, larger outside", Text: tenth(float64(c.light.CordOuter)/1000) + " mm"})...)
	}
	f := figure("conduit.jam", "Jam ratio of three cords", run.ID, UnitRatio, n)
	f.Formula = "inside ÷ outside of one cord"
	f.Source = "NEC chapter 9, table 1, informational note 2 (2017): 2.8 to 3.2 may jam"
	f.Margin = "taken from 2.67, as 1.05 times the inside counts in a bend (cable-pulling guides, from memory)"
	return f
}

func jamCheck(conduit Conduit) (Check, bool) {
	f := conduit.Jam
	if f.Key == "" {
		return Check{}, false
	}
	check := Check{Key: "conduit.jam", Name: "Three cords wedging side by side", About: conduit.Conduit, Source: f.Source, Decides: decidesOffice}
	switch {
	case !f.Known:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, f.Missing
	case jams(float64(f.Value), 1000):
		check.Result, check.Text = Short, "ratio "+f.Text+", inside 2.67 to 3.2: bind the three cords side by side before the pull, or pull them with a fourth line"
	default:
		check.Result, check.Text = Holds, "ratio "+f.Text+", outside 2.67 to 3.2"
	}
	return check, true
}
