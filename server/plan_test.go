package server_test

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"ebbline/server/servertest"
)

// outfit sets up a crew with a pump through the routes.
func outfit(w *servertest.World) (crew string) {
	office := w.As("dispatcher")
	home := office.Do("POST", "/homes", obj{"branch_id": w.Branch, "name": "North yard", "street": "1 Yard Rd", "lat_e7": 334484000, "lon_e7": -1120740000}).Want(201).JSON()["id"]
	person := office.Do("POST", "/persons", obj{"branch_id": w.Branch, "name": "Sam", "email": "sam@example.com", "phone": "559 555 0177",
		"skills": []string{"survey", "pull", "water", "licensed", "dig"}}).Want(201).JSON()["id"]
	var shifts []obj
	for d := range 7 {
		shifts = append(shifts, obj{"weekday": d, "from_minute": 420, "to_minute": 960, "overtime_minutes": 60})
	}
	crew = office.Do("POST", "/crews", obj{"branch_id": w.Branch, "home_id": home, "name": "Crew N", "pump_berths": 2, "people": []any{person}, "shifts": shifts}).Want(201).JSON()["id"].(string)
	office.Do("POST", "/pumps", obj{"branch_id": w.Branch, "home_id": home, "name": "P1", "state": "working", "flow_ml_per_s": 3000}).Want(201)
	return crew
}

func TestCrewsPumpsAndTimeAway(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		crew := outfit(w)
		day := w.Clock.Now().Format(time.DateOnly)

		list := office.Do("GET", "/crews?branch_id="+w.Branch, nil).Want(200).JSON()["items"].([]any)
		if len(list) == 0 {
			t.Fatal("no crews")
		}
		office.Do("POST", "/crews", obj{"branch_id": w.Branch, "home_id": w.Home, "name": "Idle", "pump_berths": 0, "people": []string{}, "shifts": []obj{}}).
			WantProblem(400, "invalid", "shifts")
		office.Do("POST", "/crews", obj{"branch_id": w.Branch, "home_id": w.Home, "name": "Crew N", "pump_berths": 0, "people": []string{},
			"shifts": []obj{{"weekday": 1, "from_minute": 420, "to_minute": 900, "overtime_minutes": 0}}}).WantProblem(409, "conflict", "name")
		office.Do("POST", "/homes", obj{"branch_id": w.Branch, "name": "Nowhere", "street": "", "lat_e7": 910000000, "lon_e7": 0}).WantProblem(400, "invalid", "lat_e7")

		a := office.Do("POST", "/absences", obj{"branch_id": w.Branch, "crew_id": crew, "day": day, "from_minute": 0, "to_minute": 1440, "reason": "course"}).Want(201)
		if n := len(office.Do("GET", "/absences?branch_id="+w.Branch+"&from="+day+"&to="+day, nil).Want(200).JSON()["items"].([]any)); n != 1 {
			t.Errorf("%d absences", n)
		}
		office.Do("DELETE", "/absences/"+a.JSON()["id"].(string), nil).WantProblem(428, "precondition")
		office.Do("DELETE", "/absences/"+a.JSON()["id"].(string), nil, "If-Match", a.ETag()).Want(204)

		from := w.Clock.Now().Add(time.Hour)
		c := obj{"branch_id": w.Branch, "kind": "everything", "from_at": from, "to_at": from.Add(3 * time.Hour), "stops_pumping": true, "reason": "storm"}
		made := office.Do("POST", "/closures", c).Want(201)
		c["to_at"] = from
		office.Do("POST", "/closures", c).WantProblem(400, "invalid", "to_at")
		office.Do("GET", "/closures?branch_id="+w.Branch+"&from="+day+"&to="+day, nil).Want(200)
		office.Do("DELETE", "/closures/"+made.JSON()["id"].(string), nil, "If-Match", made.ETag()).Want(204)
		w.As("tech").Do("GET", "/pumps?branch_id="+w.Branch, nil).WantProblem(403, "forbidden")
	})
}

