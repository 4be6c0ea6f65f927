package worker

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
	"github.com/hibiken/asynq"
	"github.com/redis/go-redis/v9"

	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/worker/mailsink"
)

var quiet = slog.New(slog.DiscardHandler)

// due writes n notices that are due now and returns their ids.
func due(t *testing.T, w *desktest.World, n int, change func(*jobs.Notice)) []string {
	t.Helper()
	now := w.Clock.Now()
	var list []jobs.Notice
	var ids []string
	for i := range n {
		id := w.IDs.New()
		one := jobs.Notice{ID: id, BranchID: w.Branch, Kind: jobs.NoticeCrewSheet, Thing: "crew_sheet/" + id, Revision: 1,
			Channel: jobs.ChannelEmail, Address: fmt.Sprintf("tech%d@example.com", i), Language: "en", Zone: "America/Phoenix",
			Subject: "Tomorrow", Body: "First stop at 7.", MessageID: id + "@notice.ebbline", DueAt: now, UsefulUntil: now.Add(time.Hour),
			State: jobs.NoticeDue, CreatedAt: now}
		if change != nil {
			change(&one)
		}
		list, ids = append(list, one), append(ids, id)
	}
	if err := w.Store.InTx(context.Background(), func(tx *store.Tx) error { return tx.InsertNotices(list) }); err != nil {
		t.Fatal(err)
	}
	return ids
}

func state(t *testing.T, w *desktest.World, id string) jobs.Notice {
	t.Helper()
	n, err := w.Desk.Notice(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func delivery(w *desktest.World, mail Sender) *Delivery {
	return &Delivery{Desk: w.Desk, Mail: mail, From: Address{"Office", "office@example.com"}, Wait: time.Second, Log: quiet}
}

func TestDeliveryOnce(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		sink := mailsink.Start(t)
		ids := due(t, w, 20, nil)
		d := delivery(w, newSMTP(t, sink.URL()))
		// Four at once ask for every notice: each is sent by one of them.
		var wg sync.WaitGroup
		for range 4 {
			wg.Add(1)
			go func() {
				defer wg.Done()
				for _, id := range ids {
					if err := d.One(context.Background(), id); err != nil {
						t.Error(err)
					}
				}
			}()
		}
		wg.Wait()
		counts := sink.Counts()
		for _, id := range ids {
			if n := state(t, w, id); n.State != jobs.NoticeSent || n.SentAt.IsZero() || n.Attempts != 1 {
				t.Errorf("notice %s stands at %s after %d attempts", id, n.State, n.Attempts)
			}
			if got := counts["<"+id+"@notice.ebbline>"]; got != 1 {
				t.Errorf("notice %s arrived %d times", id, got)
			}
		}
	})
}

// A refusal for good puts the notice aside; one for now brings it back, at most
// MaxTries times.
func TestDeliveryRefused(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		sink := mailsink.Start(t)
		d := delivery(w, newSMTP(t, sink.URL()))
		d.Wait = time.Nanosecond
		sink.Refuse = func(string) error { return &smtp.SMTPError{Code: 550, Message: "no such box"} }
		gone := due(t, w, 1, nil)[0]
		if err := d.One(context.Background(), gone); err != nil {
			t.Fatal(err)
		}
		if n := state(t, w, gone); n.State != jobs.NoticeFailed || n.Error == "" {
			t.Errorf("refused for good: %s, %q", n.State, n.Error)
		}
		sink.Refuse = func(string) error { return &smtp.SMTPError{Code: 450, Message: "later"} }
		later := due(t, w, 1, nil)[0]
		for range 8 {
			if err := d.One(context.Background(), later); err != nil {
				t.Fatal(err)
			}
		}
		if n := state(t, w, later); n.State != jobs.NoticeFailed || n.Attempts != 5 {
			t.Errorf("refused for now: %s after %d attempts", n.State, n.Attempts)
		}
		sink.Refuse = nil
		if _, err := w.Desk.SendNoticeAgain(context.Background(), w.Call("dispatcher"), later); err != nil {
			t.Fatal(err)
		}
		if err := d.One(context.Background(), later); err != nil {
			t.Fatal(err)
		}
		if n := state(t, w, later); n.State != jobs.NoticeSent {
			t.Errorf("tried again: %s", n.State)
		}
		if _, err := w.Desk.SendNoticeAgain(context.Background(), w.Call("dispatcher"), later); jobs.CodeOf(err) != jobs.CodeConflict {
			t.Errorf("a sent notice can be tried again: %v", err)
		}
	})
}

