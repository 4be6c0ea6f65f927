package desk_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// pool is an office with two crews, whose days are written straight into the
// store: what is tested begins at the pool.
type pool struct {
	*hands
	crews          []string
	customer, site string
	plan           string
	n              int
}

func (h *hands) pool() *pool {
	h.Helper()
	p := &pool{hands: h}
	home := h.made(h.CreateHome(ctx, h.office(), h.branch, jobs.HomeData{Name: "Yard", LatE7: 334_000_000, LonE7: -1_120_000_000}))
	for i := range 2 {
		p.crews = append(p.crews, h.made(h.CreateCrew(ctx, h.office(), h.branch, jobs.CrewData{HomeID: home, Name: fmt.Sprintf("Crew %d", i+1),
			Place: int64(i), PumpBerths: 1, Active: true, Shifts: []jobs.Shift{{Weekday: 1, FromMinute: 360, ToMinute: 1000}}})))
	}
	out, err := h.CreateEnquiry(ctx, h.office(), h.firstCall())
	h.must(err)
	j := h.wantState(out.NounID, jobs.StateEnquiry)
	p.customer, p.site, p.plan = j.CustomerID, j.SiteID, ids{h}.New()
	h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
		return tx.InsertPlan(jobs.Plan{ID: p.plan, BranchID: h.branch, Number: 1, FirstDay: "2026-03-02", Days: 5, Week: "{}", Body: "{}", HandedOutAt: h.now})
	}))
	return p
}

// tech is a call of a crew's tech.
func (p *pool) tech(crew int) desk.Call {
	return desk.Call{Actor: jobs.Actor{UserID: fmt.Sprintf("tech-%d", crew), Role: jobs.RoleTech, Name: "Tess", BranchID: p.branch, CrewID: p.crews[crew]}, Now: p.now}
}

// routed puts a job with its chain into a crew's day. Each takes a day of its
// own, so that no crew is in two places.
func (p *pool) routed(crew int, kinds ...jobs.VisitKind) jobs.Job {
	p.Helper()
	p.n++
	id := ids{p.hands}
	j := jobs.Job{ID: id.New(), BranchID: p.branch, CustomerID: p.customer, SiteID: p.site, State: jobs.StateRouted,
		JobData: jobs.JobData{Kind: jobs.JobConversion, WayLow: jobs.LowCustomer, Value: ptr(jobs.Cents(5_000_00))}, Version: 1, CreatedAt: p.now, UpdatedAt: p.now}
	day := jobs.Day("2026-03-02").Add(p.n)
	start := day.Start(time.UTC).Add(15 * time.Hour)
	tour := jobs.Tour{ID: id.New(), PlanID: p.plan, BranchID: p.branch, CrewID: p.crews[crew], Day: day, DepartAt: start, ReturnAt: start.Add(8 * time.Hour), Live: true}
	var stops []jobs.Stop
	var windows []jobs.Promise
	for i, kind := range kinds {
		v := jobs.Visit{ID: id.New(), JobID: j.ID, Place: int64(i + 1), Kind: kind, State: jobs.VisitRouted, Version: 1, CreatedAt: p.now, UpdatedAt: p.now}
		j.Visits = append(j.Visits, v)
		at := start.Add(time.Duration(2*i) * time.Hour)
		stops = append(stops, jobs.Stop{ID: id.New(), PlanID: p.plan, BranchID: p.branch, TourID: tour.ID, CrewID: tour.CrewID, JobID: j.ID, VisitID: v.ID,
			Place: int64(i + 1), ArriveAt: at, StartAt: at, EndAt: at.Add(time.Hour), Live: true})
		windows = append(windows, jobs.Promise{ID: id.New(), BranchID: p.branch, JobID: j.ID, VisitID: v.ID, PlanID: p.plan,
			FromAt: phoneTime(0), ToAt: phoneTime(30), Live: true, CreatedAt: p.now})
	}
	p.must(p.store.InTx(ctx, func(tx *store.Tx) (err error) {
		if _, err = tx.InsertJob(j); err != nil {
			return err
		}
		if err = tx.InsertTours([]jobs.Tour{tour}); err != nil {
			return err
		}
		if err = tx.InsertStops(stops); err != nil {
			return err
		}
		return tx.InsertPromises(windows)
	}))
	return j
}

