package server_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"ebbline/server/servertest"
)

// caller makes an enquiry whose survey waits for a crew, and gives the job's id.
func caller(w *servertest.World, n int) string {
	return w.As("dispatcher").Do("POST", "/enquiries", obj{"branch_id": w.Branch,
		"customer": obj{"name": fmt.Sprintf("Caller %d", n), "contacts": []obj{{"role": "payer", "name": "Ann", "email": fmt.Sprintf("ann%d@example.com", n)}}},
		"site": obj{"name": "", "street": fmt.Sprintf("%d Ocotillo Ln", n), "city": "Dry Fork", "region": "AZ", "postcode": "85001",
			"lat_e7": 334500000 + 70000*n, "lon_e7": -1120700000 - 90000*n},
		"job": obj{"kind": "conversion", "can_come_early": n == 2}}).Want(201).JSON()["id"].(string)
}

// planned opens a draft of five days from tomorrow and has it planned.
func planned(t *testing.T, w *servertest.World) obj {
	t.Helper()
	office := w.As("dispatcher")
	first := w.Clock.Now().AddDate(0, 0, 1).Format(time.DateOnly)
	draft := office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": first, "days": 5}).Want(201).JSON()
	at := "/drafts/" + draft["id"].(string)
	run := office.Do("POST", at+"/runs", obj{"rounds": 3, "strands": 1}).Want(201).JSON()["id"].(string)
	runPlan(t, w, run)
	return office.Do("GET", at, nil).Want(200).JSON()
}

func runPlan(t *testing.T, w *servertest.World, run string) obj {
	t.Helper()
	if err := w.Desk.RunPlan(context.Background(), run, nil); err != nil {
		t.Fatal(err)
	}
	r := w.As("dispatcher").Do("GET", "/plan-runs/"+run, nil).Want(200).JSON()
	if r["state"] != "done" || len(r["series"].([]any)) == 0 {
		t.Fatalf("run %v", r)
	}
	return r
}

func handOut(w *servertest.World, draft obj) obj {
	return w.As("dispatcher").Do("POST", "/drafts/"+draft["id"].(string)+"/hand-out", nil, "If-Match", tag(draft["version"])).Want(200).JSON()
}

// firstStop is the first stop of a week's view, with its crew and day.
func firstStop(t *testing.T, view obj) (visit, job, crew, day string) {
	t.Helper()
	for _, l := range view["lanes"].([]any) {
		for _, d := range l.(obj)["days"].([]any) {
			for _, s := range d.(obj)["stops"].([]any) {
				return s.(obj)["visit_id"].(string), s.(obj)["job_id"].(string), l.(obj)["crew_id"].(string), d.(obj)["day"].(string)
			}
		}
	}
	t.Fatal("no stop at all")
	return "", "", "", ""
}

