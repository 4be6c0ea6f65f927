package estimate

import (
	"testing"

	"ebbline/jobs"
)

// A light that needs grounding asks every conduit that is no metal for its
// jumper: seen, not there, or not looked for yet. NEC 680.23(B)(2)(b).
func TestJumperIsAskedOfEveryPlasticConduit(t *testing.T) {
	for _, c := range []struct{ said, want string }{{"yes", Holds}, {"no", Short}, {"", Unknown}} {
		s := survey(t, "rectangle")
		for _, run := range s.OfKind(jobs.SubjectConduit) {
			s = with(t, s, run.ID, "material", "pvc_40", "")
			if c.said != "" {
				s = with(t, s, run.ID, "jumper", c.said, "")
			}
		}
		set := DefaultSettings()
		for i := range set.Catalogue.Lights {
			set.Catalogue.Lights[i].Ungrounded = Not
		}
		for _, check := range Make(s, set, Ask{}).Checks {
			if check.Key == "light.jumper" && check.Result != c.want {
				t.Errorf("jumper %q: %s (%s), %s asked", c.said, check.Result, check.Text, c.want)
			}
		}
	}
}
