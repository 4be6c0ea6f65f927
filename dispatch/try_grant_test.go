package dispatch_test

import (
	"os"
	"slices"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// granted is a week in which a limit gives way by so much; false if that can't be written
// into a week.
func granted(w *week.Week, l *dispatch.Limit, by int64) (*week.Week, bool) {
	x := *w
	x.Tours, x.Jobs, x.Homes = slices.Clone(w.Tours), slices.Clone(w.Jobs), slices.Clone(w.Homes)
	t := slices.IndexFunc(x.Tours, func(t week.Tour) bool { return t.ID == l.Tour })
	j := slices.IndexFunc(x.Jobs, func(j week.Job) bool { return j.ID == l.Job })
	n := -1
	if j >= 0 {
		x.Jobs[j].Visits, x.Jobs[j].Links = slices.Clone(x.Jobs[j].Visits), slices.Clone(x.Jobs[j].Links)
		n = slices.IndexFunc(x.Jobs[j].Visits, func(v week.Visit) bool { return v.ID == l.Visit })
	}
	if j < 0 && t < 0 || j < 0 && l.Job != "" || n < 0 && l.Visit != "" && l.Job != "" {
		return nil, false
	}
	switch l.Rule {
	case "shift":
		if x.Tours[t].Begun != nil { // its last return is what its drive home asks for
			return nil, false
		}
		x.Tours[t].OvertimeTo += by
	case "people":
		x.Tours[t].People += int(by)
	case "room":
		x.Tours[t].Room += by
	case "truck":
		if x.Tours[t].Begun != nil || x.Tours[t].Home == "" {
			return nil, false
		}
		x.Tours[t].Berths += int(by)
	case "not_after":
		if x.Jobs[j].NotAfter == nil {
			return nil, false
		}
		at := *x.Jobs[j].NotAfter + by
		x.Jobs[j].NotAfter = &at
	case "allowed":
		v := &x.Jobs[j].Visits[n]
		if len(v.Allowed) == 0 || v.EndInside {
			return nil, false
		}
		v.Allowed = slices.Clone(v.Allowed)
		v.Allowed[len(v.Allowed)-1].To += by
	case "low_limit":
		wt := x.Jobs[j].Water
		if wt == nil || len(wt.LowLimit) == 0 || n >= 0 && x.Jobs[j].Visits[n].Water != week.NeedLow {
			return nil, false
		}
		y := *wt
		y.LowLimit = slices.Clone(y.LowLimit)
		for i := range y.LowLimit {
			y.LowLimit[i].Y += by
		}
		x.Jobs[j].Water = &y
	case "link":
		k := slices.IndexFunc(x.Jobs[j].Links, func(k week.Link) bool { return k.To == l.Visit && k.Hi != nil })
		if k < 0 || l.Tour != "" { // on a tour: the order of visits
			return nil, false
		}
		hi := *x.Jobs[j].Links[k].Hi + by
		x.Jobs[j].Links[k].Hi = &hi
	default:
		return nil, false
	}
	return &x, true
}

// overlaps reports whether a crew's tour could now last into its next one.
func overlaps(w *week.Week) bool {
	for i := range w.Tours {
		for k := range w.Tours {
			if a, b := &w.Tours[i], &w.Tours[k]; i != k && a.Crew == b.Crew && a.ShiftFrom < b.ShiftFrom && a.OvertimeTo > b.ShiftFrom {
				return true
			}
		}
	}
	return false
}

// By how much a limit is broken is true: granting all limits of a change exactly that much
// has them hold, and with one second (pump, person, litre) less the change does not fit
// (with few exceptions: with lunch elsewhere another time may do). What breaks next may be another
// limit, but mostly it fits then.
func TestLimitsAreTrue(t *testing.T) {
	seeds, tries := uint64(1), 300
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds, tries = 12, 1500
	}
	ws, ps := askWeeks(t, seeds)
	seen, tested := map[string]int{}, map[string]int{}
	times, enough, loose, more, all := 0, 0, 0, 0, 0
	for n, w := range ws {
		a, c := asked(t, w, ps[n]), newChanger(w, ps[n], uint64(n)+40)
		for range tries {
			x := c.change()
			switch x.Kind {
			case dispatch.ChangeJobIn, dispatch.ChangeCrew, dispatch.ChangeWater, dispatch.ChangeJobEarlier:
				continue // of one way of many, or the change itself sets what would be granted
			}
			if x.Kind == dispatch.ChangeVisit && (x.After == nil || x.Start != nil) {
				continue
			}
			got, err := a.Try(x)
			if err != nil || got.Fits {
				continue
			}
			// with all granted, less one of number less
			again := func(less int) (dispatch.Tried, bool) {
				y, ok := w, false
				for i := range got.Limits {
					by := got.Limits[i].By
					if i == less {
						by--
					}
					if y, ok = granted(y, &got.Limits[i], by); !ok {
						return dispatch.Tried{}, false
					}
				}
				if y.Validate() != nil || overlaps(y) {
					return dispatch.Tried{}, false
				}
				b, err := dispatch.NewWarm(y, ps[n])
				if err != nil {
					t.Fatal(err)
				}
				z, err := b.Try(x)
				return z, err == nil
			}
			for i := range got.Limits {
				seen[got.Limits[i].Rule]++
				if l := &got.Limits[i]; l.Text == "" || l.By < 0 || l.Unit == "" {
					t.Errorf("week %d %s: %+v", n, x.Kind, *l)
				}
			}
			every, ok := again(-1)
			if !ok {
				continue
			}
			for i := range got.Limits {
				l := &got.Limits[i]
				tested[l.Rule]++
				all++
				if breaks(&every, l) {
					more++
					t.Logf("week %d %+v: with all limits granted: %+v; were %+v", n, x, every.Limits, got.Limits)
					break
				}
				if l.Unit == "s" && i == 0 {
					if times++; every.Fits {
						enough++
					}
				}
				if one, ok := again(i); ok && (one.Fits || l.Unit != "s" && !breaks(&one, l)) {
					loose++ // lunch is chosen tour by tour: elsewhere a little less may do
					t.Logf("week %d %s: with one less of %+v: %+v; were %+v", n, x.Kind, *l, one.Limits, got.Limits)
				}
			}
		}
	}
	t.Log("limits:", seen, "granted:", tested, "with time granted", times, "of these fit", enough, "less than named", loose, "more", more, "of", all)
	if loose*20 > all || more*200 > all {
		t.Errorf("of %d limits %d are less and %d more than was named", all, loose, more)
	}
	if enough*10 < times*9 {
		t.Errorf("with the time that was named %d of %d fit", enough, times)
	}
	for _, rule := range []string{"shift", "people", "low_limit", "room"} {
		if tested[rule] == 0 {
			t.Errorf("no %s was granted", rule)
		}
	}
}

// breaks reports whether a change breaks a limit.
func breaks(x *dispatch.Tried, l *dispatch.Limit) bool {
	return slices.ContainsFunc(x.Limits, func(o dispatch.Limit) bool {
		return o.Rule == l.Rule && o.Tour == l.Tour && o.Visit == l.Visit && o.Job == l.Job
	})
}
