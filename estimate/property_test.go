package estimate

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

// drawn builds a random but possible survey: bodies with lights, a conduit for
// each light or shared ones, some values unknown.
type drawn struct {
	*rapid.T
	survey jobs.Survey
	whole  bool // leave nothing out
}

func (d *drawn) value(sub *jobs.Subject, name, unit string, low, high float64) {
	if !d.whole && rapid.IntRange(0, 9).Draw(d.T, "left out "+sub.ID+name) == 0 {
		return
	}
	v := rapid.Float64Range(low, high).Draw(d.T, sub.ID+"."+name)
	d.set(sub, name, fmt.Sprintf("%.3f", v), unit)
}

func (d *drawn) choice(sub *jobs.Subject, name string, of ...string) {
	if !d.whole && rapid.IntRange(0, 9).Draw(d.T, "left out "+sub.ID+name) == 0 {
		return
	}
	d.set(sub, name, rapid.SampledFrom(of).Draw(d.T, sub.ID+"."+name), "")
}

func (d *drawn) set(sub *jobs.Subject, name, text, unit string) {
	known := rapid.SampledFrom(jobs.Knowns[1:]).Draw(d.T, "known "+sub.ID+name)
	sub.Values[name] = jobs.Value{Text: text, Unit: unit, Known: known}
}

func subject(id string, kind jobs.SubjectKind, of string) jobs.Subject {
	return jobs.Subject{ID: id, Kind: kind, Of: of, Values: map[string]jobs.Value{}}
}

func draw(t *rapid.T, whole bool) jobs.Survey {
	d := &drawn{T: t, whole: whole, survey: jobs.Survey{Version: 1, Zone: "UTC"}}
	supply := subject("supply", jobs.SubjectSupply, "")
	d.value(&supply, "circuit_voltage", "V", 110, 130)
	d.value(&supply, "circuit_breaker", "A", 15, 30)
	d.value(&supply, "circuit_other", "A", 0, 20)
	d.choice(&supply, "protection", "breaker", "none")
	d.survey.Subjects = append(d.survey.Subjects, supply)
	for b := range rapid.IntRange(1, 3).Draw(t, "bodies") {
		body := subject(fmt.Sprintf("b%d", b), jobs.SubjectBody, "")
		if b > 0 && rapid.Bool().Draw(t, "spa") {
			body.Of = "b0"
			d.choice(&body, "lowers_with", "yes", "no")
		}
		d.choice(&body, "shape", "rectangle", "round", "oval", "kidney", "area", "free_form", "drawn")
		d.choice(&body, "use", "pool", "raised_spa", "spill_over")
		for _, name := range []string{"length", "width", "width_2", "diameter"} {
			d.value(&body, name, "ft", 6, 60)
		}
		d.value(&body, "width_step", "ft", 2, 10)
		if body.Choice("shape") == "area" { // beside other sizes it would mostly contradict them
			d.value(&body, "area", "ft2", 30, 3000)
		}
		d.set(&body, "outline", "0,0; 20,-4; 33.5,6; 18,14; 2,12", "ft")
		d.set(&body, "widths", "3 8 10 7 2", "ft")
		d.value(&body, "level", "in", -2, 8)
		d.value(&body, "depth_shallow", "ft", 1, 4)
		d.value(&body, "depth_deep", "ft", 5, 9)
		d.value(&body, "shell_thickness", "in", 4, 14)
		if rapid.Bool().Draw(t, "edge") {
			d.value(&body, "spill_edge", "in", 2, 30)
		}
		d.value(&body, "ground_water", "ft", 1, 50)
		d.choice(&body, "finish", "plaster", "vinyl", "fibreglass", "tile")
		d.choice(&body, "becomes_low", "crew_pump", "pool_outlet", "customer", "on_arrival", "by_others")
		d.value(&body, "read_rate", "gpm", 3, 60)
		d.value(&body, "outlet_rate", "gpm", 3, 60)
		d.survey.Subjects = append(d.survey.Subjects, body)
		for l := range rapid.IntRange(0, 4).Draw(t, "lights") {
			d.addLight(body.ID, fmt.Sprintf("b%dl%d", b, l))
		}
	}
	out := subject("out", jobs.SubjectDischarge, "")
	d.value(&out, "rate_limit", "gpm", 5, 60)
	d.value(&out, "rise", "ft", 0, 22)
	d.choice(&out, "where", "landscape", "sewer_cleanout", "street")
	in := subject("in", jobs.SubjectRefill, "")
	d.value(&in, "flow", "gpm", 3, 60)
	d.value(&in, "pressure", "psi", 10, 90)
	d.value(&in, "hose_length", "ft", 20, 200)
	d.value(&in, "hose_inside", "in", .5, 2)
	old := subject("old", jobs.SubjectIlluminator, "supply")
	d.value(&old, "watts", "W", 10, 500)
	d.value(&old, "hours_night", "h", 0, 12)
	d.set(&old, "nights_year", fmt.Sprint(rapid.IntRange(0, 366).Draw(t, "nights")), "")
	d.survey.Subjects = append(d.survey.Subjects, out, in, old)
	return d.settled()
}

func (d *drawn) addLight(body, id string) {
	pos := subject(id, jobs.SubjectPosition, body)
	d.value(&pos, "depth", "in", 6, 60)
	d.value(&pos, "fitting_size", "in", 1, 10)
	run := subject("c-"+id, jobs.SubjectConduit, "")
	run.Ends = []string{id, "supply"}
	d.value(&run, "length", "ft", 5, 200)
	d.choice(&run, "tug", "moves", "moves_hard", "stuck", "broken")
	d.choice(&run, "size_supply", jobs.TradeSizes...)
	d.choice(&run, "size_water", jobs.TradeSizes...)
	d.choice(&run, "material", "pvc_40", "pvc_80", "emt", "rmc")
	d.survey.Subjects = append(d.survey.Subjects, pos, run)
}