// TestAskOfAPlan asks all that may be asked of a plan, by the routes alone; every
// answer is checked against the contract.
func TestAskOfAPlan(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		outfit(w)
		for n := range 3 {
			caller(w, n)
		}
		late := caller(w, 3)
		fresh := office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": w.Clock.Now().Format(time.DateOnly), "days": 3}).Want(201).JSON()
		draft := planned(t, w)
		id := draft["id"].(string)
		visit, job, crew, day := firstStop(t, office.Do("GET", "/drafts/"+id+"/week", nil).Want(200).JSON())
		view := obj{"draft_id": id, "draft_version": draft["version"]}

		try := func(view, change obj) *servertest.Answer {
			return office.Do("POST", "/tries", obj{"view": view, "change": change})
		}
		tried := try(view, obj{"kind": "job_out", "job_id": job}).Want(200).JSON()
		if tried["fits"] != true || len(tried["jobs_out"].([]any)) != 1 || tried["says"] == "" {
			t.Errorf("tried %v", tried)
		}
		try(view, obj{"kind": "visit", "visit_id": visit, "crew_id": crew, "day": day, "first": true}).Want(200)
		try(view, obj{"kind": "crew_out", "crew_id": crew, "from_day": day}).Want(200)
		try(view, obj{"kind": "closed", "closure": obj{"kind": "everything", "from_at": w.Clock.Now().AddDate(0, 0, 1), "to_at": w.Clock.Now().AddDate(0, 0, 2)}}).Want(200)
		try(view, obj{"kind": "coffee"}).WantProblem(400, "invalid", "change.kind")
		try(view, obj{"kind": "visit", "visit_id": visit}).WantProblem(400, "invalid", "change.crew_id")
		try(obj{"draft_id": id, "draft_version": 99}, obj{"kind": "job_out", "job_id": job}).WantProblem(409, "conflict")
		try(obj{"draft_id": fresh["id"]}, obj{"kind": "job_out", "job_id": job}).WantProblem(409, "conflict")
		try(obj{"draft_id": w.IDs.New()}, obj{"kind": "job_out", "job_id": job}).WantProblem(404, "not_found")
		try(obj{"branch_id": w.Branch}, obj{"kind": "job_out", "job_id": job}).WantProblem(409, "conflict")
		w.As("tech").Do("POST", "/tries", obj{"view": view, "change": obj{"kind": "job_out", "job_id": job}}).WantProblem(403, "forbidden")
		w.As("owner").Do("POST", "/tries", obj{"view": view, "change": obj{"kind": "job_out", "job_id": job}}).Want(200)

		places := office.Do("GET", "/places?draft_id="+id+"&visit_id="+visit, nil).Want(200).JSON()
		if len(places["items"].([]any)) == 0 {
			t.Errorf("places %v", places)
		}
		office.Do("GET", "/places?draft_id="+id+"&visit_id="+w.IDs.New(), nil).WantProblem(400, "invalid", "visit_id")
		odds := office.Do("GET", "/odds?runs=100&draft_id="+id, nil).Want(200).JSON()
		if odds["runs"] != 100.0 || odds["says"] == "" {
			t.Errorf("odds %v", odds)
		}
		office.Do("GET", "/odds?runs=3&draft_id="+id, nil).WantProblem(400, "invalid", "runs")
		office.Do("GET", "/reasons?draft_id="+id+"&job_id="+job, nil).WantProblem(409, "conflict")
		if list := office.Do("GET", "/standby?draft_id="+id, nil).Want(200).JSON()["items"].([]any); len(list) != 1 || list[0].(obj)["says"] == "" {
			t.Errorf("standby %v", list)
		}

		take := obj{"view": view, "change": obj{"kind": "job_out", "job_id": late}}
		taken := office.Do("POST", "/changes", take, "Idempotency-Key", "take-1").Want(201)
		if again := office.Do("POST", "/changes", take, "Idempotency-Key", "take-1").Want(201); string(again.Body) != string(taken.Body) {
			t.Errorf("taken twice: %s and %s", taken.Body, again.Body)
		}
		office.Do("POST", "/changes", take).WantProblem(409, "conflict")
		draft = taken.JSON()
		if draft["id"] != id || draft["version"].(float64) != view["draft_version"].(float64)+1 || draft["state"] != "planned" {
			t.Errorf("taken %v", draft)
		}
		if plan := handOut(w, draft); plan["number"] != 1.0 {
			t.Errorf("plan %v", plan)
		}
		handed := obj{"branch_id": w.Branch, "plan_number": 1}
		if got := try(handed, obj{"kind": "job_in", "job_id": late}).Want(200).JSON(); got["fits"] != true {
			t.Errorf("the job that was taken out does not fit: %v", got)
		}
		try(obj{"branch_id": w.Branch, "plan_number": 2}, obj{"kind": "job_out", "job_id": job}).WantProblem(409, "conflict")
		reasons := office.Do("GET", "/reasons?branch_id="+w.Branch+"&job_id="+late, nil).Want(200).JSON()
		if len(reasons["says"].([]any)) == 0 {
			t.Errorf("reasons %v", reasons)
		}
		made := office.Do("POST", "/changes", obj{"view": handed, "change": obj{"kind": "job_in", "job_id": late}}).Want(201).JSON()
		if made["id"] == id || made["base_plan_number"] != 1.0 || made["state"] != "planned" {
			t.Errorf("a draft of what was handed out: %v", made)
		}
		c := office.Do("GET", "/comparison?draft_id="+made["id"].(string), nil).Want(200).JSON()
		in := 0
		for _, j := range c["jobs"].([]any) {
			if j.(obj)["change"] == "in" {
				in++
			}
		}
		if c["with_plan_number"] != 1.0 || in != 1 {
			t.Errorf("comparison %v", c)
		}
		office.Do("GET", "/comparison?draft_id="+fresh["id"].(string), nil).WantProblem(409, "conflict")
		now := office.Do("GET", "/day-now?branch_id="+w.Branch, nil).Want(200).JSON()
		if now["plan_number"] != 1.0 || now["says"] == "" {
			t.Errorf("day %v", now)
		}
		w.As("tech").Do("GET", "/day-now?branch_id="+w.Branch, nil).WantProblem(403, "forbidden")
		if told := office.Do("POST", "/day-now/late", obj{"branch_id": w.Branch}).Want(200).JSON(); told["visits"] != 0.0 {
			t.Errorf("nobody is late, and told is %v", told)
		}
	})
}

