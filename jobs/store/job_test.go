package store_test

import (
	"fmt"
	"reflect"
	"sync"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

func ptr[T any](v T) *T { return &v }

func site(n, customer int) jobs.Site {
	return jobs.Site{ID: id(n), BranchID: id(1), CustomerID: id(customer), Version: 1, CreatedAt: now, UpdatedAt: now,
		SiteData: jobs.SiteData{Name: "Back pool", Street: "12 Ocotillo Ln", City: "Dry Fork", Region: "AZ", Postcode: "85999",
			Zone: "America/Phoenix", LatE7: ptr(int64(334151000)), LonE7: ptr(int64(-1120740373)), Precision: jobs.PrecisionPin,
			GateCode: "#4412", WorkFrom: ptr(int64(450)), WorkTo: ptr(int64(1020))}}
}

func job(n, customer, site int) jobs.Job {
	return jobs.Job{ID: id(n), BranchID: id(1), CustomerID: id(customer), SiteID: id(site), State: jobs.StateEnquiry,
		JobData: jobs.JobData{Kind: jobs.JobConversion, WayLow: jobs.LowNotKnown}, Version: 1, CreatedAt: now, UpdatedAt: now}
}

// seedSite adds branch 1, customer 10 and site 20.
func seedSite(t *testing.T, st *store.Store) {
	t.Helper()
	seed(t, st)
	must(t, st.InTx(ctx, func(tx *store.Tx) error {
		if err := tx.InsertCustomer(customer(10, "Pat Doe")); err != nil {
			return err
		}
		return tx.InsertSite(site(20, 10))
	}))
}

func TestSiteComesBackAsItWent(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		want := site(20, 10)
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Site(id(20))
			if !reflect.DeepEqual(got, want) {
				t.Errorf("got  %+v\nwant %+v", got, want)
			}
			return err
		}))
		want.LatE7, want.LonE7, want.Precision, want.WorkFrom, want.WorkTo, want.GateCode = nil, nil, jobs.PrecisionUnknown, nil, nil, ""
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.UpdateSite(want) }))
		want.Version = 2
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Site(id(20))
			if !reflect.DeepEqual(got, want) {
				t.Errorf("got  %+v\nwant %+v", got, want)
			}
			for query, n := range map[string]int{"ocot": 1, "85999": 1, "nowhere": 0} {
				list, err := tx.Sites(store.SiteFilter{BranchID: id(1), Query: query}, jobs.Page{})
				if err != nil || len(list.Items) != n {
					t.Errorf("%q finds %d, %v", query, len(list.Items), err)
				}
			}
			return err
		}))
	})
}

