package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

var (
	ctx = context.Background()
	now = time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)
)

// id makes readable ids: id(7) ends in 000000000007.
func id(n int) string { return fmt.Sprintf("00000000-0000-7000-8000-%012d", n) }

// must fails the test on an error of an arrangement.
func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// wantCode fails the test when err has another code.
func wantCode(t *testing.T, err error, code jobs.Code) {
	t.Helper()
	if got := jobs.CodeOf(err); got != code {
		t.Fatalf("got %q (%v), want %q", got, err, code)
	}
}

// seed adds branch 1.
func seed(t *testing.T, st *store.Store) {
	t.Helper()
	must(t, st.InTx(ctx, func(tx *store.Tx) error {
		return tx.InsertBranch(jobs.Branch{ID: id(1), Name: "Yard", Zone: "America/Phoenix"}, now)
	}))
}

func customer(n int, name string) jobs.Customer {
	return jobs.Customer{ID: id(n), BranchID: id(1), CustomerData: jobs.CustomerData{Name: name}, Version: 1, CreatedAt: now, UpdatedAt: now}
}

func TestMigrateTwiceChangesNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		first, err := st.Migrate(ctx)
		must(t, err)
		second, err := st.Migrate(ctx)
		must(t, err)
		if first != second || first == 0 {
			t.Fatalf("versions %d and %d", first, second)
		}
	})
}

func TestFunctionThatFailsLeavesNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		broken := errors.New("broken")
		err := st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertCustomer(customer(10, "Half")))
			return broken
		})
		if !errors.Is(err, broken) {
			t.Fatalf("got %v", err)
		}
		err = st.View(ctx, func(tx *store.Tx) error { _, err := tx.Customer(id(10)); return err })
		wantCode(t, err, jobs.CodeNotFound)
	})
}

func TestViewCannotWrite(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		if err := st.View(ctx, func(tx *store.Tx) error { return tx.InsertCustomer(customer(10, "No")) }); err == nil {
			t.Fatal("wrote in a view")
		}
	})
}

func TestConstraintsSpeak(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		user := jobs.User{ID: id(2), BranchID: id(1), Email: "Mara@example.com", Name: "Mara", Role: jobs.RoleOwner, Epoch: 1, Version: 1, CreatedAt: now, UpdatedAt: now}
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertUser(user) }))

		user.ID, user.Email = id(3), "mara@EXAMPLE.com"
		err := st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertUser(user) })
		wantCode(t, err, jobs.CodeConflict)
		var e *jobs.Error
		if !errors.As(err, &e) || len(e.Fields) != 1 || e.Fields[0].Field != "email" {
			t.Fatalf("the error names no field: %#v", err)
		}

		lost := customer(10, "No branch")
		lost.BranchID = id(99)
		err = st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertCustomer(lost) })
		wantCode(t, err, jobs.CodeConflict)

		user.ID, user.Email, user.Role = id(4), "x@example.com", "king"
		err = st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertUser(user) })
		wantCode(t, err, jobs.CodeConflict)
	})
}

// Thirty-two writers read and write one row each many times: none sees a busy
// database, and no update is lost.
func TestManyWriters(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) { manyWriters(t, st, 32, 5) })
}

// The same on SQLite alone, short enough for the race detector.
func TestSQLiteConcurrency(t *testing.T) { manyWriters(t, storetest.SQLite(t), 32, 2) }

func manyWriters(t *testing.T, st *store.Store, writers, rounds int) {
	seed(t, st)
	must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertCustomer(customer(10, "0")) }))
	var wg sync.WaitGroup
	errs := make(chan error, writers*rounds)
	add := func() error {
		for {
			err := st.InTx(ctx, func(tx *store.Tx) error {
				c, err := tx.Customer(id(10))
				if err != nil {
					return err
				}
				c.Note += "x"
				return tx.UpdateCustomer(c)
			})
			if jobs.CodeOf(err) != jobs.CodeStale { // stale: read it again, as a person would
				return err
			}
		}
	}
	for range writers {
		wg.Go(func() {
			for range rounds {
				errs <- add()
			}
		})
	}
	wg.Wait()
	close(errs)
	for err := range errs {
		must(t, err)
	}
	must(t, st.View(ctx, func(tx *store.Tx) error {
		c, err := tx.Customer(id(10))
		if err == nil && (len(c.Note) != writers*rounds || c.Version != int64(1+writers*rounds)) {
			t.Errorf("%d notes, version %d", len(c.Note), c.Version)
		}
		return err
	}))
}

func TestLeaseNowIsTheDatabasesClock(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			got, err := store.LeaseNow(tx)
			if d := time.Now().Unix() - got; d < -2 || d > 2 {
				t.Errorf("%d s from this machine's clock", d)
			}
			return err
		}))
	})
}

func TestLockHoldsTheFile(t *testing.T) {
	st := storetest.SQLite(t)
	must(t, st.Lock())
	other, err := store.Open(ctx, "sqlite:"+st.Path())
	must(t, err)
	defer other.Close()
	if err := other.Lock(); err == nil {
		t.Fatal("two processes hold one file")
	}
	must(t, st.Close())
	must(t, other.Lock())
}
