package desk_test

import (
	"slices"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// A set on the shelf goes to the position that needs it: the look says so at no
// cost, taking it reserves it and leaves the shelf one less, and a second person
// with the same look meets the version.
func TestSetsGoFromTheShelfToAPosition(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.approved()
		j := h.wantState(jobID, jobs.StateApproved)
		facts, err := h.Facts(ctx, jobID)
		h.must(err)
		var need jobs.JobPart
		for _, p := range facts.Known.Parts {
			if p.SubjectID != "" && p.State == jobs.PartNeeded {
				need = p
			}
		}
		if need.ID == "" {
			t.Fatal("no position of the job needs a set")
		}
		length := int64(250 * 304_800)
		out, err := h.CreatePart(ctx, h.office(), jobs.NewPart{BranchID: j.BranchID, PartData: jobs.PartData{
			Code: "spare-250", Name: "Long set", StockUnit: "set", LengthUM: &length, Light: "small-colour", OnHand: 1, Cost: 400_00}})
		h.must(err)
		take := []desk.SetTake{{JobPartID: need.ID, Version: need.Version, PartID: out.NounID}}
		_, err = h.TakeSets(ctx, h.office(), j.BranchID, take)
		h.must(err)
		got, err := h.JobPart(ctx, need.ID)
		h.must(err)
		if got.State != jobs.PartReserved || got.PartID != out.NounID || got.Name != "Long set" {
			t.Errorf("taken: %+v", got)
		}
		part, err := h.Part(ctx, out.NounID)
		h.must(err)
		if part.OnHand != 0 {
			t.Errorf("%d on the shelf, 0 asked", part.OnHand)
		}
		if _, err = h.TakeSets(ctx, h.office(), j.BranchID, take); jobs.CodeOf(err) != jobs.CodeStale {
			t.Errorf("taken twice: %v", err)
		}
		for _, p := range facts.Known.Parts { // the shelf is empty: all or none
			if p.ID != need.ID && p.State == jobs.PartNeeded {
				if _, err = h.TakeSets(ctx, h.office(), j.BranchID, []desk.SetTake{{p.ID, p.Version, out.NounID}}); jobs.CodeOf(err) != jobs.CodeConflict {
					t.Errorf("from an empty shelf: %v", err)
				}
				break
			}
		}
	})
}

// Parking or declining a job puts its reserved set on the shelf again, where another
// job can have it, and the job needs it anew when it comes back.
func TestAReservedSetGoesBackWithItsJob(t *testing.T) {
	eachOffice(t, func(h *hands) {
		for _, act := range []jobs.Act{jobs.ActPark, jobs.ActDecline} {
			jobID, _ := h.approved()
			j := h.wantState(jobID, jobs.StateApproved)
			facts, err := h.Facts(ctx, jobID)
			h.must(err)
			at := slices.IndexFunc(facts.Known.Parts, func(p jobs.JobPart) bool { return p.SubjectID != "" && p.State == jobs.PartNeeded })
			if at < 0 {
				t.Fatal("no position of the job needs a set")
			}
			need := facts.Known.Parts[at]
			length := int64(250 * 304_800)
			out, err := h.CreatePart(ctx, h.office(), jobs.NewPart{BranchID: j.BranchID, PartData: jobs.PartData{
				Code: "spare-" + string(act), Name: "Long set", StockUnit: "set", LengthUM: &length, Light: "small-colour", OnHand: 1, Cost: 400_00}})
			h.must(err)
			_, err = h.TakeSets(ctx, h.office(), j.BranchID, []desk.SetTake{{JobPartID: need.ID, Version: need.Version, PartID: out.NounID}})
			h.must(err)
			j = h.wantState(jobID, jobs.StateApproved)
			_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: act, Note: "the owner sells the house"})
			h.must(err)
			part, err := h.Part(ctx, out.NounID)
			h.must(err)
			got, err := h.JobPart(ctx, need.ID)
			h.must(err)
			if part.OnHand != 1 || got.State != jobs.PartNeeded {
				t.Errorf("%s: %d on the shelf, the job's part is %s; want 1 and needed", act, part.OnHand, got.State)
			}
		}
	})
}

// A job that was parked since somebody looked at the week takes no set from the
// shelf.
func TestNoSetIsTakenForAParkedJob(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.approved()
		j := h.wantState(jobID, jobs.StateApproved)
		facts, err := h.Facts(ctx, jobID)
		h.must(err)
		at := slices.IndexFunc(facts.Known.Parts, func(p jobs.JobPart) bool { return p.SubjectID != "" && p.State == jobs.PartNeeded })
		if at < 0 {
			t.Fatal("no position of the job needs a set")
		}
		need, length := facts.Known.Parts[at], int64(250*304_800)
		out, err := h.CreatePart(ctx, h.office(), jobs.NewPart{BranchID: j.BranchID, PartData: jobs.PartData{
			Code: "spare-250", Name: "Long set", StockUnit: "set", LengthUM: &length, Light: "small-colour", OnHand: 1, Cost: 400_00}})
		h.must(err)
		_, err = h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActPark, Note: "on holiday"})
		h.must(err)
		_, err = h.TakeSets(ctx, h.office(), j.BranchID, []desk.SetTake{{need.ID, need.Version, out.NounID}})
		h.wants(err, jobs.CodeConflict, "no set is reserved")
		part, err := h.Part(ctx, out.NounID)
		h.must(err)
		if part.OnHand != 1 {
			t.Errorf("%d on the shelf, 1 asked", part.OnHand)
		}
	})
}

// What is needed and what lies there are seen before anything is taken.
func TestSetsOfTheWeekAreLookedAt(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, q := h.approved()
		h.makeReadyButParts(jobID, q)
		j := h.wantState(jobID, jobs.StateApproved)
		w, err := h.Sets(ctx, j.BranchID, "", 0)
		h.must(err)
		if len(w.Needs)+len(w.NotKnown) == 0 {
			t.Fatalf("a job that waits for its parts only needs no set: %+v", w)
		}
		for _, n := range w.Needs {
			if n.Pick.From == desk.FromShelf || n.Pick.Length < n.High && n.Pick.From != desk.FromNone {
				t.Errorf("%s: %+v for %d to %d", n.Position, n.Pick, n.Low, n.High)
			}
		}
		if _, err = h.Sets(ctx, j.BranchID, "", 15); jobs.CodeOf(err) != jobs.CodeInvalid {
			t.Errorf("15 days: %v", err)
		}
	})
}