// TestMendOverHTTP mends a week from the call in the morning to the hand-out.
func TestMendOverHTTP(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		outfit(w)
		for n := range 3 {
			caller(w, n)
		}
		office.Do("POST", "/mends", obj{"branch_id": w.Branch, "plan_number": 1, "change": obj{"kind": "as_it_is"}}).WantProblem(409, "conflict")
		handOut(w, planned(t, w))
		_, _, crew, day := firstStop(t, office.Do("GET", "/weeks/"+w.Clock.Now().AddDate(0, 0, 1).Format(time.DateOnly)+"?branch_id="+w.Branch, nil).Want(200).JSON())
		ask := obj{"branch_id": w.Branch, "plan_number": 1, "rounds": 3, "change": obj{"kind": "crew_out", "crew_id": crew, "from_day": day, "note": "flat tire"}}
		first := office.Do("POST", "/mends", ask, "Idempotency-Key", "mend-1").Want(201)
		if again := office.Do("POST", "/mends", ask, "Idempotency-Key", "mend-1").Want(201); string(again.Body) != string(first.Body) {
			t.Errorf("mended twice: %s and %s", first.Body, again.Body)
		}
		draft := first.JSON()
		upset := draft["upset"].(obj)
		if upset["kind"] != "crew_out" || len(upset["recorded"].([]any)) != 1 || len(upset["untouched"].(obj)["stranded"].([]any)) == 0 {
			t.Errorf("upset %v", upset)
		}
		if n := len(office.Do("GET", "/absences?branch_id="+w.Branch+"&from="+day+"&to="+day, nil).Want(200).JSON()["items"].([]any)); n != 1 {
			t.Errorf("%d absences", n)
		}
		if r := runPlan(t, w, draft["run_id"].(string)); r["mode"] != "mend" {
			t.Errorf("run %v", r)
		}
		at := "/drafts/" + draft["id"].(string)
		if told := office.Do("GET", at+"/told", nil).Want(200).JSON()["items"].([]any); len(told) == 0 {
			t.Error("nobody would be told")
		}
		handOut(w, office.Do("GET", at, nil).Want(200).JSON())
		office.Do("POST", "/mends", ask).WantProblem(409, "conflict")
		ask["plan_number"], ask["change"] = 2, obj{"kind": "person_moved", "person_id": w.IDs.New(), "crew_id": crew, "from_day": day}
		office.Do("POST", "/mends", ask).WantProblem(400, "invalid", "change.kind")
		w.As("tech").Do("POST", "/mends", ask).WantProblem(403, "forbidden")
	})
}

