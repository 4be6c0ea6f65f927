package bound

import (
	"ebbline/dispatch/week"
)

// job and the choices it has.
type job struct {
	week  *week.Job
	first int32 // its first visit
	out   int64 // what leaving it out costs, in units
	// cost of each choice, in units, and its nodes one after the other: width to a
	// choice, -1 behind the last.
	cost  []int64
	nodes []int32
	width int
	// stands are the days between which a pump stands on the site at night.
	stands [][2]int16
}

const owed = int32(-2) // a visit's node: after the horizon

// chooser walks through the parts of days that a job's visits may have.
type chooser struct {
	m    *model
	jb   *job
	node []int32 // of each visit
	deep int     // so many visits have one
	any  bool    // list all choices, however many
	// Of each visit the least and the greatest start that the choice leaves.
	lo, hi []int64
}

// choices lists every combination of parts of days (or owed) of a job's visits that its
// lags and its water do not rule out, each with the least it costs beside its crews. It
// reports false if there are very many, unless any number will do.
func (m *model) choices(jb *job, anyNumber bool) bool {
	x, r := jb.week, &m.w.Rates
	jb.out = x.Value*r.LeftOutPermille*perMille + int64(max(0, m.w.NextWorkday.Day-x.DueDay))*r.LateCents*week.MoneyUnit
	for n := range x.Visits {
		jb.out += m.promiseCost(&x.Visits[n], nil)
	}
	if c := x.Water; c != nil && c.Customer != nil && c.Customer.Sent != nil {
		jb.out += r.PromiseCents * week.MoneyUnit
	}
	jb.width = len(x.Visits)
	jb.cost, jb.nodes, jb.stands = jb.cost[:0], jb.nodes[:0], jb.stands[:0]
	c := chooser{m: m, jb: jb, any: anyNumber, node: make([]int32, jb.width), lo: make([]int64, jb.width), hi: make([]int64, jb.width)}
	return c.walk(0)
}

func (c *chooser) walk(n int) bool {
	m, x := c.m, c.jb.week
	c.deep = n
	if n > 0 && !c.narrow(n == len(x.Visits)) {
		return true
	}
	if n == len(x.Visits) {
		c.choose()
		k := len(c.jb.cost)
		return (c.any || k < choicesMost) && (k%256 != 0 || m.ctx.Err() == nil)
	}
	late := n > 0 && c.node[n-1] == owed && !linked(x, n-1, n)
	for _, node := range m.visits[c.jb.first+int32(n)].nodes {
		if c.node[n] = node; !late && !c.walk(n+1) {
			return false
		}
	}
	if v := &x.Visits[n]; v.MayOwe && v.Pin == nil {
		c.node[n] = owed
		return c.walk(n + 1)
	}
	return true
}

func linked(x *week.Job, a, b int) bool {
	p, q := x.Visits[a].ID, x.Visits[b].ID
	for _, l := range x.Links {
		if l.From == p && l.To == q || l.From == q && l.To == p {
			return true
		}
	}
	return false
}

// choose keeps the nodes as they stand if what is owed may be.
func (c *chooser) choose() {
	if !c.owes() {
		return
	}
	m, jb := c.m, c.jb
	cost, ok := c.cost()
	if !ok {
		return
	}
	jb.cost = append(jb.cost, cost)
	k, stand := 0, [2]int16{}
	for n, node := range c.node {
		if node == owed {
			continue
		}
		jb.nodes = append(jb.nodes, node)
		switch day := int16(m.nodes[node].day); m.nodes[node].truck {
		case drops:
			stand = [2]int16{day, day}
		case collects:
			stand[1] = day
		}
		win := &m.nodes[node].win
		win.lo, win.hi = min(win.lo, c.lo[n]), max(win.hi, c.hi[n])
		k++
	}
	for ; k < jb.width; k++ {
		jb.nodes = append(jb.nodes, -1)
	}
	jb.stands = append(jb.stands, stand)
}

// sweeps are how often the rules of a whole choice are gone through; fewer than it takes
// to settle only leave times wider.
const sweeps = 4

// narrow finds bounds on the start of every visit so far, false if there is none.
func (c *chooser) narrow(whole bool) bool {
	for n := range c.deep {
		if c.node[n] == owed {
			continue
		}
		s := c.starts(n)
		c.lo[n], c.hi[n] = s[0].lo, s[len(s)-1].hi
	}
	for k := range sweeps {
		if k > 0 && !whole {
			break
		}
		if !c.chain() || !c.links() || !c.water() {
			return false
		}
	}
	return true
}

func (c *chooser) starts(n int) []span {
	return c.m.nodes[c.node[n]].starts
}

func (c *chooser) placed(n int) bool { return n >= 0 && n < c.deep && c.node[n] != owed }

