package main

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/hibiken/asynq"
	"github.com/redis/go-redis/v9"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/worker/mailsink"
)

// crashAt kills this process, as kill -9 does, when sending comes to the point
// for the nth time. TestMain sets it from EBBLINE_TEST_CRASH=point and
// EBBLINE_TEST_CRASH_AFTER=n.
func crashAt(point, after string) func(string) {
	if point == "" {
		return nil
	}
	n, _ := strconv.ParseInt(after, 10, 64)
	var met atomic.Int64
	return func(at string) {
		if at == point && met.Add(1) > n {
			_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {} // nothing more is done while the signal comes
		}
	}
}

// With Postgres and Redis, serve and work as two processes: a worker is killed
// at each named point, again and again, Redis loses everything in between, and
// still every notice reaches the mail server with its one Message-ID. A second
// raw copy is allowed only for a notice that the kill left handed over: its
// sender died between the last look before the final dot and writing down that
// it was sent.
func TestNoticesSurviveKills(t *testing.T) {
	address := os.Getenv("EBBLINE_TEST_REDIS")
	if address == "" {
		t.Skip("set EBBLINE_TEST_REDIS to test with two processes")
	}
	rounds := 3
	if testing.Short() {
		rounds = 1
	}
	database, redisURL := freshPostgres(t), "redis://"+address+"/8"
	sink := mailsink.Start(t)
	env := append(inFolder(t), "EBBLINE_DATABASE="+database, "EBBLINE_REDIS="+redisURL, "EBBLINE_SMTP="+sink.URL(),
		"EBBLINE_LEASE=2s", "EBBLINE_QUIET=1s", "EBBLINE_SWEEP_EVERY=200ms", "EBBLINE_RETRY_AFTER=1s")
	ebbline(t, env, "", "migrate").want(t, exitDone)
	st, err := store.Open(t.Context(), database)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	w := desktest.New(t, st)
	serve := start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
	env = append(env, "EBBLINE_PUBLIC_URL="+serve.url)

	points := []string{"after_claim", "mid_data", "before_dot", "after_dot", "after_sent"}
	var all []string
	kills, handedOver := 0, map[string]int{}
	for round := range rounds {
		for i, point := range points {
			all = append(all, dueNotices(t, w, 12)...)
			work := start(t, append(env, "EBBLINE_TEST_CRASH="+point, fmt.Sprintf("EBBLINE_TEST_CRASH_AFTER=%d", (round+i)%4)), "work")
			select {
			case <-work.done:
			case <-time.After(30 * time.Second):
				t.Fatalf("work did not come to %s:\n%s", point, work.errs)
			}
			if s, ok := work.cmd.ProcessState.Sys().(syscall.WaitStatus); !ok || s.Signal() != syscall.SIGKILL {
				t.Fatalf("at %s work ended by itself: %s\n%s", point, work.cmd.ProcessState, work.errs)
			}
			kills++
			left, err := w.Desk.Notices(t.Context(), desk.NoticeFilter{State: string(jobs.NoticeHandedOver)}, jobs.Page{Limit: jobs.MaxPage})
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range left.Items {
				handedOver[n.ID]++
			}
			flushRedis(t, redisURL)
		}
	}
	work := start(t, env, "work")
	deadline := time.Now().Add(60 * time.Second)
	for {
		counts, err := w.Desk.NoticeCounts(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if counts[string(jobs.NoticeSent)] == int64(len(all)) {
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("of %d notices stand %v\n%s", len(all), counts, work.errs)
		}
		time.Sleep(100 * time.Millisecond)
	}
	arrived := sink.Counts()
	if len(arrived) != len(all) {
		t.Errorf("%d Message-IDs arrived of %d notices", len(arrived), len(all))
	}
	doubles := 0
	for _, id := range all {
		n := arrived["<"+id+"@notice.ebbline>"]
		if n == 0 {
			t.Errorf("notice %s never arrived", id)
		}
		if n-1 > handedOver[id] {
			t.Errorf("notice %s arrived %d times; kills left it handed over %d times", id, n, handedOver[id])
		}
		doubles += max(n-1, 0)
	}
	t.Logf("%d kills, %d notices, 0 lost, %d raw doubles, %d notices were left handed over", kills, len(all), doubles, len(handedOver))
}

// dueNotices writes notices that are due by the real clock.
func dueNotices(t *testing.T, w *desktest.World, n int) []string {
	t.Helper()
	now := time.Now().UTC().Truncate(time.Second)
	var list []jobs.Notice
	var ids []string
	for i := range n {
		id := uuids{}.New()
		ids = append(ids, id)
		list = append(list, jobs.Notice{ID: id, BranchID: w.Branch, Kind: jobs.NoticeCrewSheet, Thing: "crew_sheet/" + id, Revision: 1,
			Channel: jobs.ChannelEmail, Address: fmt.Sprintf("tech%d@example.com", i), Language: "en", Zone: noonZone(now),
			Subject: "Tomorrow", Body: "First stop at 7.", MessageID: id + "@notice.ebbline", DueAt: now, UsefulUntil: now.Add(time.Hour),
			State: jobs.NoticeDue, CreatedAt: now})
	}
	if err := w.Store.InTx(context.Background(), func(tx *store.Tx) error { return tx.InsertNotices(list) }); err != nil {
		t.Fatal(err)
	}
	return ids
}

// noonZone is a zone in which it is about noon: notices go out in decent hours
// only, whenever the test runs.
func noonZone(now time.Time) string {
	east := 12 - now.Hour()
	return fmt.Sprintf("Etc/GMT%+d", -east) // POSIX signs: Etc/GMT+7 lies west
}

func flushRedis(t *testing.T, url string) {
	t.Helper()
	opt, err := asynq.ParseRedisURI(url)
	if err != nil {
		t.Fatal(err)
	}
	c := opt.MakeRedisClient().(redis.UniversalClient)
	defer c.Close()
	if err := c.FlushDB(context.Background()).Err(); err != nil {
		t.Fatal(err)
	}
}
