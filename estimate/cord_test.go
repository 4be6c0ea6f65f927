package estimate

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ebbline/jobs"
)

// cordSurvey is a pool with lights l1 and l2 at the depth given in inches and a
// supply place, without conduits.
func cordSurvey(t testing.TB, depth string, conduits ...jobs.Subject) jobs.Survey {
	t.Helper()
	s := jobs.Survey{Version: 1, Zone: "America/Phoenix", Subjects: []jobs.Subject{subject("pool", jobs.SubjectBody, ""), subject("box", jobs.SubjectSupply, "")}}
	for _, id := range []string{"l1", "l2"} {
		pos := subject(id, jobs.SubjectPosition, "pool")
		if depth != "" {
			pos.Values["depth"] = jobs.Value{Text: depth, Unit: "in", Known: jobs.KnownMeasuredWet}
		}
		s.Subjects = append(s.Subjects, pos)
	}
	s.Subjects = append(s.Subjects, conduits...)
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func conduitOf(id, feet string, known jobs.Known, ends ...string) jobs.Subject {
	run := subject(id, jobs.SubjectConduit, "")
	run.Ends = ends
	if feet != "" {
		run.Values["length"] = jobs.Value{Text: feet, Unit: "ft", Known: known}
	}
	return run
}

// The rule of the stock steps, "order next length >= run + 1 ft wall + 3-5 ft
// supply end + 5 %", is common practice, no source. The way to the deck is NEC
// 680.23(B)(6) (2017 text): cord enough to lift the light out to a dry place.
func TestWhatStaysAtTheWall(t *testing.T) {
	for _, c := range []struct {
		depth string
		slack float64 // ft
		says  string
	}{
		{"24", 4.5, "4' 6\""}, // 24 in + 6 in + 24 in
		{"60", 7.5, "7' 6\""},
		{"", 0, NotKnown}, // never a number from nothing
	} {
		e := Make(cordSurvey(t, c.depth, conduitOf("c1", "40", jobs.KnownMeasuredDry, "l1", "box")), DefaultSettings(), Ask{})
		cord := e.Cords[0]
		near(t, "slack at "+c.depth, float64(cord.Slack.Value)/umPerFoot, c.slack, 1e-9)
		if cord.Slack.Text != c.says || cord.Needed.Known != (c.depth != "") {
			t.Errorf("depth %q: %s, needed %s", c.depth, cord.Slack.Text, cord.Needed.Text)
		}
		if c.depth != "" {
			near(t, "needed", float64(cord.Needed.Value)/umPerFoot, 40*1.05+c.slack+4, 1e-6)
		}
	}
	set := DefaultSettings()
	set.Cord.Wall = 10 * 304_800
	e := Make(cordSurvey(t, "24", conduitOf("c1", "40", jobs.KnownMeasuredDry, "l1", "box")), set, Ask{})
	if got := e.Cords[0].Slack.Text; got != "10'" {
		t.Errorf("where the office leaves 10 ft, %s stay", got)
	}
}

// A cord runs from its own conduit into the trunk that it shares.
func TestSharedTrunk(t *testing.T) {
	s := cordSurvey(t, "24",
		conduitOf("c1", "12", jobs.KnownMeasuredDry, "l1", "trunk"),
		conduitOf("c2", "20", jobs.KnownMeasuredDry, "l2", "trunk"),
		conduitOf("trunk", "55", jobs.KnownMeasuredDry, "box"))
	e := Make(s, DefaultSettings(), Ask{})
	for i, feet := range []float64{67, 75} {
		cord := e.Cords[i]
		near(t, cord.Name, float64(cord.Run.Value)/umPerFoot, feet, 1e-6)
		if len(cord.Chain) != 2 || cord.Chain[1] != "trunk" || cord.Conduit != []string{"c1", "c2"}[i] || !cord.Through("trunk") {
			t.Errorf("%s runs through %v, at the light %s", cord.Name, cord.Chain, cord.Conduit)
		}
		if !strings.Contains(cord.Run.Margin, "trunk") {
			t.Errorf("%s: %s", cord.Name, cord.Run.Margin)
		}
	}
	for _, conduit := range e.Conduits {
		if want := map[string]int{"c1": 1, "c2": 1, "trunk": 2}[conduit.Conduit]; conduit.Lights != want {
			t.Errorf("%d cords through %s, want %d", conduit.Lights, conduit.Name, want)
		}
	}
	// a trunk of unknown length makes neither run known; a dead end says so
	s = cordSurvey(t, "24", conduitOf("c1", "12", jobs.KnownTold, "l1", "trunk"), conduitOf("trunk", "", "", "box"), conduitOf("c2", "20", jobs.KnownTold, "l2"))
	e = Make(s, DefaultSettings(), Ask{})
	if m := e.Cords[0].Run.Missing; len(m) != 1 || m[0].Subject != "trunk" || m[0].Field != "length" {
		t.Errorf("%+v", m)
	}
	if m := e.Cords[1].Run.Missing; len(m) != 1 || !strings.Contains(m[0].Text, "supply place") {
		t.Errorf("%+v", m)
	}
}

// A drawn conduit is as long as its legs together, and no better known than told,
// whoever drew it. 3-4-5 triangles: Euclid, Elements, book I, proposition 47.
func TestCordAlongADrawnPath(t *testing.T) {
	drawn := func(path, length string) Estimate {
		run := conduitOf("c1", length, jobs.KnownMeasuredDry, "l1", "box")
		run.Values["path"] = jobs.Value{Text: path, Unit: "ft", Known: jobs.KnownMeasuredDry}
		s := cordSurvey(t, "24", run)
		for i, sub := range s.Subjects {
			switch sub.ID {
			case "l1":
				s.Subjects[i].Values["place"] = jobs.Value{Text: "0,0", Unit: "ft", Known: jobs.KnownTold}
			case "box":
				s.Subjects[i].Values["place"] = jobs.Value{Text: "30,40", Unit: "ft", Known: jobs.KnownTold}
			}
		}
		s, err := s.Settle()
		if err != nil {
			t.Fatal(err)
		}
		return Make(s, DefaultSettings(), Ask{})
	}
	plan := func(e Estimate) Check {
		for _, c := range e.Checks {
			if c.Key == "cord.plan" {
				return c
			}
		}
		return Check{}
	}
	e := drawn("0,0; 30,0; 30,40", "")
	run := e.Cords[0].Run
	near(t, "drawn run, ft", float64(run.Value)/umPerFoot, 70, 1e-6)
	if run.Inputs[0].Known != jobs.KnownTold || !strings.Contains(run.Margin, "drawing") {
		t.Errorf("%+v", run)
	}
	near(t, "as if told, ft", float64(run.High)/umPerFoot, 70*1.12, 1e-6)
	if c := plan(e); c.Result != Holds || !strings.Contains(c.Text, "50'") {
		t.Errorf("%+v", c)
	}
	e = drawn("0,0; 30,0; 30,40", "66") // measured: the drawing is not asked
	near(t, "measured run, ft", float64(e.Cords[0].Run.Value)/umPerFoot, 66, 1e-6)
	if c := plan(drawn("0,0; 30,40", "45")); c.Result != Short || !strings.Contains(c.Text, "one of them is wrong") {
		t.Errorf("45 ft measured where the straight line has 50: %+v", c)
	}
}

// Conduits that join each other in a ring must not hold the estimate up.
func TestConduitsInARing(t *testing.T) {
	s := cordSurvey(t, "24", conduitOf("c1", "12", jobs.KnownTold, "l1", "c2"), conduitOf("c2", "9", jobs.KnownTold, "c3"), conduitOf("c3", "7", jobs.KnownTold, "c1"))
	if run := Make(s, DefaultSettings(), Ask{}).Cords[0].Run; run.Known {
		t.Errorf("%+v", run)
	}
}

func TestAlternatesOnlyForWhatIsNotMeasured(t *testing.T) {
	make := func(feet string, known jobs.Known) Cord {
		return Make(cordSurvey(t, "24", conduitOf("c1", feet, known, "l1", "box")), DefaultSettings(), Ask{}).Cords[0]
	}
	told := make("66", jobs.KnownTold) // needs 77.8 ft; told, up to 86
	if told.Order.Text != "100'" || len(told.Alternates) != 1 || show(told.Alternates[0], UnitLength) != "80'" || !strings.Contains(told.Order.Margin, "80'") {
		t.Errorf("told: %s, %v, %s", told.Order.Text, told.Alternates, told.Order.Margin)
	}
	if dry := make("66", jobs.KnownMeasuredDry); dry.Order.Text != "80'" || dry.Alternates != nil {
		t.Errorf("measured dry: %s, %v", dry.Order.Text, dry.Alternates)
	}
	if wet := make("67.5", jobs.KnownMeasuredWet); wet.Order.Text != "100'" || wet.Alternates != nil {
		t.Errorf("measured wet: %s, %v", wet.Order.Text, wet.Alternates)
	}
}

func TestARunBeyondTheCatalogueIsNamed(t *testing.T) {
	e := Make(cordSurvey(t, "24", conduitOf("c1", "300", jobs.KnownMeasuredDry, "l1", "box")), DefaultSettings(), Ask{})
	cord := e.Cords[0]
	if cord.Order.Known || cord.Cost != 0 || len(cord.Order.Missing) != 1 || !strings.Contains(cord.Order.Missing[0].Text, "250'") {
		t.Errorf("%+v", cord.Order)
	}
}

func TestALongerRunNeverNeedsAShorterSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		known := rapid.SampledFrom([]jobs.Known{jobs.KnownTold, jobs.KnownRead, jobs.KnownMeasuredWet, jobs.KnownMeasuredDry}).Draw(t, "known")
		a := rapid.IntRange(10, 9000).Draw(t, "tenths")
		b := rapid.IntRange(a, 9000).Draw(t, "more")
		order := func(tenths int) Cord {
			run := conduitOf("c1", fmt.Sprintf("%d.%d", tenths/10, tenths%10), known, "l1", "box")
			return Make(cordSurveyOf(t, run), DefaultSettings(), Ask{}).Cords[0]
		}
		short, long := order(a), order(b)
		if long.Needed.Value < short.Needed.Value || long.Needed.High < short.Needed.High {
			t.Fatalf("%s needs %s, %s needs %s", short.Run.Text, short.Needed.Text, long.Run.Text, long.Needed.Text)
		}
		if long.Order.Known && (!short.Order.Known || long.Order.Value < short.Order.Value) {
			t.Fatalf("%s takes %s, %s takes %s", short.Run.Text, short.Order.Text, long.Run.Text, long.Order.Text)
		}
		if short.Order.Known && short.Order.Value < short.Needed.High {
			t.Fatalf("%s for up to %s", short.Order.Text, show(short.Needed.High, UnitLength))
		}
	})
}

func cordSurveyOf(t *rapid.T, run jobs.Subject) jobs.Survey {
	pos := subject("l1", jobs.SubjectPosition, "pool")
	pos.Values["depth"] = jobs.Value{Text: "24", Unit: "in", Known: jobs.KnownMeasuredWet}
	s := jobs.Survey{Version: 1, Zone: "America/Phoenix", Subjects: []jobs.Subject{subject("pool", jobs.SubjectBody, ""), subject("box", jobs.SubjectSupply, ""), pos, run}}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return s
}
