package dispatch_test

import (
	"encoding/json"
	"fmt"
	"sort"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// compared is who must be told what, found anew from the JSON of the week and of two plans,
// as sorted lines.
func compared(t *testing.T, w *week.Week, before, after *week.Plan) []string {
	t.Helper()
	var plans [2]map[string]any
	for i, p := range []*week.Plan{before, after} {
		asJSON(t, p, &plans[i])
	}
	var x map[string]any
	asJSON(t, w, &x)
	over, returned, tours, jobs := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]string{}
	drained := map[string]bool{}
	for _, tour := range list(x["tours"]) {
		id := tour["id"].(string)
		tours[id] = true
		b, begun := tour["begun"].(map[string]any)
		if !begun {
			continue
		}
		_, returned[id] = b["returned"]
		for _, s := range list(b["stops"]) {
			over[s["visit"].(string)] = true
		}
	}
	for _, job := range list(x["jobs"]) {
		id := job["id"].(string)
		water, _ := job["water"].(map[string]any)
		_, fact := water["drained_at"]
		drained[id] = fact
		for _, v := range list(job["visits"]) {
			jobs[v["id"].(string)] = id
			if over[v["id"].(string)] && v["water"] == "low" {
				drained[id] = true
			}
		}
	}
	// stops as text by tour, starts by visit, drains by job
	var starts [2]map[string]float64
	var routes [2]map[string][]string
	var drains [2]map[string]string
	for i, p := range plans {
		starts[i], routes[i], drains[i] = map[string]float64{}, map[string][]string{}, map[string]string{}
		for _, tour := range list(p["tours"]) {
			id := tour["tour"].(string)
			for _, s := range list(tour["stops"]) {
				if v := s["visit"].(string); tours[id] && !over[v] {
					starts[i][v] = s["start"].(float64)
					routes[i][id] = append(routes[i][id], v)
				}
			}
		}
		for _, d := range list(p["told"]) {
			if job := d["job"].(string); hasJob(jobs, job) && !drained[job] {
				drains[i][job] = fmt.Sprint(d["earliest"], d["latest"])
			}
		}
	}
	far := func(v string) bool {
		d := starts[0][v] - starts[1][v]
		return d > 900 || d < -900
	}
	var out []string
	for id := range tours {
		a, b := routes[0][id], routes[1][id]
		if returned[id] {
			continue
		}
		if fmt.Sprint(a) != fmt.Sprint(b) {
			out = append(out, "crew_anew "+id)
			continue
		}
		for _, v := range a {
			if far(v) {
				out = append(out, "crew_moved "+id)
				break
			}
		}
	}
	for v := range jobs {
		_, a := starts[0][v]
		_, b := starts[1][v]
		switch {
		case a && !b:
			out = append(out, "withdraw_window "+v)
		case b && !a:
			out = append(out, "tell_window "+v)
		case a && far(v):
			out = append(out, "move_window "+v)
		}
	}
	for _, job := range list(x["jobs"]) {
		id := job["id"].(string)
		a, b := drains[0][id], drains[1][id]
		switch {
		case a == b:
		case a == "":
			out = append(out, "tell_drain "+id)
		case b == "":
			out = append(out, "withdraw_drain "+id)
		default:
			out = append(out, "move_drain "+id)
		}
	}
	sort.Strings(out)
	return out
}

func hasJob(jobs map[string]string, id string) bool {
	for _, j := range jobs {
		if j == id {
			return true
		}
	}
	return false
}

func asJSON(t *testing.T, from any, into *map[string]any) {
	t.Helper()
	b, err := json.Marshal(from)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, into); err != nil {
		t.Fatal(err)
	}
}

func list(x any) []map[string]any {
	var out []map[string]any
	all, _ := x.([]any)
	for _, y := range all {
		out = append(out, y.(map[string]any))
	}
	return out
}

// asTold are differences as sorted lines.
func asTold(told []dispatch.Difference) []string {
	var out []string
	for _, d := range told {
		id := d.Tour
		if d.Visit != "" {
			id = d.Visit
		}
		if d.Job != "" {
			id = d.Job
		}
		out = append(out, d.What+" "+id)
	}
	sort.Strings(out)
	return out
}