// phoneTime is so many minutes after six in the morning, on the day of the test.
func phoneTime(minute int) time.Time { return time.Date(2026, 3, 2, 13, minute, 0, 0, time.UTC) }

func report(n int, kind jobs.OperationKind, minute int, more ...func(*jobs.Operation)) jobs.Operation {
	o := jobs.Operation{ID: fmt.Sprintf("%08d", n), Kind: kind, At: phoneTime(minute)}
	for _, m := range more {
		m(&o)
	}
	return o
}

func reason(why string) func(*jobs.Operation) { return func(o *jobs.Operation) { o.Reason = why } }
func until(minute int) func(*jobs.Operation) {
	return func(o *jobs.Operation) { o.Until = ptr(phoneTime(minute)) }
}
func step(id, text string, value *int64) func(*jobs.Operation) {
	return func(o *jobs.Operation) { o.StepID, o.Text, o.Value = id, text, value }
}

// gates are all the gates of a conversion, each satisfied.
func gates() []jobs.Operation {
	return []jobs.Operation{
		report(90, jobs.OpStep, 2, step("convert-level", "14", ptr(int64(355_600)))), report(91, jobs.OpStep, 3, step("convert-off", "", nil)),
		report(92, jobs.OpStep, 4, step("convert-dead", "0", ptr(int64(0)))), report(93, jobs.OpStep, 5, step("convert-measure", "go", nil)),
		report(94, jobs.OpStep, 6, step("convert-seal", "", nil)), report(95, jobs.OpStep, 7, step("convert-dry", "", nil)),
	}
}

// of makes reports those of a visit; ids stay apart between visits.
func of(visitID string, list []jobs.Operation) []jobs.Operation {
	out := slices.Clone(list)
	for i := range out {
		out[i].VisitID = visitID
		out[i].ID = out[i].ID[:8] + visitID[8:]
	}
	return out
}

// stands is everything that reports come to, as one text.
func (p *pool) stands(jobID, visitID string) string {
	p.Helper()
	j := p.Job0(jobID)
	var r jobs.FieldRecord
	p.must(p.store.View(ctx, func(tx *store.Tx) (err error) { r, err = tx.Record(visitID); return err }))
	clock := func(t time.Time) string { return t.Format("15:04") }
	text := fmt.Sprintf("job %s converted %s; record %s %q %s-%s lights %d kept %v", j.State, clock(j.ConvertedAt), r.Outcome, r.Reason,
		clock(r.ArrivedAt), clock(r.LeftAt), r.Lights, r.Kept())
	for _, v := range j.Visits {
		if v.State != jobs.VisitWithdrawn {
			text += fmt.Sprintf("; %s %s %q %q %s-%s", v.Kind, v.State, v.Outcome, v.OutcomeNote, clock(v.BegunAt), clock(v.DoneAt))
		}
	}
	return text
}

// Job0 reads a job without its acts.
func (p *pool) Job0(id string) (j jobs.Job) {
	p.Helper()
	p.must(p.store.View(ctx, func(tx *store.Tx) (err error) { j, err = tx.Job(id); return err }))
	return j
}

func (p *pool) record(call desk.Call, list ...jobs.Operation) []desk.FieldResult {
	p.Helper()
	out, err := p.RecordField(ctx, call, list)
	p.must(err)
	return out
}

