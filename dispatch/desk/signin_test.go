package desk_test

import (
	"sync"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

func signIn(t *testing.T, w *desktest.World, name string) desk.SignedIn {
	t.Helper()
	in, err := w.Desk.SignIn(ctx, w.Clock.Now(), name+"@EXAMPLE.com ", desktest.Password, "phone", "Phone")
	must(t, err)
	return in
}

func serves(w *desktest.World, in desk.SignedIn) error {
	_, err := w.Desk.Present(ctx, w.Clock.Now(), in.User.ID, in.Session.ID, in.Session.Epoch)
	return err
}

func TestSignInRefusesAlike(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		off := true
		_, err := w.Desk.ChangeUser(ctx, w.Call("owner"), w.Users["other"].ID, 1, jobs.UserChange{Disabled: &off})
		must(t, err)
		texts := map[string]bool{}
		for _, try := range [][2]string{{"owner@example.com", "wrong"}, {"nobody@example.com", desktest.Password},
			{"other@example.com", desktest.Password}, {"", ""}, {"owner@example.com", ""}} {
			_, err := w.Desk.SignIn(ctx, w.Clock.Now(), try[0], try[1], "", "")
			wantCode(t, err, jobs.CodeUnauthenticated)
			texts[err.Error()] = true
		}
		if len(texts) != 1 {
			t.Errorf("answers differ: %v", texts)
		}
		in := signIn(t, w, "tech")
		if in.User.CrewID != w.Crew || in.User.PersonID == "" || len(in.Refresh) != 43 {
			t.Errorf("signed in %+v", in)
		}
	})
}

func TestRefreshTokensServeOnce(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		in := signIn(t, w, "owner")
		next, err := w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "phone")
		must(t, err)
		if next.Session.ID != in.Session.ID || next.Refresh == in.Refresh {
			t.Errorf("renewed to %+v", next)
		}
		// The answer got lost: the same device asks again within the grace.
		w.Clock.Move(jobs.RefreshGrace)
		lost, err := w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "phone")
		must(t, err)
		must(t, serves(w, lost))
		// Both children serve: the device may have kept either.
		_, err = w.Desk.Refresh(ctx, w.Clock.Now(), next.Refresh, "phone")
		must(t, err)

		// Later it means that two hold the token: all of the family ends.
		w.Clock.Move(time.Second)
		_, err = w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "phone")
		wantCode(t, err, jobs.CodeUnauthenticated)
		_, err = w.Desk.Refresh(ctx, w.Clock.Now(), lost.Refresh, "phone")
		wantCode(t, err, jobs.CodeUnauthenticated)
		wantCode(t, serves(w, in), jobs.CodeUnauthenticated)
		must(t, w.Store.View(ctx, func(tx *store.Tx) error {
			list, err := tx.Audit("session", in.Session.ID)
			if len(list) != 2 || list[1].Act != "refuseRefresh" {
				t.Errorf("audit %+v", list)
			}
			return err
		}))
	})
}

func TestAnotherDeviceHasNoGrace(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		in := signIn(t, w, "owner")
		_, err := w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "phone")
		must(t, err)
		_, err = w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "thief")
		wantCode(t, err, jobs.CodeUnauthenticated)
		wantCode(t, serves(w, in), jobs.CodeUnauthenticated)
	})
}

func TestHundredRefreshesAtOnce(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		in := signIn(t, w, "owner")
		var wg sync.WaitGroup
		for range 100 {
			wg.Go(func() {
				out, err := w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "phone")
				if err != nil || out.Session.ID != in.Session.ID {
					t.Errorf("%+v %v", out.Session, err)
				}
			})
		}
		wg.Wait()
		must(t, serves(w, in))
	})
}

func TestSessionsEnd(t *testing.T) {
	yes, role, word := true, jobs.RoleOwner, "another good password"
	for name, end := range map[string]func(w *desktest.World, in desk.SignedIn) error{
		"signed out": func(w *desktest.World, in desk.SignedIn) error {
			return w.Desk.SignOut(ctx, w.Call("dispatcher"), in.Session.ID)
		},
		"shut out": func(w *desktest.World, in desk.SignedIn) error {
			_, err := w.Desk.ChangeUser(ctx, w.Call("owner"), in.User.ID, 1, jobs.UserChange{Disabled: &yes})
			return err
		},
		"other role": func(w *desktest.World, in desk.SignedIn) error {
			_, err := w.Desk.ChangeUser(ctx, w.Call("owner"), in.User.ID, 1, jobs.UserChange{Role: &role})
			return err
		},
		"other password": func(w *desktest.World, in desk.SignedIn) error {
			_, err := w.Desk.ChangeUser(ctx, w.Call("owner"), in.User.ID, 1, jobs.UserChange{Password: &word})
			return err
		},
		"time": func(w *desktest.World, in desk.SignedIn) error {
			w.Clock.Move(jobs.SessionLife)
			return nil
		},
	} {
		t.Run(name, func(t *testing.T) {
			desktest.Each(t, func(t *testing.T, w *desktest.World) {
				in := signIn(t, w, "dispatcher")
				must(t, serves(w, in))
				must(t, end(w, in))
				wantCode(t, serves(w, in), jobs.CodeUnauthenticated)
				_, err := w.Desk.Refresh(ctx, w.Clock.Now(), in.Refresh, "phone")
				wantCode(t, err, jobs.CodeUnauthenticated)
			})
		})
	}
}

func TestNameChangeEndsNoSession(t *testing.T) {
	desktest.Each(t, func(t *testing.T, w *desktest.World) {
		in := signIn(t, w, "dispatcher")
		name := "Dora"
		_, err := w.Desk.ChangeUser(ctx, w.Call("owner"), in.User.ID, 1, jobs.UserChange{Name: &name})
		must(t, err)
		must(t, serves(w, in))
	})
}
