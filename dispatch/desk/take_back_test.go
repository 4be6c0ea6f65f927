package desk_test

import (
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// deliver sends everything that is due, to nobody.
func (h *hands) deliver() (sent int) {
	h.Helper()
	for _, n := range h.allNotices() {
		out, err := h.ClaimNotice(ctx, n.ID, time.Minute)
		h.must(err)
		if out == nil {
			continue
		}
		h.must(h.HandOverNotice(ctx, out))
		h.must(h.SentNotice(ctx, out, ""))
		sent++
	}
	return sent
}

// A job that is parked takes back what its people were told and stops what they
// were not, in the act itself; the next hand-out has nothing to add for them.
// Back in the plan it is told anew.
func TestParkedJobTakesItsNoticesBack(t *testing.T) {
	for _, act := range []jobs.Act{jobs.ActPark, jobs.ActDecline} {
		t.Run(string(act), func(t *testing.T) { eachOffice(t, func(h *hands) { parkAndReturn(h, act) }) })
	}
}

func parkAndReturn(h *hands, act jobs.Act) {
	y := h.yard("customer", "crew_pump")
	id, other := y.jobs[0], y.jobs[1]
	d := h.planned("2026-03-03")
	h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
	j := h.wantState(id, jobs.StateRouted)
	if h.deliver() == 0 {
		h.Fatal("nothing is due")
	}
	was := map[string]jobs.Notice{}
	for _, n := range h.allNotices() {
		was[n.ID] = n
	}
	_, err := h.ActOnJob(ctx, h.office(), id, j.Version, desk.JobAct{Act: act, Note: "the owner travels"})
	h.must(err)
	back, stopped := map[string]jobs.Notice{}, 0
	for _, n := range h.allNotices() {
		old, known := was[n.ID]
		switch {
		case n.JobID != id && (!known || old.State != n.State):
			h.Errorf("another job's %s is %s", n.Thing, n.State)
		case n.JobID != id:
		case !known:
			back[n.Thing] = n
		case old.State == jobs.NoticeDue:
			stopped++
			if n.State != jobs.NoticeSuperseded {
				h.Errorf("%s is %s: it would still be sent", n.Thing, n.State)
			}
		case old.State != n.State:
			h.Errorf("%s was %s and is %s", n.Thing, old.State, n.State)
		}
	}
	if stopped == 0 {
		h.Error("nothing was still to come")
	}
	for _, n := range was {
		if n.JobID != id || n.State != jobs.NoticeSent {
			continue
		}
		b, ok := back[n.Thing]
		switch n.Kind {
		case jobs.NoticeBooking, jobs.NoticePrep, jobs.NoticeStopChlorine:
			if !ok || b.Kind != jobs.NoticeWithdrawn || b.Revision != n.Revision+1 || b.ICalUID != n.ICalUID ||
				b.ICalSequence != n.ICalSequence+1 || b.State != jobs.NoticeDue || b.Body == "" || b.ToName != n.ToName {
				h.Errorf("%s was told; it is taken back by %+v", n.Thing, b)
			}
		}
	}
	if len(back) == 0 {
		h.Error("nobody hears of it")
	}
	d = h.planned("2026-03-03")
	plan := h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
	for _, n := range h.planNotices(plan) {
		if n.JobID == id {
			h.Errorf("told again by the next hand-out: %s", n.Thing)
		}
	}
	h.wantState(other, jobs.StateRouted)

	undo := jobs.ActUnpark
	if act == jobs.ActDecline {
		undo = jobs.ActReopen
	}
	j, err = h.Job(ctx, h.office().Actor, id)
	h.must(err)
	_, err = h.ActOnJob(ctx, h.office(), id, j.Version, desk.JobAct{Act: undo})
	h.must(err)
	d = h.planned("2026-03-03")
	plan = h.made(h.HandOut(ctx, h.office(), d.ID, d.Version))
	again := 0
	for _, n := range h.planNotices(plan) {
		if b, ok := back[n.Thing]; ok {
			again++
			if n.Facts.TakenBack || n.Revision != b.Revision+1 || n.ICalSequence != b.ICalSequence+1 {
				h.Errorf("back in the plan: %+v after %+v", n, b)
			}
		}
	}
	if again == 0 {
		h.Error("back in the plan, and nobody is told")
	}
}

// Nobody is asked how low the water is who has just said it.
func TestReadingStopsTheQuestionForOne(t *testing.T) {
	eachOffice(t, func(h *hands) {
		jobID, _ := h.quoted()
		ask := func(n *jobs.Notice) {
			n.Kind, n.Thing, n.JobID = jobs.NoticeHalfway, "halfway/"+n.ID, jobID
			n.Facts = jobs.NoticeFacts{From: h.now.Add(-4 * time.Hour).Unix()}
		}
		read := func(at time.Time) {
			_, err := h.AddReading(ctx, h.office(), jobID, desk.NewReading{Text: "7 1/2", Unit: "in", At: at})
			h.must(err)
		}
		read(h.now.AddDate(0, 0, -3)) // of an earlier drain
		if out, err := h.ClaimNotice(ctx, h.putNotice(ask).ID, time.Minute); err != nil || out == nil {
			t.Errorf("not asked, because of a reading three days old: %v", err)
		}
		n := h.putNotice(ask)
		read(h.now.Add(-time.Hour))
		if out, err := h.ClaimNotice(ctx, n.ID, time.Minute); err != nil || out != nil {
			t.Errorf("asked for what was said: %+v, %v", out, err)
		}
	})
}
