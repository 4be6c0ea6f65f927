package estimate

import (
	"math"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

var tugs = []string{jobs.TugMoves, jobs.TugMovesHard, jobs.TugStuck, jobs.TugBroken}

// Whatever is found: three chances that add up to 1 000, none below zero, and a
// worse tug never promises more.
func TestChances(t *testing.T) {
	priors := DefaultSettings().Conduit.Priors
	rapid.Check(t, func(t *rapid.T) {
		shift := rapid.Float64Range(-20, 20).Draw(t, "shift")
		var last Chances
		for i, tug := range tugs {
			c := chances(priors[tug], shift)
			if c.Pull+c.Help+c.Open != 1000 || c.Pull < 0 || c.Help < 0 || c.Open < 0 {
				t.Fatalf("%+v", c)
			}
			if i > 0 && (c.Pull > last.Pull || c.Open < last.Open) {
				t.Fatalf("%s %+v, better %+v", tug, c, last)
			}
			if harder := chances(priors[tug], shift+1); harder.Pull > c.Pull || harder.Open < c.Open {
				t.Fatalf("%+v, harder %+v", c, harder)
			}
			last = c
		}
	})
	for _, tug := range tugs { // nothing found: the prior itself
		p := priors[tug]
		if c := chances(p, 0); c != (Chances{p.Pull, p.Help, 1000 - p.Pull - p.Help}) {
			t.Errorf("%s: %+v, prior %+v", tug, c, p)
		}
	}
	// Odds of 3 to 1 and 9 to 1, made worse by the factor 3: 1 to 1 and 3 to 1.
	if c := chances(Prior{750, 150}, math.Log(3)); c != (Chances{500, 250, 250}) {
		t.Errorf("%+v", c)
	}
}

func TestWorseTugNeverRaisesThePull(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := draw(rt, true)
		for _, run := range s.OfKind(jobs.SubjectConduit) {
			last := Chances{Pull: 1000}
			for _, tug := range tugs {
				worse, ok := changed(rt, s, run.ID, "tug", func(v jobs.Value) jobs.Value { v.Text = tug; return v })
				if !ok {
					continue
				}
				for _, c := range Make(worse, DefaultSettings(), Ask{}).Conduits {
					if c.Conduit != run.ID {
						continue
					}
					if c.Chances.Pull > last.Pull || c.Chances.Open < last.Open {
						rt.Fatalf("%s: %+v, better %+v", tug, c.Chances, last)
					}
					last = c.Chances
				}
			}
		}
	})
}

func TestConduitSettingsRefuse(t *testing.T) {
	for field, change := range map[string]func(*ConduitSettings){
		"conduit.priors.moves_hard.pull": func(s *ConduitSettings) { s.Priors[jobs.TugMovesHard] = Prior{900, 50} },
		"conduit.priors.stuck.help":      func(s *ConduitSettings) { s.Priors[jobs.TugStuck] = Prior{40, 959} },
		"conduit.priors":                 func(s *ConduitSettings) { delete(s.Priors, tugUnknown) },
		"conduit.evidence":               func(s *ConduitSettings) { s.Evidence["moon"] = 1 },
		"conduit.evidence.water":         func(s *ConduitSettings) { s.Evidence[evidenceWater] = -1 },
		"conduit.wet_friction":           func(s *ConduitSettings) { s.WetFriction = 900 },
		"conduit.two_people":             func(s *ConduitSettings) { s.TwoPeople = s.OnePerson - 1 },
		"conduit.side_wall":              func(s *ConduitSettings) { s.SideWall = 0 },
	} {
		set := DefaultSettings()
		change(&set.Conduit)
		if err := set.Check(); err == nil {
			t.Errorf("%s passes", field)
		}
	}
	set := DefaultSettings()
	set.Conduit = ConduitSettings{} // as kept before there were any
	if err := set.Check(); err != nil {
		t.Error(err)
	}
	s := oneConduit(t, 1, dry("tug=moves", "run=10 ft; 90; 10 ft"))
	if a, b := Make(s, set, Ask{}), Make(s, DefaultSettings(), Ask{}); Sheet(a) != Sheet(b) {
		t.Error("settings without a conduit part give another estimate than the defaults")
	}
}
