package search

// quarter is what told intervals are rounded to, counted from the first midnight.
const quarter = 900

// roundTold moves told intervals back to a whole quarter of an hour where that costs
// nothing: people are told "between 14:15 and 16:15". Anything between the least and
// the slid instant keeps every rule.
func (st *state) roundTold() {
	for j := range st.m.jobs {
		w := st.m.jobs[j].told
		if w < 0 || !st.placed[w] || st.m.jobs[j].hasSent && !st.moved[j] {
			continue
		}
		s, d := st.ss[w], st.se[w]-st.ss[w]
		r := s - s%quarter
		if s < 0 || r < max(st.s[w], st.earliestShown(w, d)) || !st.m.visits[w].free.has(r) {
			continue
		}
		st.ss[w], st.se[w] = r, r+d
		if st.jobPrice(int32(j)) != st.jobCost[j] {
			st.ss[w], st.se[w] = s, s+d
		}
	}
}
