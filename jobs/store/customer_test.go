package store_test

import (
	"reflect"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

func contact(n, customer int, name string) jobs.Contact {
	return jobs.Contact{ID: id(n), CustomerID: id(customer), Version: 1, CreatedAt: now, UpdatedAt: now,
		ContactData: jobs.ContactData{Role: jobs.ContactPayer, Name: name, Email: "Pat@example.com",
			Phone: "+15595550123", PhoneText: "(559) 555-0123", Language: "en", Channel: jobs.ChannelEmail, MayDecide: true}}
}

func TestCustomerComesBackAsItWent(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		want := customer(10, "Ágnes & Söhne")
		want.Note = "line\nline"
		a, b := contact(11, 10, "Ann"), contact(12, 10, "Bo")
		a.Notices, b.Notices = nil, []string{} // the usual ones; none at all
		want.Contacts = []jobs.Contact{a, b}
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertCustomer(want) }))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Customer(id(10))
			if !reflect.DeepEqual(got, want) {
				t.Errorf("got  %+v\nwant %+v", got, want)
			}
			return err
		}))
	})
}

func TestCustomerVersions(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		c := customer(10, "First")
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertCustomer(c) }))
		update := func(c jobs.Customer) error {
			return st.InTx(ctx, func(tx *store.Tx) error { return tx.UpdateCustomer(c) })
		}
		c.Name, c.Note, c.UpdatedAt = "Second", "", now.Add(time.Minute)
		must(t, update(c))
		wantCode(t, update(c), jobs.CodeStale) // c still says version 1
		c.ID = id(99)
		wantCode(t, update(c), jobs.CodeNotFound)
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Customer(id(10))
			if got.Version != 2 || got.Name != "Second" || !got.UpdatedAt.Equal(now.Add(time.Minute)) || !got.CreatedAt.Equal(now) {
				t.Errorf("got %+v", got)
			}
			return err
		}))
	})
}

func TestCustomersByPages(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			for i, name := range []string{"bee", "Ant", "50% off", "ant", "Bee_line", "zebra"} {
				if err := tx.InsertCustomer(customer(10+i, name)); err != nil {
					return err
				}
			}
			return nil
		}))
		list := func(f store.CustomerFilter, p jobs.Page) (got jobs.List[jobs.Customer]) {
			must(t, st.View(ctx, func(tx *store.Tx) (err error) { got, err = tx.Customers(f, p); return err }))
			return got
		}
		var names []string
		page := jobs.Page{Limit: 2}
		for pages := 1; ; pages++ {
			part := list(store.CustomerFilter{}, page)
			for _, c := range part.Items {
				names = append(names, c.Name)
			}
			if page.Cursor = part.Next; part.Next == "" {
				if pages != 3 {
					t.Errorf("%d pages", pages)
				}
				break
			}
		}
		if len(names) != 6 || names[1] != "Ant" || names[2] != "ant" {
			t.Errorf("order %q", names)
		}
		for query, n := range map[string]int{"ANT": 2, "%": 1, "_": 1, "e": 3, `\`: 0, " bee ": 2} {
			if got := list(store.CustomerFilter{Query: query}, jobs.Page{}); len(got.Items) != n {
				t.Errorf("%q finds %d, want %d", query, len(got.Items), n)
			}
		}
		if got := list(store.CustomerFilter{BranchID: id(2)}, jobs.Page{}); len(got.Items) != 0 {
			t.Error("found customers of another branch")
		}
		err := st.View(ctx, func(tx *store.Tx) error {
			_, err := tx.Customers(store.CustomerFilter{}, jobs.Page{Cursor: "nonsense"})
			return err
		})
		wantCode(t, err, jobs.CodeInvalid)
	})
}

func TestContactVersionsAndOptOut(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		c := customer(10, "One")
		c.Contacts = []jobs.Contact{contact(11, 10, "Ann")}
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertCustomer(c) }))
		say := func(n int, given bool, at time.Time) {
			must(t, st.InTx(ctx, func(tx *store.Tx) error {
				return tx.InsertConsent(jobs.Consent{ID: id(n), Channel: jobs.ChannelEmail, Address: "pat@example.com",
					Given: given, How: "link", SaidAt: at})
			}))
		}
		read := func() (got jobs.Contact) {
			must(t, st.View(ctx, func(tx *store.Tx) (err error) { got, err = tx.Contact(id(11)); return err }))
			return got
		}
		say(20, false, now)
		if got := read(); len(got.OptedOut) != 1 || got.OptedOut[0] != jobs.ChannelEmail {
			t.Errorf("opted out %v", got.OptedOut)
		}
		say(21, true, now.Add(time.Hour))
		if got := read(); len(got.OptedOut) != 0 {
			t.Errorf("opted out %v after saying yes again", got.OptedOut)
		}

		ann := read()
		ann.MayDecide, ann.Email, ann.Channel = false, "", jobs.ChannelNone
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.UpdateContact(ann) }))
		if got := read(); got.MayDecide || got.Email != "" || got.Version != 2 {
			t.Errorf("zero values were not written: %+v", got)
		}
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.DeleteContact(id(11), 1) }), jobs.CodeStale)
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.DeleteContact(id(11), 2) }))
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.DeleteContact(id(11), 2) }), jobs.CodeNotFound)
	})
}
