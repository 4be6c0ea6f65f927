package jobs

import (
	"sort"
	"time"
)

// ChangeKind says how a notice differs from what its reader was told.
type ChangeKind string

// The kinds of change.
const (
	ChangeNew       ChangeKind = "new"
	ChangeChanged   ChangeKind = "changed"
	ChangeWithdrawn ChangeKind = "withdrawn"
)

// NoticeStep is one thing to do so that readers know what holds now: put an old
// revision aside, write a new one, or both.
type NoticeStep struct {
	Change ChangeKind
	Old    *Notice       // the revision that no longer holds; nil: none
	Want   *WantedNotice // the revision to write; nil: nothing, nobody had seen the old one
	// Revision and Sequence of the new one. A calendar entry keeps its UID and
	// its SEQUENCE grows (RFC 5545, 3.8.7.4).
	Revision, Sequence int64
}

// DiffNotices compares what was told with what holds now. known are all
// revisions of the wanted things and of those not yet useless; wanted comes from
// PlanNotices. What nobody has seen is replaced silently; what somebody has seen
// is changed or taken back by a further notice. Things whose use is over are
// left alone.
func DiffNotices(known []Notice, wanted []WantedNotice, now time.Time) []NoticeStep {
	last, seen := map[string]*Notice{}, map[string]bool{}
	for i := range known {
		n := &known[i]
		if before := last[n.Thing]; before == nil || n.Revision > before.Revision {
			last[n.Thing] = n
		}
		seen[n.Thing] = seen[n.Thing] || n.Seen()
	}
	var steps []NoticeStep
	want := map[string]bool{}
	for i := range wanted {
		w := &wanted[i]
		want[w.Thing] = true
		old := last[w.Thing]
		if old == nil {
			steps = append(steps, NoticeStep{Change: ChangeNew, Want: w, Revision: 1})
			continue
		}
		holds := old.State != NoticeSuperseded
		if holds && old.Facts.Same(w.Facts) && old.Address == w.Address && old.Channel == w.Channel {
			continue
		}
		step := NoticeStep{Change: ChangeChanged, Want: w, Revision: old.Revision + 1, Sequence: old.ICalSequence + 1}
		if !seen[w.Thing] || old.Facts.TakenBack {
			step.Change = ChangeNew
		}
		if holds {
			step.Old = old
		}
		steps = append(steps, step)
	}
	for thing, old := range last {
		if want[thing] || old.State == NoticeSuperseded || old.Facts.TakenBack || !old.UsefulUntil.After(now) {
			continue
		}
		step := NoticeStep{Change: ChangeWithdrawn, Old: old}
		switch {
		case !seen[thing]:
		case old.Kind.takenBack():
			step.Want, step.Revision, step.Sequence = takeBack(*old), old.Revision+1, old.ICalSequence+1
		case old.State != NoticeDue:
			continue // told, and nothing is left to take back
		}
		steps = append(steps, step)
	}
	sort.Slice(steps, func(i, j int) bool { return steps[i].thing() < steps[j].thing() })
	return steps
}

func (s NoticeStep) thing() string {
	if s.Want != nil {
		return s.Want.Thing
	}
	return s.Old.Thing
}

// takeBack is the notice that what was told no longer holds. Its words are
// filled in by whoever knows the site.
func takeBack(old Notice) *WantedNotice {
	w := &WantedNotice{
		Thing: old.Thing, Kind: old.Kind, JobID: old.JobID, VisitID: old.VisitID, ContactID: old.ContactID, PersonID: old.PersonID,
		Channel: old.Channel, Address: old.Address, Language: old.Language, Zone: old.Zone, ICalUID: old.ICalUID,
		UsefulUntil: old.UsefulUntil, Facts: old.Facts,
	}
	w.Facts.TakenBack = true
	if old.Kind.Reader() == ReaderCustomer {
		w.Kind = NoticeWithdrawn
	}
	return w
}
