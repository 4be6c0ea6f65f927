package dispatch_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// solveTimes solves programs in CPLEX LP format that come as JSON on standard input and
// gives back their values.
const solveTimes = `
const highs = await require(process.argv[1])()
const out = []
for (const lp of JSON.parse(require('fs').readFileSync(0, 'utf8'))) {
  const got = highs.solve(lp, { mip_rel_gap: 0, mip_abs_gap: 0.5, output_flag: false, time_limit: 60 })
  const columns = {}
  for (const [name, column] of Object.entries(got.Columns)) columns[name] = column.Primal
  out.push({ status: got.Status, value: got.ObjectiveValue, columns })
}
console.log(JSON.stringify(out))
`

// solvedTimes is what HiGHS says of one program.
type solvedTimes struct {
	Status  string             `json:"status"`
	Value   float64            `json:"value"`
	Columns map[string]float64 `json:"columns"`
}

// highs solves programs with HiGHS, an open solver of integer programs, run as
// WebAssembly from the front end's development packages (npm, highs).
func highs(t *testing.T, programs []string) []solvedTimes {
	t.Helper()
	solver, err := filepath.Abs("../web/node_modules/highs")
	if err != nil {
		t.Fatal(err)
	}
	_, noNode := exec.LookPath("node")
	if _, noHighs := os.Stat(solver); noNode != nil || noHighs != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("node with web/node_modules/highs is needed here: %v, %v", noNode, noHighs)
		}
		t.Skip("needs node and web/node_modules/highs: npm --prefix web ci")
	}
	in, err := json.Marshal(programs)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "node", "-e", "(async () => {"+solveTimes+"})().catch((e) => { console.error(e); process.exit(1) })", solver)
	var wrong bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &wrong
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, wrong.String())
	}
	var answers []solvedTimes
	if err := json.Unmarshal(out, &answers); err != nil || len(answers) != len(programs) {
		t.Fatalf("%v: %d answers for %d programs", err, len(answers), len(programs))
	}
	return answers
}

// timedWeeks are small solved weeks, half of them with storms, promises and pins.
func timedWeeks(t *testing.T, seeds uint64) (list []*week.Week, plans []*week.Plan) {
	t.Helper()
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 2, Days: 4, Jobs: 9, Plain: seed%2 == 0})
		w.Travel.Periods = nil
		list, plans = append(list, w), append(plans, solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1, NoReasons: true}))
	}
	return list, plans
}

// The times of a plan are the cheapest for its order: an integer program over all
// instants, with tours, orders and lunch places as they are, finds none cheaper. Where
// tours must move together in ways that the search does not try it may find a little.
func TestTimesAreTheCheapestForTheirOrder(t *testing.T) {
	seeds := uint64(6)
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds = 24
	}
	list, plans := timedWeeks(t, seeds)
	var programs []string
	var written []*timesProgram
	for i, w := range list {
		x := newTimesProgram(w, plans[i])
		written, programs = append(written, x), append(programs, x.lp(""))
	}
	cheapest := 0
	for i, a := range highs(t, programs) {
		c := &plans[i].Cost
		is := float64(c.PaidTime + c.Overtime + c.Waiting + c.Late + c.Promises + c.Low)
		best := a.Value + written[i].fixed
		switch {
		case a.Status != "Optimal":
			t.Errorf("seed %d: HiGHS says %s", i, a.Status)
		case is < best-50:
			t.Errorf("seed %d: the plan's times cost %.0f cents, less than the least, %.0f: the program is wrong", i, is, best)
		case is <= best+50: // cents: instants are real numbers in the program
			cheapest++
		case is > best*1.02:
			t.Errorf("seed %d: the plan's times cost %.0f cents, and %.0f would do", i, is, best)
		default:
			t.Logf("seed %d: the plan's times cost %.0f cents, and %.0f would do", i, is, best)
		}
	}
	t.Logf("%d of %d plans have the cheapest times", cheapest, len(list))
	if cheapest*4 < len(list)*3 {
		t.Errorf("only %d of %d plans have the cheapest times", cheapest, len(list))
	}
}

// What a plan says of how far a stop can slip is what the same program finds when it
// starts that stop as late as it can.
func TestSlackIsTheProgramsToo(t *testing.T) {
	list, plans := timedWeeks(t, 1)
	var programs, says []string
	var want []float64
	for i, w := range list {
		if i%2 == 1 {
			continue // with promises, which the program may break
		}
		x := newTimesProgram(w, plans[i])
		for _, pt := range plans[i].Tours {
			for n, s := range pt.Stops {
				if n == 0 {
					programs = append(programs, x.lp(x.start[s.Visit]))
					want, says = append(want, float64(s.Start+*s.Slack)), append(says, s.Visit)
				}
			}
		}
	}
	for i, a := range highs(t, programs) {
		if got := a.Value * 3600; a.Status != "Optimal" || got > want[i]+2 || got < want[i]-2 {
			t.Errorf("%s can start at %.0f by its slack; the program says %.0f (%s)", says[i], want[i], got, a.Status)
		}
	}
	t.Logf("%d stops", len(programs))
}