func TestSurveyKeepsOldValues(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		next := 100
		newID := func() string { next++; return id(next) }
		value := func(text, unit string) jobs.Value {
			return jobs.Value{Text: text, Unit: unit, Known: jobs.KnownTold, At: 5, By: "Pat"}
		}
		settle := func(subjects ...jobs.Subject) jobs.Survey {
			s, err := jobs.Survey{Version: jobs.SurveyVersion, Zone: "America/Phoenix", Subjects: subjects}.Settle()
			must(t, err)
			return s
		}
		put := func(version int64, s jobs.Survey) error {
			return st.InTx(ctx, func(tx *store.Tx) error { return tx.PutSurvey(id(20), version, s, now, newID) })
		}
		read := func() (s jobs.Survey, past []store.OldValue) {
			must(t, st.View(ctx, func(tx *store.Tx) error {
				at, err := tx.Site(id(20))
				must(t, err)
				if s, err = tx.Survey(at); err != nil {
					return err
				}
				past, err = tx.SurveyPast(id(20))
				return err
			}))
			return s, past
		}
		first := settle(
			jobs.Subject{ID: "light-1", Kind: jobs.SubjectPosition, Of: "pool", Values: map[string]jobs.Value{"depth": value("24", "in")}},
			jobs.Subject{ID: "pool", Kind: jobs.SubjectBody, Name: "Pool", Values: map[string]jobs.Value{
				"shape": value("rectangle", ""), "length": value("32", "ft"), "salt": value("no", ""),
				"ground_water": {Known: jobs.KnownNot, Note: "nobody knows"}}},
			jobs.Subject{ID: "run", Kind: jobs.SubjectConduit, Ends: []string{"light-1", "supply"}, Values: map[string]jobs.Value{}},
			jobs.Subject{ID: "supply", Kind: jobs.SubjectSupply, Values: map[string]jobs.Value{}})
		must(t, put(0, first))
		wantCode(t, put(0, first), jobs.CodeStale)
		got, past := read()
		for i := range first.Subjects { // an empty map comes back as nil
			if len(first.Subjects[i].Values) == 0 {
				first.Subjects[i].Values = nil
			}
		}
		if !reflect.DeepEqual(got, first) || len(past) != 0 {
			t.Errorf("got  %+v\nwant %+v\npast %v", got, first, past)
		}

		// One value measured anew, one gone, a subject gone.
		second := settle(
			jobs.Subject{ID: "pool", Kind: jobs.SubjectBody, Name: "Big pool", Values: map[string]jobs.Value{
				"shape": value("rectangle", ""), "length": {Text: "31", Unit: "ft", Known: jobs.KnownMeasuredWet, At: 9, By: "Lee"}, "salt": value("no", "")}},
			jobs.Subject{ID: "light-1", Kind: jobs.SubjectPosition, Of: "pool", Values: map[string]jobs.Value{"depth": value("24", "in")}})
		must(t, put(1, second))
		got, past = read()
		if !reflect.DeepEqual(got, second) {
			t.Errorf("got  %+v\nwant %+v", got, second)
		}
		var old []string
		for _, p := range past {
			old = append(old, p.Subject+"."+p.Field+"="+p.Text)
		}
		if len(old) != 2 {
			t.Errorf("past %v", old)
		}
		// A subject that went comes back under its own name.
		must(t, put(2, first))
		if got, _ = read(); !reflect.DeepEqual(got, first) {
			t.Errorf("got  %+v\nwant %+v", got, first)
		}
		// The same again makes no new row.
		before := next
		must(t, put(3, first))
		if next != before {
			t.Errorf("%d rows more for the same survey", next-before)
		}
	})
}

func TestJobComesBackAsItWent(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		want := job(30, 10, 20)
		want.Value, want.DueDay, want.ImportKey, want.CanComeEarly = ptr(jobs.Cents(0)), "2026-04-01", "row-7", true
		want.Visits = []jobs.Visit{
			{ID: id(32), JobID: id(30), Place: 1, Kind: jobs.VisitSurvey, State: jobs.VisitOpen, Version: 1, CreatedAt: now, UpdatedAt: now},
			{ID: id(31), JobID: id(30), Place: 2, Kind: jobs.VisitConvert, State: jobs.VisitOpen, Seconds: ptr(int64(9000)), Version: 1, CreatedAt: now, UpdatedAt: now},
		}
		must(t, st.InTx(ctx, func(tx *store.Tx) error { _, err := tx.InsertJob(want); return err }))
		want.Number, want.CustomerName, want.SiteName = 1, "Pat Doe", "Back pool"
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Job(id(30))
			if !reflect.DeepEqual(got, want) {
				t.Errorf("got  %+v\nwant %+v", got, want)
			}
			return err
		}))
		twin := job(33, 10, 20)
		twin.ImportKey = "row-7"
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { _, err := tx.InsertJob(twin); return err }), jobs.CodeConflict)
		want.Value, want.State, want.CameFrom, want.LowUntil = nil, jobs.StateParked, jobs.StateEnquiry, now.Add(time.Hour)
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.UpdateJob(want) }))
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.UpdateJob(want) }), jobs.CodeStale)
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.JobByImportKey(id(1), "row-7")
			if got.Value != nil || got.State != jobs.StateParked || !got.LowUntil.Equal(now.Add(time.Hour)) || got.Version != 2 {
				t.Errorf("%+v", got)
			}
			return err
		}))
	})
}

