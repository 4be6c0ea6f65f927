package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"syscall"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/worker/mailsink"
)

// On Postgres and Redis, with serve and work as two processes: a week is planned
// in the background by the worker, handed out, and all of its notices that fall
// due reach the mail server once, also when the worker is killed in between and
// Redis is emptied.
func TestHandedOutWeekReachesItsReaders(t *testing.T) {
	address := os.Getenv("EBBLINE_TEST_REDIS")
	if address == "" {
		t.Skip("set EBBLINE_TEST_REDIS to test with two processes")
	}
	if testing.Short() {
		t.Skip("fills and plans a whole company; run without -short")
	}
	database, redisURL := freshPostgres(t), "redis://"+address+"/9"
	ebbline(t, inFolder(t), "", "demo", "--once", "--json", "--rounds=8", "--database="+database).want(t, exitDone)

	sink := mailsink.Start(t)
	env := append(inFolder(t), "EBBLINE_DATABASE="+database, "EBBLINE_REDIS="+redisURL, "EBBLINE_SMTP="+sink.URL(),
		"EBBLINE_LEASE=2s", "EBBLINE_QUIET=1s", "EBBLINE_SWEEP_EVERY=200ms", "EBBLINE_RETRY_AFTER=1s")
	serve := start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
	env = append(env, "EBBLINE_PUBLIC_URL="+serve.url)
	work := start(t, env, "work")

	office := browser(t)
	api := serve.url + "/api/v1"
	keys := 0
	ask := func(method, path, body string, want int, headers ...string) map[string]any {
		t.Helper()
		keys++
		headers = append(headers, "Idempotency-Key", fmt.Sprintf("flow-%d", keys))
		status, text := fetch(t, office, method, api+path, body, headers...)
		var got map[string]any
		if err := json.Unmarshal([]byte(text), &got); err != nil || status != want {
			t.Fatalf("%s %s: %d %.500s", method, path, status, text)
		}
		return got
	}
	session := ask("POST", "/session", `{"email":"owner@example.com","password":"lamp at dusk"}`, http.StatusOK)
	branch := session["branches"].([]any)[0].(map[string]any)["id"].(string)

	// Every hour is decent, so that the test does not depend on when it runs.
	settings := ask("GET", "/branches/"+branch+"/settings", "", http.StatusOK)
	body := settings["body"].(map[string]any)
	var hours []map[string]int
	for day := range 7 {
		hours = append(hours, map[string]int{"weekday": day, "from_minute": 0, "to_minute": 1440})
	}
	body["planning"].(map[string]any)["notice_hours"] = hours
	changed, err := json.Marshal(map[string]any{"body": body})
	if err != nil {
		t.Fatal(err)
	}
	ask("PUT", "/branches/"+branch+"/settings", string(changed), http.StatusOK, "If-Match", fmt.Sprintf(`"v%v"`, settings["number"]))

	zone, err := time.LoadLocation("America/Phoenix")
	if err != nil {
		t.Fatal(err)
	}
	first := jobs.DayOf(time.Now(), zone).Add(1)
	draft := ask("POST", "/drafts", fmt.Sprintf(`{"branch_id":%q,"first_day":%q,"days":7}`, branch, first), http.StatusCreated)
	run := ask("POST", fmt.Sprintf("/drafts/%s/runs", draft["id"]), `{"seed":7,"rounds":10,"seconds":60}`, http.StatusCreated)
	for begun := time.Now(); run["state"] != "done"; run = ask("GET", fmt.Sprintf("/plan-runs/%s", run["id"]), "", http.StatusOK) {
		if run["state"] == "failed" || time.Since(begun) > 90*time.Second {
			t.Fatalf("the planning run stands at %v: %v\n%s", run["state"], run["error"], work.errs)
		}
		time.Sleep(100 * time.Millisecond)
	}
	work.end(t, syscall.SIGKILL)
	draft = ask("GET", fmt.Sprintf("/drafts/%s", draft["id"]), "", http.StatusOK)
	plan := ask("POST", fmt.Sprintf("/drafts/%s/hand-out", draft["id"]), "", http.StatusOK, "If-Match", fmt.Sprintf(`"v%v"`, draft["version"]))
	flushRedis(t, redisURL)
	start(t, env, "work")

	st, err := store.Open(t.Context(), database)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	d, err := desk.New(desk.Config{Store: st, Clock: wallClock{}, IDs: uuids{}})
	if err != nil {
		t.Fatal(err)
	}
	for begun := time.Now(); ; time.Sleep(200 * time.Millisecond) {
		open, sent := 0, map[string]bool{}
		page := jobs.Page{Limit: jobs.MaxPage}
		for {
			list, err := d.Notices(t.Context(), desk.NoticeFilter{BranchID: branch}, page)
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range list.Items {
				switch {
				case n.State == jobs.NoticeSent && n.File == "": // the demo's own went to files
					sent["<"+n.MessageID+">"] = true
				case n.State == jobs.NoticeDue && n.DueAt.Before(time.Now()), n.State == jobs.NoticeClaimed, n.State == jobs.NoticeHandedOver:
					open++
				}
			}
			if page.Cursor = list.Next; list.Next == "" {
				break
			}
		}
		if open == 0 && len(sent) > 0 {
			counts := sink.Counts()
			for id := range sent {
				if counts[id] != 1 {
					t.Errorf("%s arrived %d times", id, counts[id])
				}
			}
			if len(counts) != len(sent) {
				t.Errorf("%d messages arrived, %d are noted as sent", len(counts), len(sent))
			}
			t.Logf("plan %v wrote %v notices; %d were due and arrived once", plan["number"], plan["notices"], len(sent))
			return
		}
		if time.Since(begun) > 60*time.Second {
			t.Fatalf("%d notices are due and not sent, %d sent", open, len(sent))
		}
	}
}
