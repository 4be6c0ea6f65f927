package estimate

import (
	"strings"
	"testing"

	"ebbline/jobs"
)

func optionOf(t *testing.T, list []Option, key string) Option {
	t.Helper()
	for _, o := range list {
		if o.Key == key {
			return o
		}
	}
	t.Fatalf("no option %s in %v", key, list)
	return Option{}
}

// Each option is what Make says for its ask, and leaving a body for later costs
// more in all than doing everything at once.
func TestOptions(t *testing.T) {
	s, set := survey(t, "pool_and_spa"), DefaultSettings()
	list := Options(s, set, Ask{Zones: 1})
	for _, o := range list {
		if e := Make(s, set, o.Ask); e.Price.Total.Value != o.Price.Value || !o.Price.Known || len(o.Says) == 0 {
			t.Errorf("%s: %s, made again %s, says %v", o.Key, o.Price.Text, e.Price.Total.Text, o.Says)
		}
	}
	all := optionOf(t, list, "asked")
	if two := optionOf(t, list, "zones-2"); two.Price.Value <= all.Price.Value || two.Ask.Zones != 2 {
		t.Errorf("two zones %s, one %s", two.Price.Text, all.Price.Text)
	}
	later := optionOf(t, list, "later-spa")
	if later.Price.Value >= all.Price.Value || later.Together.Value <= all.Price.Value || later.Together.Value != later.Price.Value+later.Later.Value {
		t.Errorf("now %s, later %s, together %s, at once %s", later.Price.Text, later.Later.Text, later.Together.Text, all.Price.Text)
	}
	e := Make(s, set, later.Ask)
	for _, cord := range e.Cords {
		if cord.Body == "spa" {
			t.Errorf("%s is left for later, and still has a cord", cord.Name)
		}
	}
	for _, w := range e.Bodies {
		if w.Body == "spa" && w.Lowered {
			t.Error("a spa without work is lowered")
		}
	}
	checkForm(t, e)
	if n := len(Options(survey(t, "rectangle"), set, Ask{})); n != 1+1+len(set.Catalogue.Lights)-1 {
		t.Errorf("%d options for one body of water", n)
	}
}

// What is weakly known and makes a set too long is worth the shorter set, to the
// cent, and the survey itself is left as it was.
func TestWorth(t *testing.T) {
	s, set := survey(t, "pool_and_spa"), DefaultSettings()
	for i, sub := range s.Subjects {
		if sub.Kind == jobs.SubjectConduit && strings.Contains(sub.Label(), "west") {
			s.Subjects[i].Values["length"] = jobs.Value{Text: "65", Unit: "ft", Known: jobs.KnownTold}
		}
	}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	before, _ := jobs.EncodeSurvey(s)
	list := Worth(s, set, Ask{})
	if after, _ := jobs.EncodeSurvey(s); string(after) != string(before) {
		t.Error("the survey changed")
	}
	found := false
	for _, w := range list {
		if w.Why == "" || w.Cents < 0 || w.Seconds < 0 || w.Water < 0 || w.Stake < 0 || w.StakeSeconds < 0 {
			t.Errorf("%+v", w)
		}
		if w.Miss.Field != "length" || w.Known != jobs.KnownTold {
			continue
		}
		found = true
		run, _ := s.Subject(w.Miss.Subject)
		dry := run.Values["length"]
		dry.Known = jobs.KnownMeasuredDry
		pinned, _ := pinned(s, w.Miss.Subject, "length", dry)
		want := Make(s, set, Ask{}).Price.Total.Value - Make(pinned, set, Ask{}).Price.Total.Value
		if want <= 0 || int64(w.Cents) != want || !strings.Contains(w.Why, "instead of") {
			t.Errorf("worth %s, by hand %d cents: %s", w.Cents, want, w.Why)
		}
	}
	if !found {
		t.Errorf("the told length is missing in %v", list)
	}
}

// What keeps the price from being known comes before all else.
func TestWorthPutsWhatBlocksFirst(t *testing.T) {
	for _, name := range []string{"kidney_unknowns", "poor"} {
		s, set := survey(t, name), DefaultSettings()
		list := Worth(s, set, Ask{})
		blocks := Make(s, set, Ask{}).Price.Total.Missing
		if len(blocks) == 0 {
			t.Fatalf("%s has a price", name)
		}
		for i := range blocks {
			at := false
			for _, m := range blocks {
				at = at || list[i].Miss == m
			}
			if !at {
				t.Errorf("%s, place %d: %s does not keep the price from being known", name, i+1, list[i].Miss.Text)
			}
		}
	}
}

// An allowance by hand: 1 h of two people at $62 and $14 of parts. 124 + 12 % =
// 138.88; parts 14 + 35 % = 18.90; margin 15 % of 157.78 = 23.67; tax 7.8 % of
// 18.90 + 2.84 (its margin) = 1.70.
func TestAllowanceByHand(t *testing.T) {
	for _, a := range Allowances(DefaultSettings()) {
		if a.Key == "stuck" && a.Cents != 138_88+18_90+23_67+1_70 {
			t.Errorf("%s, want $183.15", a.Cents)
		}
		if a.Cents <= 0 || a.Why == "" || a.How == "" {
			t.Errorf("%+v", a)
		}
	}
	e := Make(survey(t, "rectangle"), DefaultSettings(), Ask{})
	none := 1.0
	for _, run := range e.Conduits {
		none *= 1 - float64(run.Chances.Open)/1000
	}
	for _, a := range e.Price.Allowances {
		switch a.Key {
		case "breaker":
			t.Error("a breaker is offered though protection was seen")
		case "open":
			if a.Chance == nil || *a.Chance != round(1000*(1-none)) {
				t.Errorf("%+v", a)
			}
		}
	}
}
