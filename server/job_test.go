package server_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/server/servertest"
)

func surveyFile(t *testing.T, name string) obj {
	t.Helper()
	data, err := os.ReadFile("../testdata/survey/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	var s obj
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

func newEnquiry(w *servertest.World) obj {
	return obj{"branch_id": w.Branch, "job": obj{"note": "two dogs"},
		"customer": obj{"name": "Pat Doe", "contacts": []obj{{"role": "payer", "name": "Pat Doe", "email": "pat@example.com"}}},
		"site":     obj{"name": "", "street": "12 Ocotillo Ln", "city": "Dry Fork", "region": "AZ", "postcode": "85999"}}
}

// chain follows a job through the office as a browser would.
type chain struct {
	t    *testing.T
	c    *servertest.Client
	job  string
	site string
}

func (k chain) state(want string) obj {
	k.t.Helper()
	j := k.c.Do("GET", "/jobs/"+k.job, nil).Want(200).JSON()
	if j["state"] != want {
		k.t.Fatalf("the job is %v, want %s", j["state"], want)
	}
	return j
}

func text(v any) string {
	s, _ := v.(string)
	return s
}

func tag(version any) string { return fmt.Sprintf(`"v%.0f"`, version.(float64)) }

// approvedJob goes from the first call to an approved quote.
func approvedJob(t *testing.T, w *servertest.World, c *servertest.Client) (chain, obj) {
	t.Helper()
	j := c.Do("POST", "/enquiries", newEnquiry(w)).Want(201).JSON()
	k := chain{t, c, text(j["id"]), text(j["site_id"])}
	c.Do("PUT", "/sites/"+k.site+"/survey", surveyFile(t, "rectangle"), "If-Match", `"v0"`).Want(200)
	e := c.Do("POST", "/jobs/"+k.job+"/estimates", nil).Want(201).JSON()
	q := c.Do("POST", "/jobs/"+k.job+"/quotes", obj{"estimate_id": e["id"]}).Want(201).JSON()
	at := "/quotes/" + text(q["id"])
	q = c.Do("POST", at+"/send", nil, "If-Match", `"v1"`).Want(200).JSON()
	k.state("quoted")
	q = c.Do("POST", at+"/answer", obj{"answer": "approved", "by": "Pat Doe"}, "If-Match", tag(q["version"])).Want(200).JSON()
	return k, q
}

func TestJobFromFirstCallToReady(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		k, q := approvedJob(t, w, c)
		j := k.state("approved")
		if len(j["visits"].([]any)) != 5 || j["way_low"] != "crew_pump" {
			t.Errorf("%v", j)
		}
		c.Do("POST", "/jobs/"+k.job+"/payments", obj{"kind": "deposit", "amount_cents": q["deposit_cents"], "method": "check"}).Want(201)
		c.Do("PUT", "/jobs/"+k.job+"/permit", obj{"needed": "no"}).WantProblem(428, "precondition")
		permit := c.Do("PUT", "/jobs/"+k.job+"/permit", obj{"needed": "no"}, "If-Match", `"v0"`).Want(200)
		if permit.ETag() != `"v1"` {
			t.Errorf("%s", permit.ETag())
		}
		c.Do("PUT", "/jobs/"+k.job+"/permit", obj{"needed": "yes"}, "If-Match", `"v0"`).WantProblem(412, "stale")
		c.Do("POST", "/jobs/"+k.job+"/sign-offs", obj{"kind": "drain_risk", "signed_by": "Pat Doe"}).Want(201)
		facts := c.Do("GET", "/jobs/"+k.job+"/facts", nil).Want(200).JSON()
		parts := facts["parts"].([]any)
		if len(parts) == 0 || facts["ready"] != false {
			t.Fatalf("%v", facts)
		}
		for _, p := range parts {
			p := p.(obj)
			facts = c.Do("PATCH", "/job-parts/"+text(p["id"]), obj{"state": "reserved"}, "If-Match", tag(p["version"])).Want(200).JSON()
		}
		if facts["ready"] != true {
			t.Fatalf("%v", facts["facts"])
		}
		k.state("ready")
		c.Do("POST", "/jobs/"+k.job+"/sign-offs", obj{"kind": "drain_risk", "signed_by": "Pat Doe", "withdrawn": true}).Want(201)
		j = k.state("approved")

		at := "/jobs/" + k.job + "/acts"
		c.Do("POST", at, obj{"act": "park"}, "If-Match", tag(j["version"])).WantProblem(400, "invalid", "note")
		c.Do("POST", at, obj{"act": "park", "note": "away"}).WantProblem(428, "precondition")
		c.Do("POST", at, obj{"act": "close"}, "If-Match", tag(j["version"])).WantProblem(409, "conflict")
		c.Do("POST", at, obj{"act": "explode"}, "If-Match", tag(j["version"])).WantProblem(400, "invalid", "act")
		key := w.IDs.New()
		first := c.Do("POST", at, obj{"act": "park", "note": "away"}, "If-Match", tag(j["version"]), "Idempotency-Key", key).Want(200)
		again := c.Do("POST", at, obj{"act": "park", "note": "away"}, "If-Match", tag(j["version"]), "Idempotency-Key", key).Want(200)
		if string(first.Body) != string(again.Body) {
			t.Errorf("%s\n%s", first.Body, again.Body)
		}
		c.Do("POST", at, obj{"act": "park", "note": "other"}, "If-Match", tag(j["version"]), "Idempotency-Key", key).WantProblem(422, "key_reused")
		j = k.state("parked")
		if got := fmt.Sprint(j["acts"]); got != "[unpark decline]" {
			t.Errorf("acts %s", got)
		}
		history := c.Do("GET", "/jobs/"+k.job+"/history", nil).Want(200).JSON()["items"].([]any)
		if len(history) < 10 || history[0].(obj)["by"] != "dispatcher" {
			t.Errorf("%d entries, %v", len(history), history[0])
		}
	})
}

