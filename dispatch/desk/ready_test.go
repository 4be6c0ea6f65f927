package desk_test

import (
	"strings"
	"testing"

	"ebbline/jobs"
)

// Parts, times and water come from the estimate. When the survey changes after
// the approval no crew goes by the old one; an estimate made again mends it.
func TestNoCrewGoesByAnEstimateOfAnEarlierSurvey(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.approved()
		h.makeReady(jobID, q)
		siteID := h.wantState(jobID, jobs.StateReady).SiteID
		known, err := h.Survey(ctx, h.office().Actor, siteID)
		h.must(err)
		_, err = h.ChangeSurvey(ctx, h.office(), siteID, known.Site.SurveyVersion, known.Survey)
		h.must(err)
		h.wantState(jobID, jobs.StateApproved)
		if f := h.fact(jobID, "estimate"); f.State != jobs.FactLacks || !strings.Contains(f.Says, "make the estimate again") {
			t.Errorf("%+v", f)
		}
		_, err = h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{})
		h.must(err)
		h.wantState(jobID, jobs.StateReady)
		if f := h.fact(jobID, "estimate"); f.State != jobs.FactHolds {
			t.Errorf("%+v", f)
		}
	})
}
