package server_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strings"
	"testing"

	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/server/servertest"
)

func TestUserFromFirstToLast(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		owner := w.As("owner")
		body := obj{"email": "New@example.com", "name": "New", "role": "dispatcher", "password": "long enough"}
		made := owner.Do("POST", "/users", body).Want(201)
		at := "/users/" + made.JSON()["id"].(string)
		if strings.Contains(string(made.Body), "argon") || strings.Contains(string(made.Body), "long enough") {
			t.Errorf("the answer tells too much: %s", made.Body)
		}
		body["email"] = "new@EXAMPLE.com"
		owner.Do("POST", "/users", body).WantProblem(409, "conflict", "email")
		body["email"], body["password"] = "x@example.com", "short"
		p := owner.Do("POST", "/users", body).WantProblem(400, "invalid", "password")
		if strings.Contains(string(p.Body), "short") {
			t.Errorf("the problem repeats the password: %s", p.Body)
		}
		body["password"], body["role"] = "long enough", "king"
		owner.Do("POST", "/users", body).WantProblem(400, "invalid", "role")
		body["role"], body["person_id"] = "tech", w.IDs.New()
		owner.Do("POST", "/users", body).WantProblem(404, "not_found")
		for _, field := range []string{"id", "version", "epoch", "password_hash", "created_at", "branch_id"} {
			owner.Do("PATCH", at, obj{field: "1"}, "If-Match", `"v1"`).WantProblem(400, "invalid", field)
		}
		w.As("").Do("POST", "/session", obj{"email": "new@example.com", "password": "long enough"}).Want(200)
		owner.Do("PATCH", at, obj{"password": "another long one"}, "If-Match", `"v1"`).Want(200)
		w.As("").Do("POST", "/session", obj{"email": "new@example.com", "password": "long enough"}).WantProblem(401, "unauthenticated")
		w.As("").Do("POST", "/session", obj{"email": "new@example.com", "password": "another long one"}).Want(200)
		if n := len(owner.Do("GET", "/users?limit=3", nil).Want(200).JSON()["items"].([]any)); n != 3 {
			t.Errorf("%d users on a page of three", n)
		}
		w.As("tech").Do("GET", "/users", nil).WantProblem(403, "forbidden")
	})
}

// What is kept of a request to know it again is of no use for guessing at the
// password in it: it is no plain hash of the body.
func TestPasswordIsNotInTheFingerprint(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		body := obj{"email": "new@example.com", "name": "New", "role": "dispatcher", "password": "long enough"}
		key := w.IDs.New()
		first := w.As("owner").Do("POST", "/users", body, "Idempotency-Key", key).Want(201)
		again := w.As("owner").Do("POST", "/users", body, "Idempotency-Key", key).Want(201)
		if string(first.Body) != string(again.Body) {
			t.Errorf("the same request made another user: %s", again.Body)
		}
		text, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		plain := sha256.Sum256(append([]byte("POST\n/api/v1/users\n"), text...))
		err = w.Store.InTx(context.Background(), func(tx *store.Tx) error {
			_, err := tx.FindOutcome("user:"+w.Users["owner"].ID, "createUser", key, hex.EncodeToString(plain[:]))
			return err
		})
		if jobs.CodeOf(err) != jobs.CodeKeyReused {
			t.Errorf("the database holds a plain hash of a password among known text: %v", err)
		}
	})
}