func (d *drawn) settled() jobs.Survey {
	s, err := d.survey.Settle()
	if err != nil {
		d.Fatal(err)
	}
	return s
}

// changed gives a survey with one value altered; false when it is not there.
func changed(t *rapid.T, s jobs.Survey, id, name string, to func(jobs.Value) jobs.Value) (jobs.Survey, bool) {
	out := s
	out.Subjects = slices.Clone(s.Subjects)
	for i, sub := range out.Subjects {
		v, ok := sub.Values[name]
		if sub.ID != id || !ok {
			continue
		}
		values := map[string]jobs.Value{}
		for k, old := range sub.Values {
			values[k] = old
		}
		v.Base = 0
		values[name] = to(v)
		out.Subjects[i].Values = values
		settled, err := out.Settle()
		if err != nil {
			t.Fatal(err)
		}
		return settled, true
	}
	return s, false
}

func TestAnyEstimateHasSoundForm(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := draw(rt, false)
		ask := Ask{Zones: rapid.IntRange(0, 3).Draw(rt, "zones")}
		e := Make(s, DefaultSettings(), ask)
		checkForm(t, e)
		if t.Failed() {
			rt.Fatal(Sheet(e))
		}
		if again := Make(s, DefaultSettings(), ask); Sheet(again) != Sheet(e) {
			rt.Fatal("the same question, another answer")
		}
	})
}

func TestMoreWaterNeverDrainsSooner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, true)
		s, _ = changed(t, s, "b0", "shape", func(v jobs.Value) jobs.Value { v.Text = "area"; return v })
		of := func(low, high float64) Estimate {
			for i, sub := range s.Subjects {
				if sub.ID == "b0" {
					values := maps.Clone(sub.Values)
					values["area"] = jobs.Value{Text: fmt.Sprintf("%.1f", rapid.Float64Range(low, high).Draw(t, "area")), Unit: "ft2", Known: values["shape"].Known}
					s.Subjects[i].Values = values
				}
			}
			settled, err := s.Settle()
			if err != nil {
				t.Fatal(err)
			}
			return Make(settled, DefaultSettings(), Ask{})
		}
		a, b := of(30, 3000), of(3000, 9000)
		if a.Clock.Known != b.Clock.Known || b.Clock.Drain.Late < a.Clock.Drain.Late || b.Clock.Drain.Early < a.Clock.Drain.Early || b.Clock.Fill.Late < a.Clock.Fill.Late {
			t.Fatalf("%+v\n%+v", a.Clock, b.Clock)
		}
	})
}

func TestAddingALightNeverLowersThePrice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, true)
		ask := Ask{Zones: rapid.IntRange(1, 2).Draw(t, "zones")}
		a := Make(s, DefaultSettings(), ask)
		d := &drawn{T: t, whole: true, survey: s}
		d.survey.Subjects = slices.Clone(s.Subjects)
		d.addLight("b0", "more")
		b := Make(d.settled(), DefaultSettings(), ask)
		if a.Price.Total.Known && b.Price.Total.Known && b.Price.Total.Value < a.Price.Total.Value {
			t.Fatalf("%s before, %s with one more\n%s\n%s", a.Price.Total.Text, b.Price.Total.Text, Brief(a), Brief(b))
		}
	})
}

func TestBetterKnownNeverWidensABand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, false)
		id := rapid.IntRange(0, len(s.Subjects)-1).Draw(t, "subject")
		names := []string{}
		for name := range s.Subjects[id].Values {
			names = append(names, name)
		}
		if len(names) == 0 {
			t.Skip("nothing known of it")
		}
		slices.Sort(names)
		name := rapid.SampledFrom(names).Draw(t, "field")
		dry, _ := changed(t, s, s.Subjects[id].ID, name, func(v jobs.Value) jobs.Value { v.Known = jobs.KnownMeasuredDry; return v })
		before, after := Make(s, DefaultSettings(), Ask{}), Make(dry, DefaultSettings(), Ask{})
		a, b := before.Figures(), after.Figures()
		sameSupply := before.Supply.Part == after.Supply.Part && before.Supply.Tap.Text == after.Supply.Tap.Text
		for i, f := range a {
			// a supply, a tap, a set or a price may change in steps as the band
			// narrows; what is measured may not
			switch part, _, _ := strings.Cut(f.Key, "."); {
			case f.Unit == UnitMoney, f.Unit == UnitMonths:
				continue
			case !sameSupply && (part == "supply" || part == "output" || part == "energy" || f.Key == "cord.volts"):
				continue
			}
			if f.Key == "visit.convert.plan" { // holds the late value of lowering on arrival, which moves
				if f.Known && b[i].Known && b[i].High-b[i].Low > f.High-f.Low+1 {
					t.Fatalf("%s: wider", f.Key)
				}
				continue
			}
			if f.Known && b[i].Known && (b[i].Low < f.Low-1 || b[i].High > f.High+1) && f.Key != "cord.order" {
				t.Fatalf("%s: %d to %d, with %s.%s measured dry %d to %d", f.Key, f.Low, f.High, s.Subjects[id].ID, name, b[i].Low, b[i].High)
			}
			if f.Known && !b[i].Known && f.Key != "supply.tap" {
				t.Fatalf("%s: no longer known", f.Key)
			}
		}
	})
}
