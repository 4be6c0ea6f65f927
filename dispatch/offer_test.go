package dispatch_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
)

// Offered windows come in the order of their costs and do not overlap; each can be booked:
// the plan with the job in it and the window promised passes the checker and keeps every
// promise that was kept.
func TestOffersCanBeBooked(t *testing.T) {
	seeds, asks := uint64(1), 6
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds, asks = 6, 30
	}
	ws, ps := askWeeks(t, seeds)
	booked, none := 0, 0
	for n, w := range ws {
		a, c := asked(t, w, ps[n]), newChanger(w, ps[n], uint64(n)+7)
		kept := keptPromises(w, ps[n])
		for k := range asks {
			ask := dispatch.OfferAsk{New: copyOf(c.job(pick(c.r, c.jobs)), c.r)}
			if k == 0 && len(ps[n].LeftOut) > 0 {
				ask = dispatch.OfferAsk{Job: ps[n].LeftOut[0].Job}
			}
			got, err := a.Offer(ask)
			if err != nil {
				t.Fatal(err)
			}
			if got.Holds == "" {
				t.Errorf("week %d: nothing holds %+v", n, ask)
			}
			if len(got.Windows) == 0 {
				none++
			}
			for i, x := range got.Windows {
				if x.Start < x.From || x.Start > x.To || x.To-x.From != 7200 || got.Earliest.Start > x.Start {
					t.Errorf("week %d: window %+v; the earliest starts %d", n, x, got.Earliest.Start)
				}
				for _, y := range got.Windows[:i] {
					if y.Tour == x.Tour || x.From < y.To && y.From < x.To || y.Delta.Total > x.Delta.Total {
						t.Errorf("week %d: windows %+v and %+v are not two in order", n, y, x)
					}
				}
				w2, p2, err := a.Book(ask, x)
				if err != nil {
					t.Errorf("week %d: booking %+v: %v", n, x, err)
					continue
				}
				booked++
				if r := check.Plan(w2, p2); !r.OK() {
					t.Errorf("week %d: %v", n, r.Broken)
				}
				late := keptPromises(w2, p2)
				for id := range kept {
					if !late[id] {
						t.Errorf("week %d: booking breaks promise %s", n, id)
					}
				}
				if last := w2.Promises[len(w2.Promises)-1]; !late[last.ID] || last.From != x.From || last.To != x.To {
					t.Errorf("week %d: the window promised is not kept", n)
				}
			}
		}
	}
	if t.Logf("%d booked, %d jobs without a window", booked, none); booked < 20 {
		t.Errorf("only %d booked", booked)
	}
}

func keptPromises(w *week.Week, p *week.Plan) map[string]bool {
	start := map[string]int64{}
	for i := range p.Tours {
		for _, s := range p.Tours[i].Stops {
			start[s.Visit] = s.Start
		}
	}
	kept := map[string]bool{}
	for _, x := range w.Promises {
		if s, ok := start[x.Visit]; ok && x.From <= s && s <= x.To {
			kept[x.ID] = true
		}
	}
	return kept
}

// Wrong asks name the field, its value and what would be right.
func TestWrongOffers(t *testing.T) {
	ws, ps := askWeeks(t, 1)
	a, c := asked(t, ws[3], ps[3]), newChanger(ws[3], ps[3], 1)
	out := ps[3].LeftOut[0].Job
	for _, x := range []struct {
		ask  dispatch.OfferAsk
		want string
	}{
		{dispatch.OfferAsk{}, "job: "},
		{dispatch.OfferAsk{Job: out, New: &dispatch.NewJob{}}, "one of them"},
		{dispatch.OfferAsk{Job: "none"}, `job: "none"`},
		{dispatch.OfferAsk{Job: c.jobs[0]}, "it is in the plan"},
		{dispatch.OfferAsk{Job: out, Visit: "none"}, `visit: "none"`},
		{dispatch.OfferAsk{Job: out, Most: -1}, "most: -1"},
		{dispatch.OfferAsk{Job: out, Width: 5}, "width: 5"},
		{dispatch.OfferAsk{Job: out, Width: 3600, Step: 7200}, "step: 7200"},
	} {
		_, err := a.Offer(x.ask)
		var bad week.FieldErrors
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%+v: %v; want something with %q", x.ask, err, x.want)
		}
	}
}
