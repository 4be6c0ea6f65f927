package store_test

import (
	"bytes"
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// fieldID is the id of something these tests write.
func fieldID(n byte) string {
	return "0195f000-0000-7000-8000-0000000000" + string("0123456789abcdef"[n>>4]) + string("0123456789abcdef"[n&15])
}

// fieldJob writes a branch, a customer, a site and a job with one visit.
func fieldJob(t *testing.T, tx *store.Tx, at time.Time) (job, visit string) {
	t.Helper()
	for _, do := range []func() error{
		func() error {
			return tx.InsertBranch(jobs.Branch{ID: fieldID(1), Name: "Yard", Zone: "UTC", Version: 1}, at)
		},
		func() error {
			return tx.InsertCustomer(jobs.Customer{ID: fieldID(2), BranchID: fieldID(1), CustomerData: jobs.CustomerData{Name: "Ann"}, Version: 1, CreatedAt: at, UpdatedAt: at})
		},
		func() error {
			return tx.InsertContact(jobs.Contact{ID: fieldID(6), CustomerID: fieldID(2), ContactData: jobs.ContactData{Role: jobs.ContactPayer, Name: "Ann",
				Language: "en", Channel: jobs.ChannelNone}, Version: 1, CreatedAt: at, UpdatedAt: at})
		},
		func() error {
			return tx.InsertSite(jobs.Site{ID: fieldID(3), BranchID: fieldID(1), CustomerID: fieldID(2), SiteData: jobs.SiteData{Street: "1 Lane", Zone: "UTC", Precision: "unknown"},
				Version: 1, CreatedAt: at, UpdatedAt: at})
		},
		func() error {
			_, err := tx.InsertJob(jobs.Job{ID: fieldID(4), BranchID: fieldID(1), CustomerID: fieldID(2), SiteID: fieldID(3), State: jobs.StateConverted,
				JobData: jobs.JobData{Kind: jobs.JobConversion, WayLow: jobs.LowCustomer}, ConvertedAt: at, Version: 1, CreatedAt: at, UpdatedAt: at,
				Visits: []jobs.Visit{{ID: fieldID(5), JobID: fieldID(4), Place: 1, Kind: jobs.VisitConvert, State: jobs.VisitDone, Version: 1, CreatedAt: at, UpdatedAt: at}}})
			return err
		},
	} {
		if err := do(); err != nil {
			t.Fatal(err)
		}
	}
	return fieldID(4), fieldID(5)
}

func TestFieldRowsComeBackAsTheyWere(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		at := time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)
		value, cents, until := int64(-12), jobs.Cents(1), at.Add(time.Hour)
		photo := make([]byte, 500_001) // three chunks, the last one odd
		rng := rand.New(rand.NewPCG(1, 1))
		for i := range photo {
			photo[i] = byte(rng.Uint32())
		}
		op := jobs.Operation{ID: fieldID(10), Kind: jobs.OpStep, StepID: "s", Text: "t", Unit: "in", Value: &value, AmountCents: &cents, PartID: "p",
			SubjectID: "l1", Serial: "A", Batch: "B", Reason: "r", Until: &until, At: at, ReceivedAt: at.Add(time.Minute), UserID: "u", CrewID: "c", Flag: "f"}
		var job, visit string
		err := st.InTx(context.Background(), func(tx *store.Tx) error {
			job, visit = fieldJob(t, tx, at)
			op.JobID, op.VisitID = job, visit
			for _, err := range []error{
				tx.InsertOperation(fieldID(1), op),
				tx.InsertPhoto(jobs.Photo{ID: fieldID(11), BranchID: fieldID(1), JobID: job, SHA256: "x", MediaType: "image/jpeg", TakenAt: at}, photo),
				tx.InsertAnswer(jobs.Answer{ID: fieldID(12), BranchID: fieldID(1), JobID: job, ContactID: fieldID(6), Kind: jobs.AnswerStarted, At: at}),
				tx.InsertReading(jobs.Reading{ID: fieldID(13), BranchID: fieldID(1), JobID: job, BelowTileUM: 25_400, Text: "1", Unit: "in", At: at}),
				tx.InsertLink(jobs.CustomerLink{ID: fieldID(14), Hash: jobs.LinkHash("s"), Purpose: jobs.LinkPrep, BranchID: fieldID(1), JobID: job,
					ContactID: fieldID(6), ExpiresAt: until, CreatedAt: at}),
			} {
				if err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		err = st.View(context.Background(), func(tx *store.Tx) error {
			ops, err := tx.OperationsByID(fieldID(10), fieldID(99))
			if err != nil || len(ops) != 1 {
				t.Errorf("%d operations, %v", len(ops), err)
			}
			got := ops[fieldID(10)]
			if *got.Value != value || *got.AmountCents != cents || !got.Until.Equal(until) {
				t.Errorf("operation %+v", got)
			}
			got.Value, got.AmountCents, got.Until = op.Value, op.AmountCents, op.Until
			if got != op {
				t.Errorf("operation\n%+v\nwant\n%+v", got, op)
			}
			content, err := tx.PhotoBytes(fieldID(11))
			if err != nil || !bytes.Equal(content, photo) {
				t.Errorf("%d bytes of the photo, %v", len(content), err)
			}
			if _, have, err := tx.FindPhoto(job, "y"); have || err != nil {
				t.Errorf("another photo is found: %v", err)
			}
			answers, err := tx.Answers(job)
			readings, err2 := tx.Readings(job)
			if err != nil || err2 != nil || len(answers) != 1 || len(readings) != 1 || readings[0].BelowTileUM != 25_400 || answers[0].ContactID != fieldID(6) {
				t.Errorf("answers %+v, readings %+v", answers, readings)
			}
			link, err := tx.LinkByHash(jobs.LinkHash("s"))
			if err != nil || !link.Open(until.Add(-time.Second)) || link.Open(until) {
				t.Errorf("link %+v, %v", link, err)
			}
			_, err = tx.LinkByHash(jobs.LinkHash("t"))
			if jobs.CodeOf(err) != jobs.CodeNotFound {
				t.Errorf("a link that never was: %v", err)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}

func TestRecordsAndFigures(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		at := time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)
		ctx := context.Background()
		rec := jobs.FieldRecord{BranchID: fieldID(1), CrewID: "a", Kind: "convert", ArrivedAt: at, PlannedSeconds: 60, UpdatedAt: at,
			PromisedFrom: at.Add(-time.Hour), PromisedTo: at}
		err := st.InTx(ctx, func(tx *store.Tx) error {
			rec.JobID, rec.VisitID = fieldJob(t, tx, at)
			if err := tx.PutRecord(rec); err != nil {
				return err
			}
			rec.CrewID, rec.LeftAt, rec.Outcome, rec.Lights = "b", at.Add(time.Hour), jobs.OutcomeDone, 4
			return tx.PutRecord(rec)
		})
		if err != nil {
			t.Fatal(err)
		}
		err = st.View(ctx, func(tx *store.Tx) error {
			got, err := tx.Record(rec.VisitID)
			want := rec
			want.Version, want.CreatedAt = 2, at
			if err != nil || got != want || !got.Kept() {
				t.Errorf("record\n%+v\nwant\n%+v, %v", got, want, err)
			}
			for end, n := range map[time.Time]int{rec.LeftAt: 0, rec.LeftAt.Add(time.Second): 1} {
				if list, err := tx.EndedRecords(fieldID(1), at, end); err != nil || len(list) != n {
					t.Errorf("%d records end before %s, want %d, %v", len(list), end, n, err)
				}
			}
			if list, err := tx.ConvertedJobs(fieldID(1), at, at); err != nil || len(list) != 0 {
				t.Errorf("%d jobs in no time, %v", len(list), err)
			}
			if list, err := tx.ConvertedJobs(fieldID(1), at, at.Add(time.Second)); err != nil || len(list) != 1 || list[0].CustomerName != "Ann" {
				t.Errorf("converted %+v, %v", list, err)
			}
			states, err := tx.StateFigures(fieldID(1))
			if err != nil || !slices.Equal(states, []jobs.StateFigure{{State: "converted", Jobs: 1}}) {
				t.Errorf("states %+v, %v", states, err)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	})
}