// TestOfferAndHoldOverHTTP has a caller on the phone: windows, one held, booked,
// kept by the next plan.
func TestOfferAndHoldOverHTTP(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		outfit(w)
		caller(w, 0)
		handOut(w, planned(t, w))
		job, other := caller(w, 1), caller(w, 2)
		offers := office.Do("GET", "/jobs/"+job+"/offers?most=20", nil).Want(200).JSON()
		windows := offers["windows"].([]any)
		if len(windows) == 0 || len(windows) > 20 || offers["plan_number"] != 1.0 || offers["earliest"] == nil {
			t.Fatalf("offers %v", offers)
		}
		office.Do("GET", "/jobs/"+job+"/offers?most=99", nil).WantProblem(400, "invalid", "most")
		office.Do("GET", "/jobs/"+w.IDs.New()+"/offers", nil).WantProblem(404, "not_found")
		var win obj // one of the days that are planned below
		for _, x := range windows {
			from, err := time.Parse(time.RFC3339, x.(obj)["from_at"].(string))
			if err != nil {
				t.Fatal(err)
			}
			if hours := from.Sub(w.Clock.Now()).Hours(); win == nil && hours > 24 && hours < 5*24 {
				win = x.(obj)
			}
		}
		if win == nil {
			t.Fatalf("no window in the next days: %v", windows)
		}
		ask := obj{"job_id": job, "visit_id": offers["visit_id"], "crew_id": win["crew_id"], "from_at": win["from_at"], "to_at": win["to_at"], "start_at": win["start_at"], "minutes": 20}
		held := office.Do("POST", "/holds", ask, "Idempotency-Key", "hold-1").Want(201)
		if again := office.Do("POST", "/holds", ask, "Idempotency-Key", "hold-1").Want(201); string(again.Body) != string(held.Body) {
			t.Errorf("held twice: %s and %s", held.Body, again.Body)
		}
		office.Do("POST", "/holds", ask).WantProblem(409, "conflict")
		office.Do("GET", "/jobs/"+job+"/offers", nil).WantProblem(409, "conflict")
		office.Do("GET", "/jobs/"+other+"/offers", nil).Want(200)
		ask["minutes"] = 500
		office.Do("POST", "/holds", ask).WantProblem(400, "invalid", "minutes")
		at := "/holds/" + held.JSON()["id"].(string)
		office.Do("POST", at+"/booking", nil).WantProblem(428, "precondition")
		office.Do("POST", at+"/booking", nil, "If-Match", `"v9"`).WantProblem(412, "stale")
		booked := office.Do("POST", at+"/booking", nil, "If-Match", held.ETag()).Want(200)
		if booked.JSON()["state"] != "booked" {
			t.Errorf("booked %v", booked.JSON())
		}
		office.Do("POST", at+"/booking", nil, "If-Match", booked.ETag()).WantProblem(409, "conflict")
		if list := office.Do("GET", "/holds?branch_id="+w.Branch, nil).Want(200).JSON()["items"].([]any); len(list) != 1 {
			t.Errorf("holds %v", list)
		}
		w.As("tech").Do("GET", "/holds?branch_id="+w.Branch, nil).WantProblem(403, "forbidden")

		draft := planned(t, w)
		handOut(w, draft)
		if got := office.Do("GET", at, nil).Want(200).JSON()["state"]; got != "handed_out" {
			t.Errorf("the hold is %v", got)
		}
		kept := false
		for _, l := range office.Do("GET", "/weeks/"+w.Clock.Now().AddDate(0, 0, 1).Format(time.DateOnly)+"?branch_id="+w.Branch, nil).Want(200).JSON()["lanes"].([]any) {
			for _, d := range l.(obj)["days"].([]any) {
				for _, s := range d.(obj)["stops"].([]any) {
					kept = kept || s.(obj)["visit_id"] == offers["visit_id"] && s.(obj)["promise_from"] == win["from_at"] && s.(obj)["promise_to"] == win["to_at"]
				}
			}
		}
		if !kept {
			t.Error("the booked window was not promised")
		}
		office.Do("DELETE", at, nil, "If-Match", office.Do("GET", at, nil).ETag()).WantProblem(409, "conflict")
		free := office.Do("GET", "/jobs/"+caller(w, 4)+"/offers", nil).Want(200).JSON()
		win = free["windows"].([]any)[0].(obj)
		ask = obj{"job_id": free["job_id"], "visit_id": free["visit_id"], "crew_id": win["crew_id"], "from_at": win["from_at"], "to_at": win["to_at"], "start_at": win["start_at"]}
		held = office.Do("POST", "/holds", ask).Want(201)
		at = "/holds/" + held.JSON()["id"].(string)
		office.Do("DELETE", at, nil).WantProblem(428, "precondition")
		office.Do("DELETE", at, nil, "If-Match", held.ETag()).Want(204)
	})
}
