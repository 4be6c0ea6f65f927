package week

import "fmt"

// bound says that the start of visit to is at least the start of visit from plus by.
type bound struct {
	from, to int
	by       int64
	why      string
}

// bounds gives the chain and the links of a job as bounds between starts. Lunch inside
// an interruptible visit may only widen what the visit's end allows.
func (c *checker) bounds(job *Job) []bound {
	number := map[string]int{}
	for n := range job.Visits {
		number[job.Visits[n].ID] = n
	}
	var list []bound
	linked := map[[2]int]bool{}
	for i := range job.Links {
		l := &job.Links[i]
		a, b := number[l.From], number[l.To]
		linked[[2]int{a, b}], linked[[2]int{b, a}] = true, true
		end, longest := int64(0), int64(0)
		if l.FromEnd {
			end, longest = job.Visits[a].Seconds, job.Visits[a].Seconds
			if job.Visits[a].Interruptible {
				longest += c.longestLunch()
			}
		}
		if l.Lo != nil {
			list = append(list, bound{a, b, end + *l.Lo, fmt.Sprintf("links[%d].lo", i)})
		}
		if l.Hi != nil {
			list = append(list, bound{b, a, -longest - *l.Hi, fmt.Sprintf("links[%d].hi", i)})
		}
	}
	for n := 1; n < len(job.Visits); n++ {
		if !linked[[2]int{n - 1, n}] {
			list = append(list, bound{n - 1, n, job.Visits[n-1].Seconds, fmt.Sprintf("the order of visits[%d] and visits[%d]", n-1, n)})
		}
	}
	return list
}

func (c *checker) longestLunch() int64 {
	most := int64(0)
	for i := range c.w.Tours {
		if l := c.w.Tours[i].Lunch; l != nil {
			most = max(most, l.Seconds)
		}
	}
	return most
}

// chainFits refuses links that no times can meet, whoever makes the visits.
func (c *checker) chainFits(path string, job *Job) {
	list := c.bounds(job)
	starts := make([]int64, len(job.Visits))
	last := ""
	for range len(job.Visits) + 1 {
		last = ""
		for _, b := range list {
			if starts[b.to] < starts[b.from]+b.by {
				starts[b.to], last = starts[b.from]+b.by, b.why
			}
		}
	}
	c.is(path+".links", last == "", said("a circle through "+last), "links and an order of visits that some times can meet")
}