// Many enquiries at once: every number once and none left out.
func TestJobNumbersCountUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		const n = 16
		var wg sync.WaitGroup
		got := make([]int64, n)
		for i := range n {
			wg.Go(func() {
				must(t, st.InTx(ctx, func(tx *store.Tx) (err error) { got[i], err = tx.InsertJob(job(100+i, 10, 20)); return err }))
			})
		}
		wg.Wait()
		seen := map[int64]bool{}
		for _, g := range got {
			seen[g] = true
		}
		if len(seen) != n || !seen[1] || !seen[n] {
			t.Errorf("numbers %v", got)
		}
	})
}

func TestJobsByPages(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			for i := range 5 {
				j := job(100+i, 10, 20)
				if i == 2 {
					j.State = jobs.StateReady
				}
				if _, err := tx.InsertJob(j); err != nil {
					return err
				}
			}
			return nil
		}))
		list := func(f store.JobFilter, p jobs.Page) (got jobs.List[jobs.Job]) {
			must(t, st.View(ctx, func(tx *store.Tx) (err error) { got, err = tx.Jobs(f, p); return err }))
			return got
		}
		var numbers []int64
		for page := (jobs.Page{Limit: 2}); ; {
			part := list(store.JobFilter{BranchID: id(1)}, page)
			for _, j := range part.Items {
				numbers = append(numbers, j.Number)
			}
			if page.Cursor = part.Next; part.Next == "" {
				break
			}
		}
		if fmt.Sprint(numbers) != "[5 4 3 2 1]" {
			t.Errorf("%v", numbers)
		}
		for query, n := range map[string]int{"doe": 5, "ocotillo": 5, "3": 1, "#3": 1, "987": 0, "%": 0} {
			if got := list(store.JobFilter{Query: query}, jobs.Page{}); len(got.Items) != n {
				t.Errorf("%q finds %d, want %d", query, len(got.Items), n)
			}
		}
		if got := list(store.JobFilter{States: []jobs.State{jobs.StateReady}}, jobs.Page{}); len(got.Items) != 1 || got.Items[0].Number != 3 {
			t.Errorf("ready: %+v", got.Items)
		}
		if got := list(store.JobFilter{CustomerID: id(11)}, jobs.Page{}); len(got.Items) != 0 {
			t.Error("found jobs of nobody")
		}
	})
}

func TestFactsComeBackAsTheyWent(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		must(t, st.InTx(ctx, func(tx *store.Tx) error { _, err := tx.InsertJob(job(30, 10, 20)); return err }))
		payment := jobs.Payment{ID: id(40), JobID: id(30), Kind: jobs.PaymentDeposit, Amount: 50_000, Method: "check", ReceivedAt: now, MadeBy: "Mara"}
		permit := jobs.Permit{ID: id(41), JobID: id(30), PermitData: jobs.PermitData{Needed: jobs.Yes, PulledBy: "us", Number: "E-1", IssuedDay: "2026-03-02"}}
		marking := jobs.Marking{ID: id(42), JobID: id(30), MarkingData: jobs.MarkingData{SoilOpened: jobs.Yes, Ticket: "T", PrivateMarked: true}}
		signOff := jobs.SignOff{ID: id(43), JobID: id(30), Kind: jobs.SignShell, SignedBy: "Pat", SignedAt: now, LeastWater: ptr(int64(600_000)), MadeBy: "Mara"}
		part := jobs.Part{ID: id(44), BranchID: id(1), PartData: jobs.PartData{Code: "L-80", Name: "Light, 80 ft", StockUnit: "piece", LengthUM: ptr(int64(24_384_000)), Cost: 100, Price: 200},
			Version: 1, CreatedAt: now, UpdatedAt: now}
		jobPart := jobs.JobPart{ID: id(45), JobID: id(30), JobPartData: jobs.JobPartData{PartID: id(44), Name: "Light", Quantity: 2, StockUnit: "piece",
			State: jobs.PartPromised, PromisedDay: "2026-03-09", SubjectID: "light-1"}, Version: 1, CreatedAt: now, UpdatedAt: now}
		must(t, st.InTx(ctx, func(tx *store.Tx) error {
			for _, err := range []error{tx.InsertPayment(payment), tx.PutPermit(permit, now), tx.PutMarking(marking, now), tx.InsertSignOff(signOff),
				tx.InsertPart(part), tx.InsertJobPart(jobPart)} {
				if err != nil {
					return err
				}
			}
			return nil
		}))
		permit.Version, marking.Version = 1, 1
		must(t, st.View(ctx, func(tx *store.Tx) error {
			payments, err := tx.Payments(id(30))
			must(t, err)
			permits, err := tx.Permits(id(30))
			must(t, err)
			markings, err := tx.Markings(id(30))
			must(t, err)
			signOffs, err := tx.SignOffs(id(30))
			must(t, err)
			parts, err := tx.JobParts(id(30))
			must(t, err)
			list, err := tx.Parts(store.PartFilter{BranchID: id(1), Query: "80"}, jobs.Page{})
			got := fmt.Sprintf("%+v", []any{payments, permits[id(30)], markings[id(30)], signOffs[0].SignedBy, *signOffs[0].LeastWater, parts})
			if want := fmt.Sprintf("%+v", []any{[]jobs.Payment{payment}, permit, marking, "Pat", 600_000, []jobs.JobPart{jobPart}}); got != want {
				t.Errorf("got  %s\nwant %s", got, want)
			}
			if len(list.Items) != 1 || !reflect.DeepEqual(list.Items[0], part) {
				t.Errorf("%+v", list.Items)
			}
			return err
		}))
		// A second first permit, and a write over an old version.
		again := permit
		again.ID, again.Version = id(51), 0
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.PutPermit(again, now) }), jobs.CodeConflict)
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.PutPermit(permit, now) }))
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.PutPermit(permit, now) }), jobs.CodeStale)
		twin := part
		twin.ID = id(46)
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertPart(twin) }), jobs.CodeConflict)
	})
}