// permute calls f with every order of 0..n-1.
func permute(n int, f func(order []int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var walk func(k int)
	walk = func(k int) {
		if k == n {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			walk(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	walk(0)
}

// Whatever the order in which a phone's reports come in, and however often,
// they come to the same record, visit and job.
func TestOrderOfReportsDoesNotMatter(t *testing.T) {
	dead := func(n, minute int, mV int64) jobs.Operation {
		return report(n, jobs.OpStep, minute, step("convert-dead", "", ptr(mV)))
	}
	sets := []struct {
		name  string
		ops   []jobs.Operation
		state jobs.State
	}{
		{"whole", []jobs.Operation{report(1, jobs.OpArrived, 0), report(2, jobs.OpFitted, 20, func(o *jobs.Operation) { o.SubjectID, o.Serial = "l1", "A1" }),
			report(3, jobs.OpDone, 50), report(4, jobs.OpLeft, 55), report(5, jobs.OpFitted, 25, func(o *jobs.Operation) { o.SubjectID, o.Serial = "l2", "A2" })}, jobs.StateConverted},
		{"safe, then done", []jobs.Operation{report(1, jobs.OpArrived, 0), report(2, jobs.OpMadeSafe, 40, reason("storm"), until(59)), report(3, jobs.OpDone, 50)}, jobs.StateConverted},
		{"done, then safe", []jobs.Operation{report(1, jobs.OpArrived, 0), report(2, jobs.OpDone, 40), report(3, jobs.OpMadeSafe, 50, reason("storm"), until(59)), report(4, jobs.OpLeft, 52)}, jobs.StateMadeSafe},
		{"done, then wasted", []jobs.Operation{report(1, jobs.OpArrived, 0), report(2, jobs.OpDone, 40), report(3, jobs.OpWasted, 50, reason("gate"))}, jobs.StateUnderWay},
		{"wasted, then done", []jobs.Operation{report(1, jobs.OpArrived, 0), report(2, jobs.OpWasted, 40, reason("gate")), report(3, jobs.OpDone, 50)}, jobs.StateConverted},
		{"a gate fails after", []jobs.Operation{report(1, jobs.OpArrived, 0), report(2, jobs.OpDone, 40), dead(3, 45, 118_000)}, jobs.StateUnderWay},
		{"a gate fails and holds again", []jobs.Operation{dead(1, 20, 118_000), dead(2, 30, 0), report(3, jobs.OpDone, 40), report(4, jobs.OpMadeSafe, 35, reason("live"), until(59))}, jobs.StateConverted},
	}
	eachOffice(t, func(h *hands) {
		p, rng := h.pool(), rand.New(rand.NewPCG(7, 7))
		for _, set := range sets {
			want := ""
			permute(len(set.ops), func(order []int) {
				j := p.routed(0, jobs.VisitConvert, jobs.VisitCommission)
				visit := j.Visits[0].ID
				p.record(p.tech(0), of(visit, gates())...)
				var sent []int
				for _, i := range order {
					sent = append(sent, i)
					if rng.IntN(3) == 0 {
						sent = append(sent, sent[rng.IntN(len(sent))]) // once more
					}
				}
				ops := of(visit, set.ops)
				for len(sent) > 0 { // some together, some alone
					n := 1 + rng.IntN(len(sent))
					var batch []jobs.Operation
					for _, i := range sent[:n] {
						batch = append(batch, ops[i])
					}
					p.record(p.tech(0), batch...)
					sent = sent[n:]
				}
				got := p.stands(j.ID, visit)
				if want == "" {
					if want = got; p.Job0(j.ID).State != set.state {
						h.Errorf("%s: comes to %s, want the job %s", set.name, got, set.state)
					}
				}
				if got != want {
					h.Fatalf("%s in the order %v comes to\n%s\nwant\n%s", set.name, order, got, want)
				}
			})
		}
	})
}

// A report is kept with its flag when it is odd, and refused only when it can't
// mean anything.
func TestOddReportsAreKeptAndFlagged(t *testing.T) {
	eachOffice(t, func(h *hands) {
		p := h.pool()
		j := p.routed(0, jobs.VisitConvert)
		v := j.Visits[0]
		say := func(call desk.Call, visitID string, o jobs.Operation, state, says string) {
			h.Helper()
			got := p.record(call, of(visitID, []jobs.Operation{o})...)[0]
			if got.State != state || !strings.Contains(got.Says, says) {
				h.Errorf("got %+v, want %s with %q", got, state, says)
			}
		}
		say(p.tech(0), v.ID, report(1, jobs.OpArrived, 0), "applied", "")
		say(p.tech(0), v.ID, report(1, jobs.OpArrived, 0), "known", "")
		say(p.tech(0), v.ID, report(1, jobs.OpLeft, 0), "refused", "id")
		ahead := report(2, jobs.OpNote, 0)
		ahead.At = h.now.Add(72 * time.Hour)
		say(p.tech(0), v.ID, ahead, "flagged", "clock is ahead by 72h")
		behind := report(3, jobs.OpNote, 0)
		behind.At = h.now.Add(-72 * time.Hour)
		say(p.tech(0), v.ID, behind, "applied", "")
		say(p.tech(0), v.ID, report(4, jobs.OpStep, 1, step("convert-dead", "118", ptr(int64(118_000)))), "flagged", "118 V lies outside")
		say(p.tech(0), v.ID, report(5, jobs.OpStep, 1, step("circuit-dead", "0", ptr(int64(0)))), "refused", "step_id")
		say(p.tech(0), v.ID, report(6, jobs.OpWasted, 1), "refused", "reason")
		say(p.tech(0), v.ID, report(7, jobs.OpReading, 1, func(o *jobs.Operation) { o.Value = ptr(int64(9_000_000)) }), "flagged", "hardly")

		// Another crew was never sent there.
		_, err := p.RecordField(ctx, p.tech(1), of(v.ID, []jobs.Operation{report(8, jobs.OpDone, 9)}))
		h.wants(err, jobs.CodeNotFound, "no such visit")
		_, err = p.RecordField(ctx, p.tech(0), nil)
		h.wants(err, jobs.CodeInvalid, "operations")

		// The plan gives the visit to the other crew; later it is withdrawn.
		other := p.routed(1, jobs.VisitConvert)
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
			stops, err := tx.StopsOf(v.ID)
			if err != nil {
				return err
			}
			moved := stops[0]
			if err := tx.RetireStops([]string{moved.ID}); err != nil {
				return err
			}
			theirs, err := tx.StopsOf(other.Visits[0].ID)
			if err != nil {
				return err
			}
			moved.ID, moved.CrewID, moved.TourID = ids{h}.New(), p.crews[1], theirs[0].TourID
			return tx.InsertStops([]jobs.Stop{moved})
		}))
		say(p.tech(0), v.ID, report(9, jobs.OpNote, 9), "flagged", "another crew's now")
		say(p.tech(1), v.ID, report(10, jobs.OpNote, 9), "applied", "")
		h.must(h.store.InTx(ctx, func(tx *store.Tx) error {
			w := p.Job0(j.ID).Visits[0]
			w.State = jobs.VisitWithdrawn
			return tx.UpdateVisit(w)
		}))
		say(p.tech(0), v.ID, report(11, jobs.OpDone, 59), "flagged", "was withdrawn")
		if got := p.Job0(j.ID).Visits[0].State; got != jobs.VisitWithdrawn {
			h.Errorf("the visit is %s; a report may not bring back what the office withdrew", got)
		}
		var kept []jobs.Operation
		h.must(h.store.View(ctx, func(tx *store.Tx) (err error) { kept, err = tx.Operations(v.ID); return err }))
		if len(kept) != 8 {
			h.Errorf("%d reports are kept, want 8", len(kept))
		}
		past, err := p.JobHistory(ctx, j.ID, jobs.Page{Limit: 100})
		h.must(err)
		flags := 0
		for _, e := range past.Items {
			if e.Act == "flag" {
				flags++
			}
		}
		if flags != 5 {
			h.Errorf("%d flags in the job's history, want 5", flags)
		}
	})
}

// A batch that is sent again under its key gets the same answer; under a new
// key each report is known. Nothing is done twice.
func TestBatchSentAgain(t *testing.T) {
	eachOffice(t, func(h *hands) {
		p := h.pool()
		j := p.routed(0, jobs.VisitConvert)
		list := of(j.Visits[0].ID, append(gates(), report(1, jobs.OpDone, 50), report(2, jobs.OpWasted, 1),
			report(3, jobs.OpExtraWork, 10, func(o *jobs.Operation) { o.Text, o.AmountCents = "New wall fitting", ptr(jobs.Cents(200_00)) }),
			report(4, jobs.OpExtraWork, 11, func(o *jobs.Operation) { o.Text, o.AmountCents = "Dig a base", ptr(jobs.Cents(200_00)) })))
		call := p.tech(0)
		call.Key, call.Fingerprint = "k1", "f"
		first := p.record(call, list...)
		version := p.Job0(j.ID).Version
		if again := p.record(call, list...); !slices.Equal(first, again) {
			h.Errorf("the same key gets\n%v\nfirst it was\n%v", again, first)
		}
		call.Key = "k2"
		for i, r := range p.record(call, list...) {
			if want := map[bool]string{true: "refused", false: "known"}[first[i].State == "refused"]; r.State != want {
				h.Errorf("%s under a new key, want %s", r.State, want)
			}
		}
		if got := p.Job0(j.ID); got.State != jobs.StateConverted || got.Version != version {
			h.Errorf("the job is %s at version %d, want converted at %d", got.State, got.Version, version)
		}
		extra, err := p.ExtraWorks(ctx, h.office().Actor, j.ID)
		h.must(err)
		if len(extra) != 2 || extra[0].State != jobs.ExtraApproved || extra[1].State != jobs.ExtraAgreed {
			h.Fatalf("extra work %+v; want the first inside the lead's limit of $250 and the second for the office", extra)
		}
		_, err = p.AnswerExtraWork(ctx, h.office(), extra[1].ID, 1, jobs.ExtraRefused)
		h.must(err)
		_, err = p.AnswerExtraWork(ctx, h.office(), extra[1].ID, 2, jobs.ExtraApproved)
		h.wants(err, jobs.CodeConflict, "refused already")
	})
}

// A phone that hears no answer sends again while the first is still at work.
func TestSameReportsAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		p := h.pool()
		j := p.routed(0, jobs.VisitConvert, jobs.VisitCommission)
		list := of(j.Visits[0].ID, append(gates(), report(1, jobs.OpArrived, 0), report(2, jobs.OpDone, 50)))
		var wg sync.WaitGroup
		var mu sync.Mutex
		states := map[string]int{}
		for i := range 8 {
			wg.Go(func() {
				call := p.tech(0)
				call.Key, call.Fingerprint = fmt.Sprint("phone-", i), "f"
				out, err := p.RecordField(ctx, call, list)
				mu.Lock()
				defer mu.Unlock()
				if err != nil {
					h.Errorf("sent at once: %v", err)
				}
				for _, r := range out {
					states[r.State]++
				}
			})
		}
		wg.Wait()
		if states["applied"] != len(list) || states["known"] != 7*len(list) {
			h.Errorf("%v, want each of %d applied once", states, len(list))
		}
		h.wantState(j.ID, jobs.StateConverted)
		var level []jobs.Reading
		h.must(h.store.View(ctx, func(tx *store.Tx) (err error) { level, err = tx.Readings(j.ID); return err }))
		if len(level) != 1 {
			h.Errorf("%d water readings, want the one of the step", len(level))
		}
	})
}
