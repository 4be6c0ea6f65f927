package bound

// leg is the least time and cost of a drive that leaves at x, in a period, or later.
func (p *pricer) leg(from, to, period int, x int64) (arrive, work, cost int64) {
	r := p.m.road
	arrive, work = r.leg(period, x, r.seconds[from][to])
	return arrive, work, r.metres[from][to]*p.t.km + work*p.cheap
}

// legKey names a table of the drives of a period by what they cost.
type legKey struct {
	period    int
	km, cheap int64
}

// legsOf is that table: seconds, as long as the period holds, and cost of each drive.
func (p *pricer) legsOf(period int) (table []int64, until int64) {
	r := p.m.road
	until = never
	if period+1 < len(r.periods) {
		until = r.periods[period+1].From
	}
	key := legKey{period, p.t.km, p.cheap}
	if list, ok := p.legs[key]; ok {
		return list, until
	}
	n := len(r.seconds)
	speed, best := r.speeds(period)
	table = make([]int64, 2*n*n)
	for i := range n {
		for k := range n {
			left := r.seconds[i][k] * 1000
			table[2*(i*n+k)] = (left + speed - 1) / speed
			table[2*(i*n+k)+1] = r.metres[i][k]*p.t.km + left/best*p.cheap
		}
	}
	if p.legs == nil || len(p.legs) >= legsMost {
		p.legs = map[legKey][]int64{}
	}
	p.legs[key] = table
	return table, until
}

// legsMost is how many such tables are kept.
const legsMost = 64