func TestJobLists(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("owner")
		c.Do("POST", "/enquiries", newEnquiry(w)).Want(201)
		for query, n := range map[string]int{"": 1, "state=enquiry": 1, "state=enquiry,quoted": 1, "state=ready": 0, "q=ocotillo": 1, "q=%23 1": 0, "branch_id=" + w.Crew: 0} {
			got := c.Do("GET", "/jobs?"+strings.ReplaceAll(query, " ", "%20"), nil).Want(200).JSON()["items"].([]any)
			if len(got) != n {
				t.Errorf("%q lists %d, want %d", query, len(got), n)
			}
		}
		c.Do("GET", "/jobs?state=happy", nil).WantProblem(400, "invalid", "state")
		c.Do("GET", "/jobs/"+w.Branch, nil).WantProblem(404, "not_found")
		fields := c.Do("GET", "/survey-fields", nil).Want(200).JSON()["items"].([]any)
		if len(fields) < 80 {
			t.Errorf("%d fields", len(fields))
		}
	})
}

// The nouns of the sales side, each with what is wrong: an answer that names
// the field, and nothing stored.
func TestWrongSalesInputIsNamed(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		k, _ := approvedJob(t, w, c)
		customer := text(k.state("approved")["customer_id"])
		job := "/jobs/" + k.job
		for _, row := range []struct {
			method, path, match string
			body                string
			status              int
			field               string
		}{
			{"POST", "/sites", "", `{"customer_id":"` + customer + `","name":"","street":"","city":"A","region":"","postcode":""}`, 400, "street"},
			{"POST", "/sites", "", `{"customer_id":"` + customer + `","name":"","street":"A","city":"A","region":"","postcode":"","zone":"Mars/Base"}`, 400, "zone"},
			{"POST", "/sites", "", `{"customer_id":"` + customer + `","name":"","street":"A","city":"A","region":"","postcode":"","zone":"x"}`, 400, "zone"},
			{"POST", "/sites", "", `{"customer_id":"` + customer + `","name":"","street":"A","city":"A","region":"","postcode":"","lat_e7":1000000000,"lon_e7":0}`, 400, "lat_e7"},
			{"POST", "/sites", "", `{"customer_id":"` + customer + `","name":"","street":"A","city":"A","region":"","postcode":"","work_from_minute":600,"work_to_minute":540}`, 400, "work_to_minute"},
			{"POST", "/sites", "", `{"customer_id":"` + customer + `","name":"","street":"A","city":"A","region":"","postcode":"","colour":"blue"}`, 400, "colour"},
			{"PUT", "/sites/" + k.site + "/survey", `"v1"`, `{"version":1,"subjects":[{"id":"pool","kind":"body","name":"","values":{"length":{"text":"-4","unit":"ft","known":"told"}}}]}`, 400, "pool.length"},
			{"PUT", "/sites/" + k.site + "/survey", `"v1"`, `{"version":1,"subjects":[{"id":"pool","kind":"body","name":"","values":{"length":{"text":"4","unit":"gal","known":"told"}}}]}`, 400, "pool.length"},
			{"PUT", "/sites/" + k.site + "/survey", `"v1"`, `{"version":1,"subjects":[{"id":"pool","kind":"body","name":"","values":{"lenght":{"text":"4","unit":"ft","known":"told"}}}]}`, 400, "pool.lenght"},
			{"PUT", "/sites/" + k.site + "/survey", `"v1"`, `{"version":1,"subjects":[{"id":"pool","kind":"body","name":"","values":{"length":{"text":"4","unit":"ft","known":"guessed"}}}]}`, 400, ""},
			{"PUT", "/sites/" + k.site + "/survey", `"v1"`, `{"version":1,"zone":"America/Denver","subjects":[{"id":"pool","kind":"body","name":"","values":{}}]}`, 400, "zone"},
			{"PUT", "/sites/" + k.site + "/survey", `"v1"`, `{"version":1,"subjects":[{"id":"light","kind":"position","name":"","of":"pond","values":{}}]}`, 400, "light.of"},
			{"POST", job + "/payments", "", `{"kind":"deposit","amount_cents":0,"method":"cash"}`, 400, "amount_cents"},
			{"POST", job + "/payments", "", `{"kind":"deposit","amount_cents":-5,"method":"cash"}`, 400, "amount_cents"},
			{"POST", job + "/payments", "", `{"kind":"deposit","amount_cents":1.5,"method":"cash"}`, 400, "amount_cents"},
			{"POST", job + "/payments", "", `{"kind":"deposit","amount_cents":5,"method":""}`, 400, "method"},
			{"POST", job + "/payments", "", `{"kind":"bribe","amount_cents":5,"method":"cash"}`, 400, "kind"},
			{"POST", job + "/payments", "", `{"kind":"deposit","amount_cents":5,"method":"cash","received_at":"2030-01-01T00:00:00Z"}`, 400, "received_at"},
			{"PUT", job + "/permit", `"v0"`, `{"needed":"perhaps"}`, 400, "needed"},
			{"PUT", job + "/permit", `"v0"`, `{"needed":"yes","issued_day":"2026-02-30"}`, 400, "issued_day"},
			{"PUT", job + "/permit", `"v0"`, `{"needed":"yes","issued_day":"2026-03-05","expires_day":"2026-03-04"}`, 400, "expires_day"},
			{"PUT", job + "/marking", `"v0"`, `{"soil_opened":"yes","lawful_from_day":"2026-03-05","expires_day":"2026-03-04"}`, 400, "expires_day"},
			{"POST", job + "/sign-offs", "", `{"kind":"shell","signed_by":"Pat"}`, 400, "least_water_um"},
			{"POST", job + "/sign-offs", "", `{"kind":"shell","signed_by":"Pat","least_water_um":-1}`, 400, "least_water_um"},
			{"POST", job + "/parts", "", `{"name":"Seal","quantity":0,"stock_unit":"piece","state":"needed"}`, 400, "quantity"},
			{"POST", job + "/parts", "", `{"name":"Seal","quantity":1,"stock_unit":"piece","state":"promised"}`, 400, "promised_day"},
			{"POST", job + "/parts", "", `{"name":"Seal","quantity":1,"stock_unit":"piece","state":"lost"}`, 400, "state"},
			{"POST", "/parts", "", `{"branch_id":"` + w.Branch + `","code":"A","name":"A","stock_unit":"piece","on_hand":-1,"cost_cents":1,"price_cents":1}`, 400, "on_hand"},
			{"POST", "/parts", "", `{"branch_id":"` + w.Branch + `","code":"A","name":"A","stock_unit":"piece","on_hand":1,"cost_cents":1,"price_cents":1,"length_um":0}`, 400, "length_um"},
			{"POST", job + "/visits", "", `{"kind":"convert","seconds":5}`, 400, "seconds"},
			{"POST", job + "/quotes", "", `{"estimate_id":"` + w.Branch + `","valid_days":0}`, 400, "valid_days"},
			{"POST", job + "/quotes", "", `{"estimate_id":"` + w.Branch + `"}`, 409, ""},
		} {
			headers := []string{}
			if row.match != "" {
				headers = []string{"If-Match", row.match}
			}
			fields := []string{}
			if row.field != "" {
				fields = []string{row.field}
			}
			code := map[int]string{400: "invalid", 404: "not_found", 409: "conflict"}[row.status]
			t.Run(row.path+" "+row.field, func(t *testing.T) {
				c.Do(row.method, row.path, strings.NewReader(row.body), headers...).WantProblem(row.status, code, fields...)
			})
		}
		if got := c.Do("GET", "/parts", nil).Want(200).JSON()["items"].([]any); len(got) != 0 {
			t.Errorf("%d parts were stored", len(got))
		}
		if got := c.Do("GET", "/jobs/"+k.job+"/facts", nil).Want(200).JSON(); len(got["payments"].([]any)) != 0 || got["permit"] != nil {
			t.Errorf("%v", got)
		}
	})
}

