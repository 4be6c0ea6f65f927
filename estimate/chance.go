package estimate

import (
	"math"
	"strconv"
	"strings"

	"ebbline/jobs"
)

// Chances are the chances of each outcome of a pull, in thousandths; they add
// up to 1 000.
type Chances struct {
	Pull int64 `json:"pull"` // one person pulls it
	Help int64 `json:"help"` // with lubricant and a second person
	Open int64 `json:"open"` // it must be opened up first
}

// sentence says the chances in a hundred; rounded so that they add up.
func (c Chances) sentence() string {
	pull := (c.Pull + 5) / 10
	both := (c.Pull + c.Help + 5) / 10
	first := "about " + strconv.FormatInt(pull, 10)
	if pull == 0 {
		first = "hardly any"
	}
	return "of 100 such " + first + " are pulled by one person, " + strconv.FormatInt(both-pull, 10) +
		" take lubricant and a second person, " + strconv.FormatInt(100-both, 10) + " must be opened up first."
}

// harder is one thing found that shifts the chances.
type harder struct {
	key   string
	text  string
	times float64 // of the setting's log-odds
}

// chances shifts the prior of the tug result by what is found. Pull against the
// rest, and pull or help against opening up, are each shifted by the same
// log-odds, so the three stay in order whatever is found.
func chances(prior Prior, shift float64) Chances {
	pull := shifted(prior.Pull, shift)
	both := shifted(prior.Pull+prior.Help, shift)
	return Chances{Pull: pull, Help: max(both-pull, 0), Open: 1000 - max(both, pull)}
}

func shifted(thousandths int64, shift float64) int64 {
	p := min(max(float64(thousandths), 1), 999) / 1000
	odds := math.Log(p/(1-p)) - shift
	return round(1000 / (1 + math.Exp(-odds)))
}

// found lists what is known of a conduit that makes the pull harder or easier,
// from the survey itself and from what was computed of it.
func (c *calc) found(run jobs.Subject, out *Conduit, s course) []harder {
	list := make([]harder, 0, 8)
	add := func(key, text string, times float64) { list = append(list, harder{key, text, times}) }
	switch {
	case run.Yes("water_found"):
		add(evidenceWater, "water was found inside", 1)
	case run.No("water_found"):
		add(evidenceDry, "it was found dry inside", 1)
	}
	if out.Whole {
		add(evidenceTee, "it is shared or a tee is suspected", 1)
	}
	if run.Yes("pull_line") {
		add(evidenceLine, "there is a pull line inside", 1)
	}
	switch m := run.Choice("material"); m {
	case "soft_hose", "ent", "lfnc":
		add(evidenceMaterial, "it is "+conduitName(m)+", which gives way or kinks", 1)
	}
	if s.bends.ok && s.bends.v > 2*quarterTurn {
		add(evidenceBends, "its bends make "+show(round(s.bends.v), UnitAngle), (s.bends.v-2*quarterTurn)/quarterTurn)
	}
	if s.length.ok && s.length.v > 50*umPerFoot {
		add(evidenceLength, "it is "+show(round(s.length.v), UnitLength)+" long", (s.length.v/umPerFoot-50)/50)
	}
	if years, ok := run.Base("years"); ok && years > 10 {
		add(evidenceYears, "the bundle has lain there "+plural(int(years), "year"), float64(years-10)/10)
	}
	if out.Fill.Known && out.Fill.Value > out.Limit {
		add(evidenceFill, "the cords take more of it than the code allows", 1)
	}
	if out.Jam.Known && jams(float64(out.Jam.Value), 1000) {
		add(evidenceJam, "three cords may wedge", 1)
	}
	if w, ok := out.cordWay(); ok && w.Wet.Known && out.One.Known {
		if w.Wet.Value > out.One.Value {
			add(evidenceHeavy, "lubricated it still takes "+w.Wet.Text, 1)
		}
		if w.Wet.Value > out.Two.Value {
			add(evidenceBeyond, "that is more than cord, joint or two people bear", 1)
		}
	}
	if out.Fill.Known && out.Fill.Value > 1000 {
		add(evidenceBeyond, "the cords are more than the whole inside", 1)
	}
	return list
}

// chance fills in the chances and their working.
func (c *calc) chance(run jobs.Subject, out *Conduit, s course) {
	set := c.set.conduits()
	tug := run.Choice("tug")
	if _, ok := set.Priors[tug]; !ok || tug == "" {
		tug = tugUnknown
	}
	prior := set.Priors[tug]
	in := []Input{{Name: "Tug test", Text: "none yet: " + priorText(prior)}}
	if v, ok := run.Value("tug"); ok {
		in[0] = Input{Name: "Tug test", Text: showChoice(v.Text) + ": " + priorText(prior), Known: v.Known, Subject: run.ID, Field: "tug"}
	}
	shift := 0.0
	for _, h := range c.found(run, out, s) {
		by := float64(set.Evidence[h.key]) / 1000 * h.times
		if by == 0 {
			continue
		}
		shift += by
		word := "harder"
		if by < 0 {
			word = "easier"
		} else {
			if h.key != evidenceTee && by >= .1 { // a tee has a sentence of its own
				out.against = append(out.against, h.text)
			}
		}
		in = append(in, Input{Name: h.text, Text: word + " by " + hundredth(math.Abs(by))})
	}
	shift = min(max(shift, -20), 20)
	out.Chances = chances(prior, shift)
	for i, of := range [...]struct {
		f    *Figure
		key  string
		name string
		v    int64
	}{
		{&out.ChancePull, "conduit.chance.pull", "Chance that one person pulls it", out.Chances.Pull},
		{&out.ChanceHelp, "conduit.chance.help", "Chance that it takes lubricant and a second person", out.Chances.Help},
		{&out.ChanceOpen, "conduit.chance.open", "Chance that it must be opened up first", out.Chances.Open},
	} {
		*of.f = figure(of.key, of.name, run.ID, UnitMille, fixed(float64(of.v)))
		if i > 0 {
			of.f.Formula = "as the chance that one person pulls it; the three add up to 100 %"
			continue
		}
		of.f.Inputs = in
		of.f.Formula = "log-odds of what the tug result alone says, less what is found; the odds of needing help and of opening up shift alike"
		of.f.Source = "common practice, no source; to be learned from what was done"
	}
}

func priorText(p Prior) string {
	return show(p.Pull, UnitMille) + " pull, " + show(p.Help, UnitMille) + " with help, " + show(1000-p.Pull-p.Help, UnitMille) + " to be opened"
}

// conduitName writes a kind of conduit as the trade does.
func conduitName(material string) string {
	switch material {
	case "pvc_40":
		return "PVC schedule 40"
	case "pvc_80":
		return "PVC schedule 80"
	case "soft_hose":
		return "soft hose"
	}
	return strings.ToUpper(material)
}

// showChoice writes a choice as people read it.
func showChoice(text string) string { return strings.ReplaceAll(text, "_", " ") }
