package desk_test

import (
	"slices"
	"strings"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// stock puts a set of the small colour light on the shelf and gives its id.
func (h *hands) stock(code string, feet, onHand int64) string {
	h.Helper()
	um := feet * 304_800
	out, err := h.CreatePart(ctx, h.office(), jobs.NewPart{BranchID: h.branch, PartData: jobs.PartData{
		Code: code, Name: "Set " + code, StockUnit: "set", LengthUM: &um, OnHand: onHand, Cost: 250_00, Price: 400_00}})
	h.must(err)
	return out.NounID
}

func (h *hands) onShelf(partID string) int64 {
	h.Helper()
	p, err := h.Part(ctx, partID)
	h.must(err)
	return p.OnHand
}

func (h *hands) parts(jobID string) []jobs.JobPart {
	h.Helper()
	f, err := h.Facts(ctx, jobID)
	h.must(err)
	return f.Known.Parts
}

// at is the part of a job that a position has, of those that it still has.
func (h *hands) at(jobID, position string) jobs.JobPart {
	h.Helper()
	for _, p := range h.parts(jobID) {
		if p.SubjectID == position && p.State.Open() {
			return p
		}
	}
	h.Fatalf("position %s of the job has no part", position)
	return jobs.JobPart{}
}

func (h *hands) moveTo(p jobs.JobPart, state jobs.PartState) error {
	_, err := h.ChangeJobPart(ctx, h.office(), p.ID, p.Version, jobs.JobPartChange{State: &state})
	return err
}

// remeasure gives a conduit another length and keeps a fresh estimate.
func (h *hands) remeasure(jobID, conduit, feet string) {
	h.Helper()
	siteID := h.wantSite(jobID)
	known, err := h.Survey(ctx, h.office().Actor, siteID)
	h.must(err)
	for i, sub := range known.Survey.Subjects {
		if sub.ID == conduit {
			known.Survey.Subjects[i].Values["length"] = jobs.Value{Text: feet, Unit: "ft", Known: jobs.KnownMeasuredDry}
		}
	}
	_, err = h.ChangeSurvey(ctx, h.office(), siteID, known.Site.SurveyVersion, known.Survey)
	h.must(err)
	_, err = h.MakeEstimate(ctx, h.office(), jobID, jobs.EstimateWish{})
	h.must(err)
}

func (h *hands) wantSite(jobID string) string {
	h.Helper()
	j, err := h.Job(ctx, h.office().Actor, jobID)
	h.must(err)
	return j.SiteID
}

func TestTheShelfFollowsAJobsParts(t *testing.T) {
	eachOffice(t, func(h *hands) {
		eighty := h.stock("small-colour-80", 80, 1)
		jobID, _ := h.approved() // l1 and l2 take 80 ft
		l1, l2 := h.at(jobID, "l1"), h.at(jobID, "l2")
		if l1.PartID != eighty || l1.LineKey != "small-colour-80" || l1.Quantity != 1 {
			t.Fatalf("%+v", l1)
		}
		h.must(h.moveTo(l1, jobs.PartReserved))
		if n := h.onShelf(eighty); n != 0 {
			t.Errorf("%d on the shelf after the last was reserved", n)
		}
		h.wants(h.moveTo(l2, jobs.PartReserved), jobs.CodeConflict, "The shelf has 0")
		h.wants(h.moveTo(l2, jobs.PartUsed), jobs.CodeInvalid, "state")
		h.must(h.moveTo(l2, jobs.PartOrdered))
		h.must(h.moveTo(h.at(jobID, "l2"), jobs.PartReceived)) // came for this job, not for the shelf
		if n := h.onShelf(eighty); n != 0 {
			t.Errorf("%d on the shelf after one came for a job", n)
		}
		h.must(h.moveTo(h.at(jobID, "l1"), jobs.PartNeeded)) // freed
		h.must(h.moveTo(h.at(jobID, "l2"), jobs.PartReturned))
		if n := h.onShelf(eighty); n != 2 {
			t.Errorf("%d on the shelf after both went back, want 2", n)
		}
		// a form that was read before the shelf moved is stale
		_, err := h.ChangePart(ctx, h.office(), eighty, 1, jobs.PartData{Code: "small-colour-80", Name: "x", StockUnit: "set", OnHand: 9})
		h.wants(err, jobs.CodeStale, "part")
	})
}

// Many reserve the last sets at once: as many get one as there are, and nothing
// falls below zero.
func TestTheLastSetGoesToOne(t *testing.T) {
	eachOffice(t, func(h *hands) {
		eighty := h.stock("small-colour-80", 80, 3)
		var needs []jobs.JobPart
		for range 4 {
			jobID, _ := h.approved()
			needs = append(needs, h.at(jobID, "l1"), h.at(jobID, "l2"))
		}
		errs := make(chan error, len(needs))
		for _, p := range needs {
			call := h.office()
			go func() {
				_, err := h.TakeSets(ctx, call, h.branch, []desk.SetTake{{JobPartID: p.ID, Version: p.Version, PartID: eighty}})
				errs <- err
			}()
		}
		got := 0
		for range needs {
			switch err := <-errs; jobs.CodeOf(err) {
			case "":
				got++
			case jobs.CodeConflict:
			default:
				t.Error(err)
			}
		}
		reserved := 0
		for _, p := range needs {
			now, err := h.JobPart(ctx, p.ID)
			h.must(err)
			if now.State == jobs.PartReserved {
				reserved++
			}
		}
		if n := h.onShelf(eighty); got != 3 || reserved != 3 || n != 0 {
			t.Errorf("%d were told yes, %d are reserved, %d on the shelf; there were 3", got, reserved, n)
		}
	})
}

func TestASetThatDoesNotReachIsNotReserved(t *testing.T) {
	eachOffice(t, func(h *hands) {
		fifty, other := h.stock("small-colour-50", 50, 5), h.stock("small-white-100", 100, 5)
		jobID, _ := h.approved()
		p := h.at(jobID, "l2") // needs some 75 ft
		_, err := h.TakeSets(ctx, h.office(), h.branch, []desk.SetTake{{JobPartID: p.ID, Version: p.Version, PartID: fifty}})
		h.wants(err, jobs.CodeConflict, "has 50'")
		_, err = h.TakeSets(ctx, h.office(), h.branch, []desk.SetTake{{JobPartID: p.ID, Version: p.Version, PartID: other}})
		h.wants(err, jobs.CodeConflict, "small-white")
		if h.onShelf(fifty) != 5 || h.onShelf(other) != 5 {
			t.Error("the shelf moved")
		}
	})
}

// A run proves longer after everything was there: the job is held back, one act
// lists what is needed now and puts back what is not, and nothing is lost.
func TestAListFollowsItsNewEstimate(t *testing.T) {
	eachOffice(t, func(h *hands) {
		eighty, hundred := h.stock("small-colour-80", 80, 2), h.stock("small-colour-100", 100, 1)
		jobID, q := h.approved()
		_, err := h.AddJobPart(ctx, h.office(), jobID, jobs.JobPartData{Name: "Ladder hire", Quantity: 1, StockUnit: "day", State: jobs.PartReceived})
		h.must(err)
		h.makeReadyButParts(jobID, q)
		for _, p := range h.parts(jobID) {
			switch {
			case p.State != jobs.PartNeeded:
			case p.PartID == eighty:
				h.must(h.moveTo(p, jobs.PartReserved))
			default:
				h.must(h.moveTo(p, jobs.PartReceived))
			}
		}
		h.wantState(jobID, jobs.StateReady)
		if _, err := h.RenewJobParts(ctx, h.office(), jobID); err != nil {
			t.Fatal(err)
		}
		h.wantState(jobID, jobs.StateReady) // nothing had to be done
		before := h.parts(jobID)

		h.remeasure(jobID, "c1", "80") // 48 ft were thought: 80 ft need a set of 100
		h.wantState(jobID, jobs.StateApproved)
		if f := h.fact(jobID, "parts"); f.State != jobs.FactLacks || !strings.Contains(f.Says, "renew it: still needed: 1 × ") {
			t.Errorf("%+v", f)
		}
		_, err = h.RenewJobParts(ctx, h.office(), jobID)
		h.must(err)
		l1 := h.at(jobID, "l1")
		if l1.State != jobs.PartNeeded || l1.PartID != hundred || l1.LineKey != "small-colour-100" {
			t.Errorf("%+v", l1)
		}
		if n := h.onShelf(eighty); n != 1 {
			t.Errorf("%d sets of 80 ft on the shelf, want the one that l1 had", n)
		}
		after := h.parts(jobID)
		for _, old := range before {
			i := slices.IndexFunc(after, func(p jobs.JobPart) bool { return p.ID == old.ID })
			if i < 0 {
				t.Errorf("%s has vanished", old.Name)
			} else if old.SubjectID != "l1" && (after[i].State != old.State || after[i].Quantity != old.Quantity) {
				t.Errorf("%s was %s, is %s", old.Name, old.State, after[i].State)
			}
		}
		if len(after) != len(before)+1 {
			t.Errorf("%d lines, then %d", len(before), len(after))
		}
		_, err = h.TakeSets(ctx, h.office(), h.branch, []desk.SetTake{{JobPartID: l1.ID, Version: l1.Version, PartID: hundred}})
		h.must(err)
		h.wantState(jobID, jobs.StateReady)
		h.remeasure(jobID, "c1", "48") // and back: the long set serves, nothing is to be done
		h.wantState(jobID, jobs.StateReady)
		if n := h.onShelf(hundred); n != 0 {
			t.Errorf("%d sets of 100 ft on the shelf: the long one stays with l1", n)
		}
		_, err = h.RenewJobParts(ctx, h.office(), "00000000-0000-7000-8000-999999999999")
		h.wants(err, jobs.CodeNotFound, "job")
	})
}

// What is on a truck's load list: what the jobs have or wait for, a spare of
// each length class, the tools; not what they no longer ask for.
func TestLoadListNamesSetsSparesAndWhatIsNotThere(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.approved() // sets of 80, 80, 100 and 150 ft
		for _, p := range h.parts(jobID) {
			switch p.SubjectID {
			case "l1":
				h.must(h.moveTo(p, jobs.PartReceived))
			case "l2":
				h.must(h.moveTo(p, jobs.PartOrdered))
			case "l4":
				h.must(h.moveTo(p, jobs.PartNotNeeded))
			}
		}
		j, err := h.Job(ctx, h.office().Actor, jobID)
		h.must(err)
		i := slices.IndexFunc(j.Visits, func(v jobs.Visit) bool { return v.Kind == jobs.VisitConvert })
		load, err := h.LoadFor(ctx, h.branch, jobs.Stop{JobID: jobID, VisitID: j.Visits[i].ID})
		h.must(err)
		count := func(words ...string) (n int) {
			for _, line := range load {
				all := true
				for _, w := range words {
					all = all && strings.Contains(line, w)
				}
				if all {
					n++
				}
			}
			return n
		}
		if count("80'", ", job 1") != 2 || count("80'", "ordered") != 1 || count("100'", "needed") != 1 || count("150'", "job") != 0 {
			t.Errorf("sets: %q", load)
		}
		if count("spare") != 2 || count("80'", "spare") != 1 || count("100'", "spare") != 1 {
			t.Errorf("spares: %q", load)
		}
		if count("Lock and tag") != 1 {
			t.Errorf("tools: %q", load)
		}
	})
}