// raise and lower narrow a start, to the nearest that its visit may have.
func (c *chooser) raise(n int, x int64) bool {
	if x > c.lo[n] {
		c.lo[n] = next(c.starts(n), x)
	}
	return c.lo[n] <= c.hi[n]
}

func (c *chooser) lower(n int, x int64) bool {
	if x < c.hi[n] {
		c.hi[n] = before(c.starts(n), x)
	}
	return c.lo[n] <= c.hi[n]
}

func (c *chooser) chain() bool {
	x := c.jb.week
	for n := 1; n < c.deep; n++ {
		drop := x.Visits[n].CollectsPump
		if !c.placed(n) || !c.placed(n-1) || linked(x, n-1, n) && !drop {
			continue
		}
		secs := x.Visits[n-1].Seconds
		if !c.raise(n, c.lo[n-1]+secs) || !c.lower(n-1, c.hi[n]-secs) {
			return false
		}
	}
	return true
}

// end bounds how much later than its start a visit can end.
func (c *chooser) end(n int) int64 {
	vs := &c.m.visits[c.jb.first+int32(n)]
	return vs.seconds + vs.stretch
}

func (c *chooser) number(id string) int {
	for n := range c.jb.week.Visits {
		if c.jb.week.Visits[n].ID == id {
			return n
		}
	}
	return -1
}

func (c *chooser) links() bool {
	for _, l := range c.jb.week.Links {
		a, b := c.number(l.From), c.number(l.To)
		if !c.placed(a) || !c.placed(b) {
			continue
		}
		least, most := int64(0), int64(0) // between the two starts, beside lo and hi
		if l.FromEnd {
			least, most = c.jb.week.Visits[a].Seconds, c.end(a)
		}
		if l.Lo != nil && (!c.raise(b, c.lo[a]+least+*l.Lo) || !c.lower(a, c.hi[b]-least-*l.Lo)) {
			return false
		}
		if l.Hi != nil && (!c.raise(a, c.lo[b]-most-*l.Hi) || !c.lower(b, c.hi[a]+most+*l.Hi)) {
			return false
		}
	}
	return true
}

// owes reports whether what is owed may be.
func (c *chooser) owes() bool {
	x, end := c.jb.week, c.m.w.NextWorkday.End
	for n, node := range c.node {
		if node != owed {
			continue
		}
		if x.NotAfter != nil && *x.NotAfter-x.Visits[n].Seconds < end {
			return false
		}
		for _, l := range x.Links {
			if a := c.number(l.From); l.To == x.Visits[n].ID && l.Hi != nil && c.placed(a) {
				latest := c.hi[a] + *l.Hi
				if l.FromEnd {
					latest += c.end(a)
				}
				if latest < end {
					return false
				}
			}
		}
	}
	return true
}

// cost is the least a choice costs beside its crews; false if no told interval is left.
func (c *chooser) cost() (int64, bool) {
	m, x, r := c.m, c.jb.week, &c.m.w.Rates
	sum, conv, has := int64(0), int64(always), false
	for n := range x.Visits {
		v := &x.Visits[n]
		if c.node[n] == owed {
			sum += r.OwedCents*week.MoneyUnit + m.promiseCost(v, nil)
			continue
		}
		sum += m.promiseCost(v, &m.nodes[c.node[n]])
		if !v.MayOwe {
			conv, has = max(conv, c.lo[n]+v.Seconds), true
		}
	}
	if has {
		if wait := max(0, conv-m.w.T0) / day; wait > 0 {
			sum += x.Value * r.WaitingPermille * perMille * wait
		}
		sum += int64(max(0, m.dayOf(conv)-x.DueDay)) * r.LateCents * week.MoneyUnit
	}
	low, ok := c.lowSeconds()
	if low > r.LowFreeSeconds {
		sum += (low - r.LowFreeSeconds + 3599) / 3600 * r.LowCents * week.MoneyUnit
	}
	return sum, ok
}

// promiseCost is what the promises of a visit cost that can't be kept on its day, or
// all of them if it has none.
func (m *model) promiseCost(v *week.Visit, n *node) int64 {
	sum := int64(0)
	for _, p := range m.w.Promises {
		if p.Visit != v.ID {
			continue
		}
		if n == nil || len(both(n.starts, []span{{p.From, p.To}})) == 0 {
			sum += m.w.Rates.PromiseCents * week.MoneyUnit
		}
	}
	return sum
}

// dayOf is the number of the civil day of an instant.
func (m *model) dayOf(x int64) int {
	n := len(m.w.Days)
	if x >= m.w.End {
		return n + int((x-m.w.End)/day)
	}
	d := 0
	for d+1 < n && m.w.Days[d+1].Start <= x {
		d++
	}
	return d
}