func TestSettingsAreNumbered(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seed(t, st)
		s := jobs.SettingsInForce{BranchID: id(1), Number: 2, Settings: jobs.DefaultSettings(), MadeAt: now, MadeBy: "Mara"}
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Settings(id(1))
			if got.Number != 1 || !reflect.DeepEqual(got.Settings, jobs.DefaultSettings()) {
				t.Errorf("%+v", got)
			}
			return err
		}))
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertSettings(s) }))
		wantCode(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertSettings(s) }), jobs.CodeConflict)
		second := s
		second.Number, second.Settings.Planning.SpeedKmPerHour = 3, 60
		must(t, st.InTx(ctx, func(tx *store.Tx) error { return tx.InsertSettings(second) }))
		must(t, st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Settings(id(1))
			must(t, err)
			if !reflect.DeepEqual(got, second) {
				t.Errorf("got  %+v\nwant %+v", got, second)
			}
			old, err := tx.SettingsNumbered(id(1), 2)
			if !reflect.DeepEqual(old, s) {
				t.Errorf("got  %+v\nwant %+v", old, s)
			}
			return err
		}))
	})
}

// A page of jobs costs the same few statements however long it is.
func TestJobsCostFewStatements(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		seedSite(t, st)
		add := func(from, n int) {
			must(t, st.InTx(ctx, func(tx *store.Tx) error {
				for i := range n {
					j := job(from+2*i, 10, 20)
					j.Visits = []jobs.Visit{{ID: id(from + 2*i + 1), JobID: j.ID, Place: 1, Kind: jobs.VisitSurvey, State: jobs.VisitOpen, Version: 1, CreatedAt: now, UpdatedAt: now}}
					if _, err := tx.InsertJob(j); err != nil {
						return err
					}
				}
				return nil
			}))
		}
		reads := st.CountReads()
		for i, n := range []int{1, 99} {
			add(1000+i*1000, n)
			before := reads.Load()
			must(t, st.View(ctx, func(tx *store.Tx) error {
				list, err := tx.Jobs(store.JobFilter{}, jobs.Page{Limit: 200})
				if len(list.Items) != 1+99*i || len(list.Items[0].Visits) != 1 || list.Items[0].CustomerName != "Pat Doe" {
					t.Errorf("%d jobs, %+v", len(list.Items), list.Items[0])
				}
				return err
			}))
			if got := reads.Load() - before; got == 0 || got > 4 {
				t.Errorf("%d jobs cost %d statements", n, got)
			}
		}
	})
}
