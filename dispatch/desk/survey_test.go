package desk_test

import (
	"testing"
	"time"

	"ebbline/jobs"
)

// Who changes a value has noted it, whatever the value sent says of that; the
// others keep who noted them and when.
func TestNobodySignsForAnother(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.quoted()
		j := h.wantState(jobID, jobs.StateQuoted)
		before, err := h.Survey(ctx, h.office().Actor, j.SiteID)
		h.must(err)
		pool := before.Survey.OfKind(jobs.SubjectBody)[0]
		old := pool.Values["length"]
		if old.By != "Mara" || old.At != h.now.Unix() {
			t.Fatalf("noted by %q at %d", old.By, old.At)
		}
		changed := old
		changed.Text, changed.Base = "31", 0 // and still says that Mara noted it, then
		pool.Values["length"] = changed
		first := h.now.Unix()
		h.now = h.now.Add(time.Hour)
		call := h.office()
		call.Actor.Name = "Lee"
		_, err = h.ChangeSurvey(ctx, call, j.SiteID, before.Site.SurveyVersion, before.Survey)
		h.must(err)
		after, err := h.Survey(ctx, h.office().Actor, j.SiteID)
		h.must(err)
		for name, v := range after.Survey.OfKind(jobs.SubjectBody)[0].Values {
			by, at := "Mara", first
			if name == "length" {
				by, at = "Lee", h.now.Unix()
			}
			if v.By != by || v.At != at {
				t.Errorf("%s was noted by %q at %d, want %q at %d", name, v.By, v.At, by, at)
			}
		}
	})
}