// What was replaced between the claim and the last look is not sent; nor is
// what a second sender claimed after the first one's lease ran out.
func TestDeliveryFence(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		sink := mailsink.Start(t)
		ctx := context.Background()
		id := due(t, w, 1, nil)[0]
		d := delivery(w, newSMTP(t, sink.URL()))
		d.Crash = func(point string) {
			if point == "after_claim" {
				if err := w.Store.InTx(ctx, func(tx *store.Tx) error { return tx.SupersedeNotice(id, "") }); err != nil {
					t.Error(err)
				}
			}
		}
		if err := d.One(ctx, id); err != nil {
			t.Fatal(err)
		}
		if n := state(t, w, id); n.State != jobs.NoticeSuperseded || len(sink.Mails()) != 0 {
			t.Fatalf("replaced while claimed: %s, %d mails", n.State, len(sink.Mails()))
		}

		id = due(t, w, 1, nil)[0]
		slow := delivery(w, newSMTP(t, sink.URL()))
		slow.Lease = time.Second
		slow.Crash = func(point string) {
			if point != "after_claim" {
				return
			}
			time.Sleep(2100 * time.Millisecond) // stopped past its lease
			if err := delivery(w, newSMTP(t, sink.URL())).One(ctx, id); err != nil {
				t.Error(err)
			}
		}
		if err := slow.One(ctx, id); err != nil {
			t.Fatal(err)
		}
		if n := state(t, w, id); n.State != jobs.NoticeSent || n.Fence != 2 || len(sink.Mails()) != 1 {
			t.Fatalf("a sender past its lease: %s, fence %d, %d mails", n.State, n.Fence, len(sink.Mails()))
		}
	})
}

func TestDeliveryNeedless(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		sink := mailsink.Start(t)
		ctx := context.Background()
		late := due(t, w, 1, func(n *jobs.Notice) { n.UsefulUntil = w.Clock.Now().Add(-time.Second) })[0]
		early := due(t, w, 1, func(n *jobs.Notice) { n.DueAt = w.Clock.Now().Add(time.Hour); n.UsefulUntil = n.DueAt.Add(time.Hour) })[0]
		stopped := due(t, w, 1, func(n *jobs.Notice) { n.Address = "Stop@Example.com" })[0]
		err := w.Store.InTx(ctx, func(tx *store.Tx) error {
			return tx.InsertConsent(jobs.Consent{ID: w.IDs.New(), Channel: jobs.ChannelEmail, Address: "stop@example.com", How: "reply", SaidAt: w.Clock.Now()})
		})
		if err != nil {
			t.Fatal(err)
		}
		d := delivery(w, newSMTP(t, sink.URL()))
		for id, want := range map[string]jobs.NoticeState{late: jobs.NoticeSuppressed, early: jobs.NoticeDue, stopped: jobs.NoticeSuppressed} {
			if err := d.One(ctx, id); err != nil {
				t.Fatal(err)
			}
			if n := state(t, w, id); n.State != want {
				t.Errorf("stands at %s (%s), want %s", n.State, n.Error, want)
			}
		}
		if n := len(sink.Mails()); n != 0 {
			t.Errorf("%d mails left", n)
		}
	})
}

// A text message whose sender died after giving it away is not sent twice to a
// gateway that cannot tell doubles.
func TestDeliveryUnknownText(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		ctx := context.Background()
		id := due(t, w, 1, func(n *jobs.Notice) { n.Channel, n.Address = jobs.ChannelSMS, "+15595550101" })[0]
		sent := 0
		died := errors.New("died")
		d := delivery(w, nil)
		d.SMS = senderFunc(func(commit func() error) error { sent++; return commit() })
		d.Lease = time.Second
		func() {
			defer func() { _ = recover() }()
			d2 := *d
			d2.SMS = senderFunc(func(commit func() error) error {
				if err := commit(); err != nil {
					t.Error(err)
				}
				sent++
				panic(died)
			})
			_ = d2.One(ctx, id)
		}()
		time.Sleep(2100 * time.Millisecond)
		if err := d.One(ctx, id); err != nil {
			t.Fatal(err)
		}
		if n := state(t, w, id); n.State != jobs.NoticeUnknown || sent != 1 {
			t.Fatalf("stands at %s after %d sends", n.State, sent)
		}
	})
}

