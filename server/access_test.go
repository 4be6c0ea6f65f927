package server_test

import (
	"slices"
	"strings"
	"testing"

	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs"
	"ebbline/jobs/store/storetest"
	"ebbline/server/api"
	"ebbline/server/servertest"
)

// Who may ask for what, written down a second time and apart from the table
// that the server obeys. Everything else is for owner and dispatcher.
var (
	forAll    = words("signIn refreshSession showLink showLinkPaper answerLink")
	forOwners = words("listUsers createUser changeUser changeSettings")
	forTechs  = words(`showSession signOut listBranches listSurveyFields showSurvey changeSurvey addReading
		showToday recordField addPhoto listPhotos showPhoto showPoolSheet listExtraWorks
		listTileSets showTile showWeekMap`)
)

func words(s string) []string { return strings.Fields(s) }

type operation struct{ id, method, path string }

func operations(t *testing.T) []operation {
	t.Helper()
	spec, err := api.GetSpec()
	if err != nil {
		t.Fatal(err)
	}
	var list []operation
	for path, item := range spec.Paths.Map() {
		for method, op := range item.Operations() {
			list = append(list, operation{op.OperationID, method, path})
		}
	}
	slices.SortFunc(list, func(a, b operation) int { return strings.Compare(a.id, b.id) })
	return list
}

// Every operation, asked by everybody, with ids of things that do not exist: a
// role that may not is told so before anything is looked at, and nobody gets
// something that is not there.
func TestEveryoneAsksForEverything(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		absent := w.IDs.New()
		gone := w.As("other").Token // of a user who is shut out below
		stale := signedByEpoch(t, w, w.Users["dispatcher"], 99)
		yes := true
		if _, err := w.Desk.ChangeUser(t.Context(), w.Call("owner"), w.Users["other"].ID, 1, jobs.UserChange{Disabled: &yes}); err != nil {
			t.Fatal(err)
		}
		askers := map[string]*servertest.Client{"nobody": w.As(""), "tech": w.As("tech"), "dispatcher": w.As("dispatcher"), "owner": w.As("owner"),
			"shut out": w.As(""), "stale": w.As(""), "forged": w.As("")}
		askers["shut out"].Token, askers["stale"].Token, askers["forged"].Token = gone, stale, "x.y.z"

		ops := operations(t)
		if len(ops) < 80 {
			t.Fatalf("only %d operations", len(ops))
		}
		for _, op := range ops {
			path := op.path
			for _, name := range words("{id} {branch_id} {token} {first_day} {kind}") {
				value := absent
				switch name {
				case "{first_day}":
					value = "2026-03-02"
				case "{kind}":
					value = "jobs"
				}
				path = strings.ReplaceAll(path, name, value)
			}
			for who, c := range askers {
				if op.id == "signOut" && c.Token != "" {
					continue // would end the session that the rest asks with
				}
				a := c.Do(op.method, path, nil)
				public := slices.Contains(forAll, op.id)
				want := 0 // anything but a refusal of the person
				switch {
				case public:
				case who == "nobody", who == "shut out", who == "stale", who == "forged":
					want = 401
				case who == "tech" && !slices.Contains(forTechs, op.id), who == "dispatcher" && slices.Contains(forOwners, op.id):
					want = 403
				}
				switch {
				case want != 0 && a.Status != want:
					t.Errorf("%s by %s: %d, want %d", op.id, who, a.Status, want)
				case want == 0 && !public && (a.Status == 401 || a.Status == 403):
					t.Errorf("%s by %s is refused with %d", op.id, who, a.Status)
				case a.Status == 500:
					t.Errorf("%s by %s fails: %s", op.id, who, a.Body)
				case a.Status < 300 && strings.Contains(op.path, "{id}"):
					t.Errorf("%s by %s gives something that is not there: %d %s", op.id, who, a.Status, a.Body)
				}
			}
		}
	})
}

// signedByEpoch is a token of ours for a user's live session and another epoch.
func signedByEpoch(t *testing.T, w *servertest.World, u jobs.User, epoch int64) string {
	t.Helper()
	in, err := w.Desk.SignIn(t.Context(), w.Clock.Now(), u.Email, desktest.Password, "", "")
	if err != nil {
		t.Fatal(err)
	}
	token, _, err := w.Keys.Sign(u.ID, in.Session.ID, epoch, w.Clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	return token
}

// Refusals of an absent id and of an id that is no id are alike.
func TestAbsentThingsAreAlike(t *testing.T) {
	w := servertest.New(t, desktest.New(t, storetest.SQLite(t)), nil)
	a := w.As("dispatcher").Do("GET", "/customers/"+w.IDs.New(), nil).WantProblem(404, "not_found").JSON()
	b := w.As("dispatcher").Do("GET", "/customers/"+w.Home, nil).WantProblem(404, "not_found").JSON()
	delete(a, "instance")
	delete(b, "instance")
	if a["detail"] != b["detail"] || len(a) != len(b) {
		t.Errorf("%v and %v", a, b)
	}
}