func TestSettingsBelongToTheOwner(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		at := "/branches/" + w.Branch + "/settings"
		got := w.As("dispatcher").Do("GET", at, nil).Want(200)
		s := got.JSON()
		if got.ETag() != `"v1"` || s["number"] != 1.0 {
			t.Errorf("%s %v", got.ETag(), s["number"])
		}
		body := s["body"].(obj)
		w.As("dispatcher").Do("PUT", at, obj{"body": body}, "If-Match", `"v1"`).WantProblem(403, "forbidden")
		w.As("tech").Do("GET", at, nil).WantProblem(403, "forbidden")
		body["planning"].(obj)["speed_km_per_hour"] = 50
		changed := w.As("owner").Do("PUT", at, obj{"body": body}, "If-Match", `"v1"`).Want(200)
		if changed.ETag() != `"v2"` {
			t.Errorf("%s", changed.ETag())
		}
		w.As("owner").Do("PUT", at, obj{"body": body}, "If-Match", `"v1"`).WantProblem(412, "stale")
		body["planning"].(obj)["speed_km_per_hour"] = -1
		w.As("owner").Do("PUT", at, obj{"body": body}, "If-Match", `"v2"`).WantProblem(400, "invalid", "planning.speed_km_per_hour")
		delete(body["planning"].(obj), "speed_km_per_hour")
		w.As("owner").Do("PUT", at, obj{"body": body}, "If-Match", `"v2"`).WantProblem(400, "invalid", "planning.speed_km_per_hour")
	})
}

