package desk_test

import (
	"strings"
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

// A price from before the survey changed is not quoted: neither as a new draft
// nor by sending an old one.
func TestOldEstimatesAreNotQuoted(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.quoted()
		draft, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
		h.must(err)
		j := h.wantState(jobID, jobs.StateQuoted)
		known, err := h.Survey(ctx, h.office().Actor, j.SiteID)
		h.must(err)
		run := known.Survey.OfKind(jobs.SubjectConduit)[0]
		length := run.Values["length"]
		length.Text, length.Base = "149", 0
		run.Values["length"] = length
		_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, known.Site.SurveyVersion, known.Survey)
		h.must(err)
		_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
		h.wants(err, jobs.CodeConflict, "version 1 of the survey, which is at 2")
		_, err = h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
		h.wants(err, jobs.CodeConflict, "make an estimate again")
		made, err := h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{})
		h.must(err)
		_, err = h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: made.NounID})
		h.must(err)
	})
}

// Who signs for a delicate shell says how much water must stay; a plan that
// would leave less keeps the job from being planned until that is settled.
func TestLeastWaterHoldsAgainstThePlannedLevel(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.quoted()
		j := h.wantState(jobID, jobs.StateQuoted)
		known, err := h.Survey(ctx, h.office().Actor, j.SiteID)
		h.must(err)
		pool := known.Survey.OfKind(jobs.SubjectBody)[0]
		pool.Values["finish"] = jobs.Value{Text: jobs.FinishVinyl, Known: jobs.KnownRead}
		_, err = h.ChangeSurvey(ctx, h.office(), j.SiteID, known.Site.SurveyVersion, known.Survey)
		h.must(err)
		_, err = h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{})
		h.must(err)
		deep, _ := pool.Base("depth_deep")
		sign := func(least int64) jobs.Fact {
			h.now = h.now.Add(time.Minute)
			_, err := h.AddSignOff(ctx, h.office(), jobs.SignOff{JobID: jobID, Kind: jobs.SignShell, SignedBy: "Pat Doe", LeastWater: &least})
			h.must(err)
			return h.fact(jobID, "shell")
		}
		if f := sign(deep); f.State != jobs.FactLacks || !strings.Contains(f.Says, "the planned level leaves") {
			t.Errorf("a full pool was asked for and the plan lowers it: %s, %s", f.State, f.Says)
		}
		if f := sign(304_800); f.State != jobs.FactHolds {
			t.Errorf("one foot was asked for: %s, %s", f.State, f.Says)
		}
	})
}
