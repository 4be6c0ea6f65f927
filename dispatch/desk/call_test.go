package desk_test

import (
	"fmt"
	"sync"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func wantCode(t *testing.T, err error, code jobs.Code) {
	t.Helper()
	if got := jobs.CodeOf(err); got != code {
		t.Fatalf("got %q (%v), want %q", got, err, code)
	}
}

func customer(w *desktest.World, name string) jobs.NewCustomer {
	return jobs.NewCustomer{BranchID: w.Branch, CustomerData: jobs.CustomerData{Name: name}}
}

func count(t *testing.T, w *desktest.World) int {
	t.Helper()
	list, err := w.Desk.Customers(ctx, desk.CustomerFilter{}, jobs.Page{Limit: jobs.MaxPage})
	must(t, err)
	return len(list.Items)
}

func TestKeyReplaysItsOutcome(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		call := w.Call("dispatcher")
		first, err := w.Desk.CreateCustomer(ctx, call, customer(w, "A"))
		must(t, err)
		again, err := w.Desk.CreateCustomer(ctx, call, customer(w, "A"))
		must(t, err)
		if !again.Replayed || again.NounID != first.NounID || again.Version != 1 || count(t, w) != 1 {
			t.Errorf("first %+v, again %+v, %d customers", first, again, count(t, w))
		}

		other := call
		other.Fingerprint = "another request"
		_, err = w.Desk.CreateCustomer(ctx, other, customer(w, "B"))
		wantCode(t, err, jobs.CodeKeyReused)

		// The same key is another person's, or another act's, own.
		owner := w.Call("owner")
		owner.Key, owner.Fingerprint = call.Key, call.Fingerprint
		theirs, err := w.Desk.CreateCustomer(ctx, owner, customer(w, "A"))
		must(t, err)
		if theirs.Replayed || theirs.NounID == first.NounID {
			t.Error("one person met another's key")
		}
		_, err = w.Desk.AddContact(ctx, call, first.NounID, jobs.ContactData{Role: jobs.ContactPayer, Name: "Ann"})
		must(t, err)
	})
}

func TestRefusalIsNotStoredUnderTheKey(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		call := w.Call("dispatcher")
		_, err := w.Desk.CreateCustomer(ctx, call, customer(w, ""))
		wantCode(t, err, jobs.CodeInvalid)
		wrong := customer(w, "A")
		wrong.BranchID = w.IDs.New()
		_, err = w.Desk.CreateCustomer(ctx, call, wrong)
		wantCode(t, err, jobs.CodeNotFound)
		_, err = w.Desk.CreateCustomer(ctx, call, customer(w, "A"))
		must(t, err)
	})
}

// Groups of the same request at once: each group has exactly one effect, and
// every answer is the stored one or "busy".
func TestSameKeyAtOnce(t *testing.T) {
	groups := 40
	if testing.Short() {
		groups = 5
	}
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		for g := range groups {
			call := w.Call("dispatcher")
			var mu sync.Mutex
			ids := map[string]bool{}
			var wg sync.WaitGroup
			for range 2 + g%7 {
				wg.Go(func() {
					out, err := w.Desk.CreateCustomer(ctx, call, customer(w, fmt.Sprint("G", g)))
					mu.Lock()
					defer mu.Unlock()
					switch jobs.CodeOf(err) {
					case "":
						ids[out.NounID] = true
					case jobs.CodeKeyBusy:
					default:
						t.Error(err)
					}
				})
			}
			wg.Wait()
			if len(ids) != 1 {
				t.Errorf("group %d has %d outcomes", g, len(ids))
			}
		}
		if n := count(t, w); n != groups {
			t.Errorf("%d customers of %d groups", n, groups)
		}
	})
}

func TestOneOfTwoChangesWins(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		out, err := w.Desk.CreateCustomer(ctx, w.Call("owner"), customer(w, "A"))
		must(t, err)
		for round := range int64(10) {
			errs := make([]error, 4)
			var wg sync.WaitGroup
			for i := range errs {
				wg.Go(func() {
					note := fmt.Sprint(i)
					_, errs[i] = w.Desk.ChangeCustomer(ctx, w.Call("dispatcher"), out.NounID, round+1, jobs.CustomerChange{Note: &note})
				})
			}
			wg.Wait()
			won := 0
			for _, err := range errs {
				if err == nil {
					won++
					continue
				}
				wantCode(t, err, jobs.CodeStale)
			}
			if won != 1 {
				t.Fatalf("%d changes won", won)
			}
		}
	})
}

func TestEveryActIsAudited(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		out, err := w.Desk.CreateCustomer(ctx, w.Call("dispatcher"), customer(w, "A"))
		must(t, err)
		name := "B"
		_, err = w.Desk.ChangeCustomer(ctx, w.Call("owner"), out.NounID, 1, jobs.CustomerChange{Name: &name})
		must(t, err)
		_, err = w.Desk.ChangeCustomer(ctx, w.Call("owner"), out.NounID, 1, jobs.CustomerChange{Name: &name})
		wantCode(t, err, jobs.CodeStale)
		must(t, w.Store.View(ctx, func(tx *store.Tx) error {
			list, err := tx.Audit("customer", out.NounID)
			if len(list) != 2 || list[0].Act != "createCustomer" || list[0].Actor.Name != "dispatcher" || list[0].Version != 1 ||
				list[1].Act != "changeCustomer" || list[1].Actor.UserID != w.Users["owner"].ID || list[1].Version != 2 || list[1].BranchID != w.Branch {
				t.Errorf("audit %+v", list)
			}
			return err
		}))
	})
}
