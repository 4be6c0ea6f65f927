package dispatch_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// solveMips solves programs in CPLEX LP format, a JSON list of them on standard input,
// to a gap of 0 and writes their least costs as JSON. Heuristics are off: they take most
// of the time and prove nothing.
const solveMips = `
const highs = await require(process.argv[1])()
const out = []
for (const lp of JSON.parse(require('fs').readFileSync(0, 'utf8'))) {
  const got = highs.solve(lp, { mip_rel_gap: 0, mip_abs_gap: 0, output_flag: false, mip_allow_restart: false, mip_heuristic_effort: 0,
    mip_heuristic_run_feasibility_jump: false, mip_heuristic_run_rins: false, mip_heuristic_run_rens: false, mip_heuristic_run_root_reduced_cost: false })
  if (got.Status !== 'Optimal') throw new Error(got.Status + '\n' + lp)
  out.push(got.ObjectiveValue)
}
console.log(JSON.stringify(out))
`

// Trying everything against HiGHS, an open solver of integer programs, run as
// WebAssembly from the front end's development packages (npm, highs). It is given each
// week as an integer program and knows nothing of ours.
func TestGridWeeksAgainstHighs(t *testing.T) {
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
	weeks := 10 // some seconds of a processor each
	switch {
	case os.Getenv("EBBLINE_LONG") != "":
		weeks = 50
	case testing.Short():
		weeks = 2
	}
	var programs []string
	for seed := range weeks {
		programs = append(programs, mipOf(makeGrid(uint64(seed), 8)))
	}
	in, err := json.Marshal(programs)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "node", "-e", "(async () => {"+solveMips+"})().catch((e) => { console.error(e); process.exit(1) })", solver)
	var wrong bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &wrong
	text, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %.4000s", err, wrong.String())
	}
	var costs []float64
	if err := json.Unmarshal(text, &costs); err != nil || len(costs) != weeks {
		t.Fatalf("%v: %d answers for %d weeks", err, len(costs), weeks)
	}
	for seed, cost := range costs {
		if best := below(makeGrid(uint64(seed), 8), hopeless); math.Abs(cost-float64(best)) > 0.01 {
			t.Errorf("week %d: HiGHS finds %.3f, trying everything %d", seed, cost, best)
		}
	}
}