// A tech sees a site only when the own crew goes there, and nothing of prices.
func TestTechsSeeTheirOwn(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		k, q := approvedJob(t, w, w.As("dispatcher"))
		tech := w.As("tech")
		tech.Do("GET", "/sites/"+k.site+"/survey", nil).WantProblem(404, "not_found")
		tech.Do("PUT", "/sites/"+k.site+"/survey", surveyFile(t, "rectangle"), "If-Match", `"v1"`).WantProblem(404, "not_found")
		j := k.state("approved")
		visit := text(j["visits"].([]any)[1].(obj)["id"])
		at := w.Clock.Now().Add(48 * time.Hour)
		if err := w.Store.InTx(t.Context(), func(tx *store.Tx) error {
			plan, tour := w.IDs.New(), w.IDs.New()
			if err := tx.InsertPlan(jobs.Plan{ID: plan, BranchID: w.Branch, Number: 1, FirstDay: "2026-03-04", Days: 1, HandedOutAt: w.Clock.Now()}); err != nil {
				return err
			}
			if err := tx.InsertTours([]jobs.Tour{{ID: tour, PlanID: plan, BranchID: w.Branch, CrewID: w.Crew, Day: "2026-03-04", DepartAt: at, ReturnAt: at.Add(time.Hour), Live: true}}); err != nil {
				return err
			}
			return tx.InsertStops([]jobs.Stop{{ID: w.IDs.New(), PlanID: plan, BranchID: w.Branch, TourID: tour, CrewID: w.Crew, JobID: k.job, VisitID: visit, Place: 1,
				ArriveAt: at, StartAt: at, EndAt: at.Add(time.Hour), Live: true}})
		}); err != nil {
			t.Fatal(err)
		}
		told := k.state("approved")["visits"].([]any)[1].(obj)
		if told["crew_id"] != w.Crew || told["crew_name"] != "Crew 1" || told["start_at"] != at.Format(time.RFC3339) {
			t.Errorf("%v", told)
		}
		tech.Do("GET", "/sites/"+k.site+"/survey", nil).Want(200)
		tech.Do("PUT", "/sites/"+k.site+"/survey", surveyFile(t, "rectangle"), "If-Match", `"v1"`).Want(200)
		w.As("other").Do("GET", "/sites/"+k.site+"/survey", nil).WantProblem(404, "not_found")
		for _, path := range []string{"/jobs/" + k.job, "/jobs", "/quotes/" + text(q["id"]), "/jobs/" + k.job + "/estimate", "/jobs/" + k.job + "/facts", "/parts"} {
			tech.Do("GET", path, nil).WantProblem(403, "forbidden")
		}
	})
}
