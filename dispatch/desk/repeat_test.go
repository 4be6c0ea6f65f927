package desk_test

import (
	"database/sql"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// breakOnce makes Postgres break off, when it commits, every transaction that
// wrote into the audit (40001, as for another's sake), and lets the next one
// pass. A sequence keeps count, because it forgets nothing with a transaction.
const breakOnce = `
CREATE SEQUENCE broken MINVALUE -9223372036854775807;
SELECT setval('broken', -1);
CREATE FUNCTION break_once() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE state BIGINT; me BIGINT := txid_current();
BEGIN
	SELECT last_value INTO state FROM broken;
	IF state = -me THEN
		RETURN NULL;
	ELSIF state > 0 THEN
		PERFORM setval('broken', -me);
		RETURN NULL;
	END IF;
	PERFORM setval('broken', me);
	RAISE EXCEPTION 'broken off by the test' USING ERRCODE = '40001';
END $$;
CREATE CONSTRAINT TRIGGER break_once AFTER INSERT ON audit DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION break_once();`

// A database may break off any transaction at its very end for another's sake;
// it is then run again. No act remembers its first run.
func TestActsCanBeRunAgain(t *testing.T) {
	address := storetest.Empty(t)
	st, err := store.Open(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	if _, err := st.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("pgx", address)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(breakOnce); err != nil {
		t.Fatal(err)
	}

	h := newOffice(t, st)
	jobID, q := h.quoted()
	draft, err := h.CreateQuote(ctx, h.office(), jobID, jobs.NewQuote{EstimateID: q.EstimateID})
	h.must(err)
	_, err = h.SendQuote(ctx, h.office(), draft.NounID, 1)
	h.must(err)
	_, err = h.AnswerQuote(ctx, h.office(), draft.NounID, 2, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Pat Doe"})
	h.must(err)
	h.makeReady(jobID, q)
	j := h.wantState(jobID, jobs.StateReady)
	visits := len(j.Visits)
	acted, err := h.ActOnJob(ctx, h.office(), jobID, j.Version, desk.JobAct{Act: jobs.ActPark, Note: "away"})
	h.must(err)
	acted, err = h.ActOnJob(ctx, h.office(), jobID, acted.Version, desk.JobAct{Act: jobs.ActUnpark})
	h.must(err)
	acted, err = h.ChangeJob(ctx, h.office(), jobID, acted.Version, desk.JobChange{Note: ptr("the gate sticks")})
	h.must(err)
	_, err = h.AddVisit(ctx, h.office(), jobID, jobs.NewVisit{Kind: jobs.VisitPrepare})
	h.must(err)
	j = h.wantState(jobID, jobs.StateReady)
	_, err = h.ChangeVisit(ctx, h.office(), j.Visits[len(j.Visits)-1].ID, j.Visits[len(j.Visits)-1].Version, jobs.VisitChange{Seconds: ptr(int64(3600))})
	h.must(err)
	if len(j.Visits) != visits+1 || j.Note != "the gate sticks" || j.Version != acted.Version+1 {
		t.Errorf("%d visits before one was added, %d after it; version %d after %d", visits, len(j.Visits), j.Version, acted.Version)
	}
	settings, err := h.Settings(ctx, h.branch)
	h.must(err)
	body, err := jobs.EncodeSettings(settings.Settings)
	h.must(err)
	_, err = h.ChangeSettings(ctx, h.as(jobs.RoleOwner), h.branch, settings.Number, body)
	h.must(err)
	var broken int64
	if err := db.QueryRow(`SELECT abs(last_value) FROM broken`).Scan(&broken); err != nil || broken <= 1 {
		t.Errorf("nothing was broken off: %d, %v", broken, err)
	}
}
