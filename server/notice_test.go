package server_test

import (
	"context"
	"testing"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/server/servertest"
)

func TestNotices(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		now := w.Clock.Now()
		var list []jobs.Notice
		for i, state := range []jobs.NoticeState{jobs.NoticeDue, jobs.NoticeSent, jobs.NoticeFailed} {
			id := w.IDs.New()
			list = append(list, jobs.Notice{ID: id, BranchID: w.Branch, Kind: jobs.NoticeBooking, Thing: "booking/" + id, Revision: int64(i + 1),
				Channel: jobs.ChannelEmail, Address: "ana@example.com", Language: "en", Zone: "America/Phoenix", Subject: "Your days", Body: "Mon",
				MessageID: id + "@notice.ebbline", DueAt: now, UsefulUntil: now, State: state, CreatedAt: now})
		}
		if err := w.Store.InTx(context.Background(), func(tx *store.Tx) error { return tx.InsertNotices(list) }); err != nil {
			t.Fatal(err)
		}
		office := w.As("dispatcher")
		all := office.Do("GET", "/notices?branch_id="+w.Branch+"&limit=2", nil)
		all.Want(200)
		body := all.JSON()
		if n := len(body["items"].([]any)); n != 2 || body["next"] == nil {
			t.Fatalf("a page of two holds %d, next %v", n, body["next"])
		}
		rest := office.Do("GET", "/notices?branch_id="+w.Branch+"&limit=2&after="+body["next"].(string), nil)
		rest.Want(200)
		if n := len(rest.JSON()["items"].([]any)); n != 1 {
			t.Fatalf("the second page holds %d", n)
		}
		failed := office.Do("GET", "/notices?branch_id="+w.Branch+"&state=failed", nil)
		failed.Want(200)
		if n := len(failed.JSON()["items"].([]any)); n != 1 {
			t.Fatalf("%d failed notices", n)
		}
		office.Do("GET", "/notices?branch_id="+w.Branch+"&state=gone", nil).Want(400)
		again := office.Do("POST", "/notices/"+list[2].ID+"/again", nil)
		again.Want(200)
		if got := again.JSON()["state"]; got != "due" {
			t.Errorf("tried again: %v", got)
		}
		office.Do("POST", "/notices/"+list[1].ID+"/again", nil).Want(409)
		w.As("tech").Do("GET", "/notices?branch_id="+w.Branch, nil).Want(403)
	})
}
