package store_test

import (
	"context"
	"sync"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// Two transactions take two rows in opposite order: Postgres breaks one off
// (40P01), and it is run again, unseen by the caller.
func TestDeadlockIsRunAgain(t *testing.T) {
	st := storetest.Postgres(t)
	seed(t, st)
	must(t, st.InTx(ctx, func(tx *store.Tx) error {
		must(t, tx.InsertCustomer(customer(10, "A")))
		return tx.InsertCustomer(customer(11, "B"))
	}))
	var mu sync.Mutex
	runs := 0
	var meet sync.WaitGroup // each waits once until both hold their first row
	meet.Add(2)
	swap := func(first, second int) error {
		met := false
		return st.InTx(ctx, func(tx *store.Tx) error {
			mu.Lock()
			runs++
			mu.Unlock()
			a, err := tx.Customer(id(first))
			if err != nil {
				return err
			}
			a.Note += "x"
			if err := tx.UpdateCustomer(a); err != nil {
				return err
			}
			if !met {
				met = true
				meet.Done()
				meet.Wait()
			}
			b, err := tx.Customer(id(second))
			if err != nil {
				return err
			}
			b.Note += "x"
			return tx.UpdateCustomer(b)
		})
	}
	var wg sync.WaitGroup
	for _, order := range [][2]int{{10, 11}, {11, 10}} {
		wg.Go(func() {
			if err := swap(order[0], order[1]); err != nil && jobs.CodeOf(err) != jobs.CodeStale {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if runs < 3 {
		t.Errorf("%d runs: nothing was run again", runs)
	}
	must(t, st.View(ctx, func(tx *store.Tx) error {
		for _, n := range []int{10, 11} {
			c, err := tx.Customer(id(n))
			if err != nil {
				return err
			}
			if int64(len(c.Note)) != c.Version-1 {
				t.Errorf("customer %d: %d notes at version %d", n, len(c.Note), c.Version)
			}
		}
		return nil
	}))
}

// Three programs that start at once on an empty Postgres migrate it once.
func TestMigrateAtOnce(t *testing.T) {
	address := storetest.Empty(t)
	var wg sync.WaitGroup
	for range 3 {
		wg.Go(func() {
			st, err := store.Open(ctx, address)
			if err != nil {
				t.Error(err)
				return
			}
			defer st.Close()
			if _, err := st.Migrate(ctx); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	st, err := store.Open(ctx, address)
	must(t, err)
	defer st.Close()
	must(t, st.CheckSchema(ctx))
}

// An empty database is refused by a program that wants to serve.
func TestOlderSchemaIsRefused(t *testing.T) {
	for name, address := range map[string]func(t *testing.T) string{
		"sqlite":   func(t *testing.T) string { return "sqlite:" + t.TempDir() + "/empty.db" },
		"postgres": func(t *testing.T) string { return storetest.Empty(t) },
	} {
		t.Run(name, func(t *testing.T) {
			st, err := store.Open(ctx, address(t))
			must(t, err)
			defer st.Close()
			if err := st.CheckSchema(ctx); err == nil {
				t.Fatal("an empty database serves")
			}
			_, err = st.Migrate(ctx)
			must(t, err)
			must(t, st.CheckSchema(ctx))
		})
	}
}

// A key is held by one transaction; another on Postgres is told at once.
func TestHeldKey(t *testing.T) {
	st := storetest.Postgres(t)
	seed(t, st)
	held, done := make(chan struct{}), make(chan struct{})
	go st.InTx(ctx, func(tx *store.Tx) error {
		err := tx.HoldKey("user:1", "createCustomer", "k")
		close(held)
		<-done
		return err
	})
	<-held
	began := time.Now()
	err := st.InTx(ctx, func(tx *store.Tx) error { return tx.HoldKey("user:1", "createCustomer", "k") })
	wantCode(t, err, jobs.CodeKeyBusy)
	if took := time.Since(began); took > time.Second {
		t.Errorf("told after %s", took)
	}
	must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.HoldKey("user:2", "createCustomer", "k") }))
	close(done)
}

func TestOutcomesAreForgotten(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			must(t, tx.InsertOutcome("user:1", "a", "old", "f", store.Outcome{Noun: "x", NounID: id(1)}, now.Add(-8*24*time.Hour)))
			must(t, tx.InsertOutcome("user:1", "a", "new", "f", store.Outcome{Noun: "x", NounID: id(1)}, now.Add(-6*24*time.Hour)))
			n, err := tx.SweepOutcomes(now.Add(-7 * 24 * time.Hour))
			if n != 1 {
				t.Errorf("%d forgotten", n)
			}
			o, _ := tx.FindOutcome("user:1", "a", "new", "f")
			if o == nil || !o.Replayed {
				t.Errorf("got %+v", o)
			}
			return err
		}))
	})
}

// Canceling a request gives the transaction up with nothing written.
func TestCanceledRequestWritesNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		short, cancel := context.WithCancel(ctx)
		err := st.InTx(short, func(tx *store.Tx) error {
			must(t, tx.InsertCustomer(customer(10, "A")))
			cancel()
			return nil
		})
		if err == nil {
			t.Fatal("committed for a caller who had gone")
		}
		err = st.View(ctx, func(tx *store.Tx) error { _, err := tx.Customer(id(10)); return err })
		wantCode(t, err, jobs.CodeNotFound)
	})
}
