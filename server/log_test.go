package server_test

import (
	"bytes"
	"log/slog"
	"strings"
	"testing"

	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
	"ebbline/server"
	"ebbline/server/servertest"
)

// Names, addresses, phones, passwords, tokens and what is searched for never
// reach the log, not even by way of a refused statement.
func TestLogHoldsNoSecrets(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		var log bytes.Buffer
		to := slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))
		before := slog.Default()
		slog.SetDefault(to) // the store's and the library's lines too
		defer slog.SetDefault(before)
		w := servertest.New(t, desktest.New(t, st), func(c *server.Config) { c.Log = to })
		owner := w.As("owner")
		const canary = "canary7f3"
		user := obj{"email": canary + "@example.com", "name": canary, "role": "tech", "password": canary + " password"}
		owner.Do("POST", "/users", user).Want(201)
		owner.Do("POST", "/users", user).Want(409) // by the database
		w.As("").Do("POST", "/session", obj{"email": canary + "@example.com", "password": canary}).Want(401)
		w.As("").Do("GET", "/session", nil, "Authorization", "Bearer "+canary).Want(401)
		c := newCustomer(w, canary)
		c["note"] = canary
		c["contacts"] = []obj{{"role": "gate", "name": canary, "phone": "559 555 0142"}}
		made := owner.Do("POST", "/customers", c, "Idempotency-Key", canary).Want(201)
		owner.Do("GET", "/customers?q="+canary, nil).Want(200)
		owner.Do("GET", "/links/"+canary+canary+canary, nil)
		contact := made.JSON()["contacts"].([]any)[0].(obj)["id"].(string)
		owner.Do("PUT", "/contacts/"+contact, obj{"role": "gate", "name": canary, "phone": canary}, "If-Match", `"v1"`).Want(400)
		for _, secret := range []string{canary, "5550142", "555 0142", owner.Token, desktest.Password, "argon2"} {
			if at := strings.Index(log.String(), secret); at >= 0 {
				t.Errorf("the log holds %q: ...%s", secret, log.String()[max(0, at-200):min(log.Len(), at+100)])
			}
		}
		if !strings.Contains(log.String(), "operation=createUser status=409") || !strings.Contains(log.String(), "user="+w.Users["owner"].ID) {
			t.Errorf("the log says too little:\n%s", log.String())
		}
	})
}
