package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ebbline/jobs"
	"ebbline/web/highs"
)

// program is a question as an integer program whose objectives are to be made least one
// after the other.
type program struct {
	objectives               []string
	rows, binaries, generals string
}

// lp is the program for one objective, in CPLEX LP format, with those before it held at
// their least.
func (p *program) lp(objective int, least []int64) string {
	held := ""
	for i, n := range least {
		held += fmt.Sprintf(" held%d: %s <= %d\n", i, p.objectives[i], n)
	}
	return "Minimize\n obj: " + p.objectives[objective] + "\nSubject To\n" + p.rows + held + "Binaries\n " + p.binaries + "\nGenerals\n " + p.generals + "\nEnd\n"
}

// programOf writes a question as an integer program.
func programOf(q SetQuestion) program {
	var p program
	var objectives [5]strings.Builder
	for i := range objectives {
		objectives[i].WriteString("0 nothing")
	}
	add := func(i int, factor int64, name string) { fmt.Fprintf(&objectives[i], " + %d %s", factor, name) }
	var rows, binaries, generals strings.Builder
	free := make([]strings.Builder, len(q.Stock))
	for k, o := range q.Orders {
		add(4, int64(o.Fee), fmt.Sprintf("z%d", k))
		fmt.Fprintf(&binaries, "z%d ", k)
	}
	for i, n := range q.Needs {
		cheapest := int64(math.MaxInt64)
		for _, o := range q.Offers {
			if o.Light == n.Light && o.Length >= n.High {
				cheapest = min(cheapest, int64(o.Cost))
			}
		}
		spare := 0
		if n.Spare {
			spare = 2
		}
		fmt.Fprintf(&rows, " n%d: w%d", i, i)
		fmt.Fprintf(&binaries, "w%d ", i)
		add(spare, 1, fmt.Sprintf("w%d", i))
		var links strings.Builder
		for j, s := range q.Stock {
			if s.Light == n.Light && s.Length >= n.High {
				x := fmt.Sprintf("x%d_%d", i, j)
				add(4, max(0, int64(s.Value)-cheapest), x)
				fmt.Fprintf(&rows, " + %s", x)
				fmt.Fprintf(&free[j], " + %s", x)
				fmt.Fprintf(&binaries, "%s ", x)
			}
		}
		for k, o := range q.Offers {
			if o.Light != n.Light || o.Length < n.High {
				continue
			}
			y := fmt.Sprintf("y%d_%d", i, k)
			add(4, int64(o.Cost), y)
			fmt.Fprintf(&rows, " + %s", y)
			fmt.Fprintf(&binaries, "%s ", y)
			for at, order := range q.Orders {
				if order.Key == o.Order {
					fmt.Fprintf(&links, " l%d_%d: %s - z%d <= 0\n", i, k, y, at)
					if n.Day != "" && order.Arrives > n.Day {
						add(spare+1, 1, y)
					}
				}
			}
		}
		rows.WriteString(" = 1\n")
		rows.WriteString(links.String())
	}
	for j, s := range q.Stock {
		fmt.Fprintf(&rows, " s%d: left%d%s = %d\n", j, j, free[j].String(), s.Count-s.Reserved)
		fmt.Fprintf(&generals, "left%d ", j)
		add(4, int64(s.Restock), fmt.Sprintf("left%d", j))
	}
	rows.WriteString(" none: nothing = 0\n")
	for i := range objectives {
		p.objectives = append(p.objectives, objectives[i].String())
	}
	p.rows, p.binaries, p.generals = rows.String(), binaries.String(), generals.String()
	return p
}

// randomWeek is a small week with every kind of trouble in it.
func randomWeek(r *rand.Rand) SetQuestion {
	lights := []string{"colour", "white"}
	q := SetQuestion{Orders: []SetOrder{{Key: "usual", Fee: 25_00, Arrives: "2026-03-06"}, {Key: "fast", Fee: jobs.Cents(r.Int64N(200_00)), Arrives: "2026-03-03"}, {Key: "other", Arrives: "2026-03-05"}}}
	for i := range 5 + r.IntN(30) {
		high := 15 + r.Int64N(150)
		q.Needs = append(q.Needs, SetNeed{Key: fmt.Sprint("n", i), Light: lights[r.IntN(2)], Low: high / 2 * setFoot, High: high * setFoot, Day: jobs.Day("2026-03-02").Add(r.IntN(6)), Spare: r.IntN(5) == 0})
	}
	for i, feet := range []int64{30, 50, 80, 100, 150} {
		for _, light := range lights {
			s := StockSet{Key: fmt.Sprint(light, feet), Light: light, Length: feet * setFoot, Count: r.Int64N(4), Value: jobs.Cents(18900 + 90*feet + r.Int64N(9000))}
			if r.IntN(3) == 0 {
				s.Restock = jobs.Cents(r.Int64N(80_00))
			}
			s.Reserved = r.Int64N(s.Count + 1)
			q.Stock = append(q.Stock, s)
			for _, o := range q.Orders {
				if r.IntN(4) > 0 {
					q.Offers = append(q.Offers, SetOffer{Key: fmt.Sprint(o.Key, light, feet), Light: light, Length: feet * setFoot, Cost: jobs.Cents(18900 + int64(i)*2000 + r.Int64N(6000)), Order: o.Key})
				}
			}
		}
	}
	return q
}

// The assignment against HiGHS, which is given the rule as an integer program and knows
// nothing of ours.
func TestAssignAgainstHighs(t *testing.T) {
	weeks := 40
	if testing.Short() {
		weeks = 8
	}
	r := rand.New(rand.NewPCG(2026, 3))
	var questions []SetQuestion
	var programs []program
	for range weeks {
		q := randomWeek(r)
		questions, programs = append(questions, q), append(programs, programOf(q))
	}
	answers := make([][]int64, weeks)
	for objective := range programs[0].objectives {
		var asked []string
		for i := range programs {
			asked = append(asked, programs[i].lp(objective, answers[i]))
		}
		for i, a := range highs.Solve(t, highs.Exact, asked) {
			if a.Status != "Optimal" {
				t.Fatalf("week %d: %s\n%s", i, a.Status, asked[i])
			}
			answers[i] = append(answers[i], int64(math.Round(a.Value)))
		}
	}
	short := 0
	for i, q := range questions {
		a := assign(t, q)
		sound(t, q, a)
		got := []int64{int64(a.Unmet), int64(a.Late), int64(a.UnmetSpares), int64(a.LateSpares), int64(a.Total)}
		if !slices.Equal(got, answers[i]) {
			t.Errorf("week %d, unmet, late, spares unmet and late, cents: %v, HiGHS %v", i, got, answers[i])
		}
		if a.Unmet+a.Late > 0 {
			short++
		}
	}
	if short == 0 || short == weeks {
		t.Errorf("%d of %d weeks lack something: the random weeks don't try both", short, weeks)
	}
}
