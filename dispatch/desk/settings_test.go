package desk_test

import (
	"encoding/json"
	"testing"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// What was kept is reported as kept, even when a job can't be looked at again
// afterwards. Planning, which would go by that job, says so.
func TestChangedSettingsAreReportedAsChanged(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.approved()
		least := int64(900_000)
		_, err := h.AddSignOff(ctx, h.office(), jobs.SignOff{JobID: jobID, Kind: jobs.SignDrainRisk, SignedBy: "Pat Doe", LeastWater: &least})
		h.must(err)
		site, err := h.Survey(ctx, h.office().Actor, h.wantState(jobID, jobs.StateApproved).SiteID)
		h.must(err)
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
			_, err := tx.InsertEstimate(h.branch, jobs.Estimate{ID: ids{h}.New(), JobID: jobID, SurveyVersion: site.Site.SurveyVersion,
				SettingsNumber: 1, Body: []byte(`{"version":0}`), MadeAt: h.now, MadeBy: "a later program"})
			return err
		}))
		now, err := h.Settings(ctx, h.branch)
		h.must(err)
		now.Settings.Company.Name = "Dry Fork Pools"
		body, err := json.Marshal(now.Settings)
		h.must(err)
		out, err := h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, now.Number, body)
		h.must(err)
		after, err := h.Settings(ctx, h.branch)
		h.must(err)
		if out.Version != after.Number || after.Number != now.Number+1 || after.Settings.Company.Name != "Dry Fork Pools" {
			t.Errorf("reported version %d; in force is %d of %q", out.Version, after.Number, after.Settings.Company.Name)
		}
		if _, err := h.CreateDraft(ctx, h.office(), h.branch, jobs.NewDraft{FirstDay: "2026-03-03", Days: 5}); jobs.CodeOf(err) != jobs.CodeInvalid {
			t.Errorf("planned past a job that can't be read: %v", err)
		}
	})
}
