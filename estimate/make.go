package estimate

import (
	"fmt"

	"ebbline/jobs"
)

// Version is the version of the estimate's JSON form.
const Version = 1

// Estimate is everything that was computed from one survey. Its parts hold the
// figures by subject; [Estimate.Figures] lists them all.
type Estimate struct {
	Version      int       `json:"version"`
	Settings     int       `json:"settings"` // version of the settings used
	Ask          Ask       `json:"ask"`
	PlanQuantile int64     `json:"plan_quantile"` // thousandths, of the labour settings
	Bodies       []Water   `json:"bodies"`
	Clock        Clock     `json:"clock"`
	Cords        []Cord    `json:"cords"`
	Fits         []Fit     `json:"fits,omitempty"` // of the lights in the wall fittings
	Conduits     []Conduit `json:"conduits"`
	Supply       Supply    `json:"supply"`
	Visits       []Visit   `json:"visits"`
	Materials    Materials `json:"materials"`
	Price        Price     `json:"price"`
	Energy       Energy    `json:"energy"`
	Checks       []Check   `json:"checks"`
	Cautions     []Caution `json:"cautions"`
	Missing      []Miss    `json:"missing"` // what to find out, most pressing first
	Safety       string    `json:"safety"`
	// Names are those of the survey's things by id, for the sheet.
	Names map[string]string `json:"names,omitempty"`
}

// Safety is the plain line that every sheet carries.
const Safety = "Follow the local code and the manufacturer's instructions. Electrical work by a licensed person; the authority having jurisdiction decides. Do not empty a pool below the planned level: an empty shell can float, crack or wrinkle."

// calc is one estimate on its way.
type calc struct {
	survey jobs.Survey
	set    Settings
	ask    Ask
	light  Light
	lit    bool // the catalogue has the light

	surfaces map[string]surface // by body, as far as computed
}

// Make computes an estimate. The survey must be settled (see jobs.Survey.Settle)
// and the settings valid (see Settings.Check). It never fails: what can't be
// computed is not known yet, with what to find out.
func Make(survey jobs.Survey, set Settings, ask Ask) Estimate {
	if ask.Zones < 1 {
		ask.Zones = 1
	}
	if ask.Zones > 2 {
		ask.Zones = 2
	}
	if len(ask.Later) > 0 {
		survey = without(survey, ask.Later)
	}
	c := &calc{survey: survey, set: set, ask: ask}
	c.light, c.lit = set.Catalogue.light(ask.Light)
	e := Estimate{Version: Version, Settings: set.Version, Ask: ask, PlanQuantile: set.Labour.Quantile, Safety: Safety}
	e.Names = make(map[string]string, len(survey.Subjects))
	for _, sub := range survey.Subjects {
		e.Names[sub.ID] = sub.Label()
	}
	for _, body := range survey.OfKind(jobs.SubjectBody) {
		e.Bodies = append(e.Bodies, c.water(body))
	}
	e.Clock = c.clock(e.Bodies)
	for _, pos := range survey.OfKind(jobs.SubjectPosition) {
		e.Cords = append(e.Cords, c.cord(pos))
		e.Fits = append(e.Fits, c.fit(pos))
	}
	for _, run := range survey.OfKind(jobs.SubjectConduit) {
		e.Conduits = append(e.Conduits, c.conduit(run, e.Cords))
	}
	e.Supply = c.supply(e.Cords)
	e.Visits = c.visits(e)
	e.Materials = c.materials(e)
	e.Price = c.price(e)
	e.Energy = c.energy(e)
	e.Checks = c.checks(e)
	e.Price.Allowances = c.allowances(e)
	e.Cautions = c.cautions(e)
	e.Missing = c.missing(e)
	return e
}

// missing joins what the figures lack with what the survey's registry still
// asks for, figures first, each once.
func (c *calc) missing(e Estimate) []Miss {
	list := []Miss{}
	for _, f := range e.Figures() {
		list = appendMiss(list, f.Missing...)
	}
	for _, g := range c.survey.Missing() {
		list = appendMiss(list, Miss{Subject: g.Subject, Field: g.Field.Name, Text: g.Name + ": " + g.Field.Label})
	}
	return list
}

// read takes a survey value with the band that follows from how it is known.
func (c *calc) read(sub jobs.Subject, name string) num {
	spec, ok := jobs.FieldOf(sub.Kind, name)
	if !ok {
		panic("estimate: no field " + string(sub.Kind) + "." + name) // a slip in this package; a test reads every name
	}
	v, ok := sub.Value(name)
	if !ok {
		return unknown(miss(sub, spec))
	}
	n := num{v: float64(v.Base), ok: true, in: []Input{{Name: spec.Label, Text: spec.Show(v), Known: v.Known, Subject: sub.ID, Field: name}}}
	factor := 1.0
	switch spec.Quantity {
	case jobs.QuantityLength, jobs.QuantityArea, jobs.QuantityRun:
		factor = 1 + float64(c.set.Bands.Length[v.Known])/1000
		if spec.Quantity == jobs.QuantityArea {
			factor *= factor
		}
	case jobs.QuantityFlow, jobs.QuantityPressure:
		factor = 1 + float64(c.set.Bands.Flow[v.Known])/1000
	}
	n.lo, n.hi = n.v/factor, n.v*factor
	if n.lo > n.hi { // a level above the tile line is negative
		n.lo, n.hi = n.hi, n.lo
	}
	return n
}

func miss(sub jobs.Subject, spec jobs.FieldSpec) Miss {
	return Miss{Subject: sub.ID, Field: spec.Name, Text: sub.Label() + ": " + spec.Label}
}

// missField names a field that is missing by its name.
func missField(sub jobs.Subject, name string) Miss {
	spec, _ := jobs.FieldOf(sub.Kind, name)
	return miss(sub, spec)
}

// first is the first subject of a kind.
func (c *calc) first(kind jobs.SubjectKind) (jobs.Subject, bool) {
	for _, sub := range c.survey.Subjects {
		if sub.Kind == kind {
			return sub, true
		}
	}
	return jobs.Subject{}, false
}

// lights is how many lights there are: the positions, or before any is noted
// the number told. Where a body is said to have other than its positions, that
// is lacking: a price for some of its lights would be no price for the job.
func (c *calc) lights() (n int, told bool, lack []Miss) {
	if n := len(c.survey.OfKind(jobs.SubjectPosition)); n > 0 {
		for _, body := range c.survey.OfKind(jobs.SubjectBody) {
			said, ok := body.Base("lights")
			if noted := len(c.survey.On(body.ID, jobs.SubjectPosition)); ok && int(said) != noted {
				lack = append(lack, Miss{Subject: body.ID, Field: "lights", Text: fmt.Sprintf("%s: the position of each light, or their right number; %d said, %d noted", body.Label(), said, noted)})
			}
		}
		return n, false, lack
	}
	bodies := c.survey.OfKind(jobs.SubjectBody)
	for _, body := range bodies {
		base, ok := body.Base("lights")
		if !ok {
			lack = append(lack, missField(body, "lights"))
		}
		n += int(base)
	}
	if len(bodies) == 0 {
		lack = append(lack, Miss{Text: "The bodies of water and their light positions"})
	}
	return n, true, lack
}

// plural writes "1 light", "4 lights".
func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