// TestSurveyHandedOut plans a week with one survey by the routes alone.
func TestSurveyHandedOut(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		outfit(w)
		office.Do("POST", "/enquiries", obj{"branch_id": w.Branch, "customer": obj{"name": "Ann", "contacts": []obj{{"role": "payer", "name": "Ann", "email": "ann@example.com"}}},
			"site": obj{"name": "", "street": "4 Ocotillo Ln", "city": "Dry Fork", "region": "AZ", "postcode": "85001", "lat_e7": 334500000, "lon_e7": -1120700000}, "job": obj{"kind": "conversion"}}).Want(201)
		first := w.Clock.Now().AddDate(0, 0, 1).Format(time.DateOnly)

		office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": first, "days": 15}).WantProblem(400, "invalid", "days")
		office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": "2001-01-01", "days": 5}).WantProblem(400, "invalid", "first_day")
		draft := office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": first, "days": 5}).Want(201)
		at := "/drafts/" + draft.JSON()["id"].(string)
		office.Do("GET", at+"/week", nil).Want(200)
		office.Do("GET", at+"/told", nil).WantProblem(409, "conflict")
		office.Do("POST", at+"/hand-out", nil, "If-Match", draft.ETag()).WantProblem(409, "conflict")

		run := office.Do("POST", at+"/runs", obj{"rounds": 3, "strands": 1}).Want(201).JSON()["id"].(string)
		office.Do("POST", at+"/runs", obj{}).WantProblem(409, "conflict")
		if err := w.Desk.RunPlan(context.Background(), run, nil); err != nil {
			t.Fatal(err)
		}
		if r := office.Do("GET", "/plan-runs/"+run, nil).Want(200).JSON(); r["state"] != "done" || r["placed"] != 1.0 {
			t.Fatalf("run %v", r)
		}
		office.Do("POST", "/plan-runs/"+run+"/stop", nil).Want(200)

		view := office.Do("GET", at+"/week", nil).Want(200).JSON()
		if n := stopsIn(view); n != 1 || len(view["day_starts"].([]any)) != 6 {
			t.Errorf("%d stops in the draft's week: %v", n, view)
		}
		file := office.Do("GET", at+"/file", nil).Want(200).JSON()
		if file["week"] == nil || file["plan"] == nil {
			t.Errorf("file %v", file)
		}
		told := office.Do("GET", at+"/told", nil).Want(200).JSON()["items"].([]any)
		if len(told) != 2 { // the customer's booking, Sam's sheet
			t.Errorf("told %v", told)
		}
		held := office.Do("GET", at, nil).Want(200)
		office.Do("POST", at+"/hand-out", nil).WantProblem(428, "precondition")
		office.Do("POST", at+"/hand-out", nil, "If-Match", draft.ETag()).WantProblem(412, "stale")
		plan := office.Do("POST", at+"/hand-out", nil, "If-Match", held.ETag(), "Idempotency-Key", "hand-it-out-once").Want(200)
		again := office.Do("POST", at+"/hand-out", nil, "If-Match", held.ETag(), "Idempotency-Key", "hand-it-out-once").Want(200)
		if string(plan.Body) != string(again.Body) || plan.JSON()["number"] != 1.0 || plan.JSON()["notices"] != 2.0 {
			t.Errorf("%s and %s", plan.Body, again.Body)
		}
		week := office.Do("GET", "/weeks/"+first+"?branch_id="+w.Branch, nil).Want(200).JSON()
		if stopsIn(week) != 1 || week["plan_number"] != 1.0 {
			t.Errorf("the handed-out week: %v", week)
		}
		if n := len(office.Do("GET", "/plans?branch_id="+w.Branch, nil).Want(200).JSON()["items"].([]any)); n != 1 {
			t.Errorf("%d plans", n)
		}
		if n := len(office.Do("GET", "/drafts?branch_id="+w.Branch, nil).Want(200).JSON()["items"].([]any)); n != 1 {
			t.Errorf("%d drafts", n)
		}
		office.Do("DELETE", at, nil, "If-Match", office.Do("GET", at, nil).ETag()).WantProblem(409, "conflict")
		w.As("tech").Do("GET", "/weeks/"+first+"?branch_id="+w.Branch, nil).WantProblem(403, "forbidden")
	})
}

func stopsIn(view obj) (n int) {
	for _, lane := range view["lanes"].([]any) {
		for _, day := range lane.(obj)["days"].([]any) {
			n += len(day.(obj)["stops"].([]any))
		}
	}
	return n
}

func TestRunIsFollowedToItsEnd(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		outfit(w)
		first := w.Clock.Now().AddDate(0, 0, 1).Format(time.DateOnly)
		draft := office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": first, "days": 3}).Want(201).JSON()["id"].(string)
		run := office.Do("POST", "/drafts/"+draft+"/runs", obj{"rounds": 2, "strands": 1}).Want(201).JSON()["id"].(string)

		srv := httptest.NewUnstartedServer(w.Server)
		srv.Config.WriteTimeout = 300 * time.Millisecond // shorter than the run
		srv.Start()
		defer srv.Close()
		req := office.Request("GET", "/plan-runs/"+run+"/events", nil)
		req.RequestURI, req.URL.Scheme, req.URL.Host = "", "http", strings.TrimPrefix(srv.URL, "http://")
		res, err := srv.Client().Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		if res.StatusCode != http.StatusOK || res.Header.Get("Content-Type") != "text/event-stream" {
			t.Fatalf("status %d, %s", res.StatusCode, res.Header.Get("Content-Type"))
		}
		go func() {
			time.Sleep(time.Second)
			_ = w.Desk.RunPlan(context.Background(), run, nil)
		}()
		var states []string
		lines := bufio.NewScanner(res.Body)
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				var r struct{ State string }
				if err := json.Unmarshal([]byte(data), &r); err != nil {
					t.Fatal(err)
				}
				states = append(states, r.State)
			}
		}
		if len(states) < 2 || states[0] != "waiting" && states[0] != "running" || states[len(states)-1] != "done" {
			t.Errorf("states %v", states)
		}
	})
}
