package search

import "ebbline/dispatch/week"

// broken lists the rules that a job let off some of them really breaks.
func (st *state) broken(j int32) []week.RuleBreak {
	m, jb := st.m, &st.m.jobs[j]
	off := st.off[j]
	if off == 0 {
		return nil
	}
	var out []week.RuleBreak
	x := &m.w.Jobs[j]
	if off&offLow != 0 {
		if jb.water != nil && !st.lowKept(j) {
			out = append(out, week.RuleBreak{Rule: week.BreakLowLimit, Job: x.ID})
		}
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if l := st.owedLatest(j, v); st.owed[v] && off&offCommission != 0 && l != nil && *l < m.w.NextWorkday.End {
			out = append(out, week.RuleBreak{Rule: week.BreakCommission, Visit: m.visitID(v)})
		}
		if !st.placed[v] || m.visits[v].fixed {
			continue
		}
		y := &x.Visits[v-jb.first]
		if off&offCommission != 0 {
			for i := range m.visits[v].out {
				a := &m.visits[v].out[i]
				if !a.comm || !st.placed[a.to] || len(out) > 0 && out[len(out)-1] == (week.RuleBreak{Rule: week.BreakCommission, Visit: y.ID}) {
					continue
				}
				if b := st.ss[v] + a.c; a.toEnd && b > st.se[a.to] || !a.toEnd && b > st.ss[a.to] {
					out = append(out, week.RuleBreak{Rule: week.BreakCommission, Visit: y.ID})
				}
			}
		}
		if off&offAvailability != 0 && !m.allowed(int(j), int(v-jb.first), st.se[v]-st.ss[v], off&^offAvailability).has(st.ss[v]) {
			out = append(out, week.RuleBreak{Rule: week.BreakAvailability, Visit: y.ID})
		}
		if p := y.Pin; p != nil && off&offPin != 0 {
			t := &m.w.Tours[st.tourOf[v]]
			if p.Tour != "" && p.Tour != t.ID || p.Day != nil && *p.Day != t.Day || p.Start != nil && *p.Start != st.ss[v] {
				out = append(out, week.RuleBreak{Rule: week.BreakPin, Visit: y.ID})
			}
		}
	}
	return out
}

// lowKept reports whether the pool is covered before its low limit.
func (st *state) lowKept(j int32) bool {
	wt := st.m.jobs[j].water
	d, drains := st.drainBegin(j)
	e, fills := st.fillBegin(j)
	if wt.Way == week.WayWindow || !drains || !fills && !st.owesLow(j) {
		return true
	}
	lim, ok := limitOf(wt, d)
	over, read := st.m.w.NextWorkday.End, true
	if fills {
		over, read = at(wt.Covered, e)
	}
	return ok && read && over <= lim
}

func (st *state) breakPrice(j int32) int64 {
	sum := int64(0)
	r := &st.m.w.Rates
	for _, b := range st.broken(j) {
		switch b.Rule {
		case week.BreakLowLimit:
			sum += r.BreakLowLimitCents
		case week.BreakCommission:
			sum += r.BreakCommissionCents
		case week.BreakAvailability:
			sum += r.BreakAvailabilityCents
		default:
			sum += r.BreakPinCents
		}
	}
	return sum * week.MoneyUnit
}
