package estimate

import "ebbline/jobs"

// bores are the nominal sizes of the wall fitting's threads and joints, in
// eighths of an inch.
var bores = map[string]int{"threaded_1": 8, "threaded_1_1/2": 12, "glued_1_1/2": 12, "glued_2": 16}

// jointing is how a light's thread goes with a wall fitting's.
type jointing struct {
	adapts bool   // with an adapter
	ask    bool   // of a kind that nobody named
	no     string // why not at all
}

// joint compares a fitting's thread or joint with the light's: the same goes
// together, a fitting as wide or wider takes an adapter (a glued-in thread, or a
// bush), a narrower one does not take the light. Common practice, no source.
func (c *calc) joint(fitting string) jointing {
	if fitting == c.light.Thread && fitting != "other" {
		return jointing{}
	}
	from, known := bores[fitting]
	to, light := bores[c.light.Thread]
	switch {
	case !known || !light:
		return jointing{ask: true}
	case from < to:
		return jointing{no: "the fitting is nominal " + eighths(from) + ", the light's thread " + eighths(to)}
	}
	return jointing{adapts: true}
}

func eighths(n int) string { return jobs.FeetInches(int64(n) * 3175) }

// threadName writes a thread or joint as the trade says it.
func threadName(choice string) string {
	switch choice {
	case "threaded_1":
		return "threaded 1 in"
	case "threaded_1_1/2":
		return "threaded 1-1/2 in"
	case "glued_1_1/2":
		return "glued 1-1/2 in"
	case "glued_2":
		return "glued 2 in"
	case "":
		return NotKnown
	}
	return showChoice(choice)
}

// tooWide says that an inside width can't be that of the thread or joint noted:
// no nominal size has its socket half an inch wider than its name. Empty where
// the two agree, or one is not known. Common practice, no source.
func (c *calc) tooWide(pos jobs.Subject) string {
	inside, thread := c.read(pos, "fitting_inside"), pos.Choice("fitting_thread")
	nominal, known := bores[thread]
	if !known || !inside.ok || inside.lo <= float64(nominal*3175+12_700) {
		return ""
	}
	return "the inside is noted as " + show(round(inside.v), UnitLength) + " wide, which " + threadName(thread) + " can't be; one of the two is not right"
}
