// Package highs has tests ask HiGHS, an open solver of linear and integer programs, which
// knows nothing of ours. It runs as WebAssembly from the front end's development packages
// (npm, highs).
package highs

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// Answer is what the solver says of one program.
type Answer struct {
	Status  string             `json:"status"` // "Optimal" if it is solved
	Value   float64            `json:"value"`
	Columns map[string]float64 `json:"columns"`
}

// Exact asks for the optimum itself; Proving leaves out heuristics besides, which take
// most of the time of small programs and prove nothing.
var (
	Exact   = map[string]any{"mip_rel_gap": 0, "mip_abs_gap": 0}
	Proving = map[string]any{"mip_rel_gap": 0, "mip_abs_gap": 0, "mip_allow_restart": false, "mip_heuristic_effort": 0,
		"mip_heuristic_run_feasibility_jump": false, "mip_heuristic_run_rins": false, "mip_heuristic_run_rens": false,
		"mip_heuristic_run_root_reduced_cost": false}
)

const script = `
const highs = await require(process.argv[1])()
const { programs, options } = JSON.parse(require('fs').readFileSync(0, 'utf8'))
console.log(JSON.stringify(programs.map((lp) => {
  const got = highs.solve(lp, { output_flag: false, ...options })
  const columns = {}
  for (const [name, column] of Object.entries(got.Columns)) columns[name] = column.Primal
  return { status: got.Status, value: got.ObjectiveValue, columns }
})))
`

// Solve solves programs in CPLEX LP format with the solver's options. Without node or the
// package the test is skipped, in CI it fails.
func Solve(t testing.TB, options map[string]any, programs []string) []Answer {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	solver := filepath.Join(filepath.Dir(here), "..", "node_modules", "highs")
	_, noNode := exec.LookPath("node")
	if _, noHighs := os.Stat(solver); noNode != nil || noHighs != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("node with web/node_modules/highs is needed here: %v, %v", noNode, noHighs)
		}
		t.Skip("needs node and web/node_modules/highs: npm --prefix web ci")
	}
	in, err := json.Marshal(map[string]any{"programs": programs, "options": options})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "node", "-e", "(async () => {"+script+"})().catch((e) => { console.error(e); process.exit(1) })", solver)
	var wrong bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &wrong
	text, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %.4000s", err, wrong.String())
	}
	var answers []Answer
	if err := json.Unmarshal(text, &answers); err != nil || len(answers) != len(programs) {
		t.Fatalf("%v: %d answers for %d programs", err, len(answers), len(programs))
	}
	return answers
}