type senderFunc func(commit func() error) error

func (f senderFunc) Send(_ context.Context, _ Message, commit func() error) (string, error) {
	return "", f(commit)
}

func TestRunnerSweepsAndRings(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		dir := t.TempDir()
		r := &Runner{Desk: w.Desk, Delivery: delivery(w, Folder{dir}), Intervals: Intervals{Sweep: time.Hour}, Log: quiet}
		first := due(t, w, 3, nil)
		ctx, stop := context.WithCancel(context.Background())
		done := make(chan error, 1)
		go func() { done <- r.Run(ctx) }()
		allSent(t, w, first)
		second := due(t, w, 3, nil)
		r.Ring(ctx, "notice")
		allSent(t, w, second)
		stop()
		if err := <-done; err != nil {
			t.Fatal(err)
		}
		files, _ := filepath.Glob(filepath.Join(dir, "*.eml"))
		if n := state(t, w, second[0]); len(files) != 6 || n.File == "" {
			t.Fatalf("%d files, notice says %q", len(files), n.File)
		}
	})
}

func allSent(t *testing.T, w *desktest.World, ids []string) {
	t.Helper()
	deadline := time.Now().Add(20 * time.Second)
	for {
		open := 0
		for _, id := range ids {
			if state(t, w, id).State != jobs.NoticeSent {
				open++
			}
		}
		if open == 0 {
			return
		}
		if time.Now().After(deadline) {
			t.Fatalf("%d of %d notices not sent", open, len(ids))
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// Through a real Redis: all arrive once, and a Redis that loses everything
// loses nothing, for SQL rings again.
func TestQueueSurvivesFlush(t *testing.T) {
	address := os.Getenv("EBBLINE_TEST_REDIS")
	if address == "" {
		t.Skip("set EBBLINE_TEST_REDIS to test the queue")
	}
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		sink := mailsink.Start(t)
		url := "redis://" + address + "/6"
		q, err := NewQueue(url)
		if err != nil {
			t.Fatal(err)
		}
		if err := q.Ping(context.Background()); err != nil {
			t.Fatal(err)
		}
		q.Desk, q.Log, q.Concurrency = w.Desk, quiet, 2
		q.Delivery = delivery(w, newSMTP(t, sink.URL()))
		q.Intervals = Intervals{Sweep: 200 * time.Millisecond, Quiet: time.Second}
		flush(t, url)
		ids := due(t, w, 40, nil)
		ctx, stop := context.WithCancel(context.Background())
		done := make(chan error, 1)
		go func() { done <- q.Run(ctx) }()
		for range 5 {
			flush(t, url)
			time.Sleep(30 * time.Millisecond)
		}
		allSent(t, w, ids)
		stop()
		if err := <-done; err != nil {
			t.Fatal(err)
		}
		for id, n := range sink.Counts() {
			if n != 1 {
				t.Errorf("%s arrived %d times", id, n)
			}
		}
	})
}

func flush(t *testing.T, url string) {
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

// A mail server that is away costs no try: the notice goes once it is back.
func TestDeliveryServerAway(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		id := due(t, w, 1, nil)[0]
		away := delivery(w, newSMTP(t, "smtp://127.0.0.1:1"))
		away.Wait = time.Nanosecond
		for range 8 {
			if err := away.One(context.Background(), id); err != nil {
				t.Fatal(err)
			}
		}
		if n := state(t, w, id); n.State != jobs.NoticeDue || n.Attempts != 0 || n.Error == "" {
			t.Fatalf("server away: %s after %d attempts, %q", n.State, n.Attempts, n.Error)
		}
		sink := mailsink.Start(t)
		if err := delivery(w, newSMTP(t, sink.URL())).One(context.Background(), id); err != nil {
			t.Fatal(err)
		}
		if n := state(t, w, id); n.State != jobs.NoticeSent || len(sink.Mails()) != 1 {
			t.Fatalf("server back: %s", n.State)
		}
	})
}
