// Package servertest asks a whole server, over a real desk and a real database,
// and checks each answer against the contract.
package servertest

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"ebbline/dispatch/desk/desktest"
	"ebbline/server"
	"ebbline/server/auth"
)

// World is a company with a server in front.
type World struct {
	*desktest.World
	Server *server.Server
	Keys   *auth.Ring
	t      testing.TB
	tokens map[string]string
}

// Each runs the test in a fresh World on each database.
func Each(t *testing.T, test func(t *testing.T, w *World)) {
	t.Helper()
	desktest.Each(t, func(t *testing.T, d *desktest.World) { test(t, New(t, d, nil)) })
}

// New puts a server in front of a company; change may set its configuration.
func New(t testing.TB, d *desktest.World, change func(*server.Config)) *World {
	t.Helper()
	key := make([]byte, auth.KeyBytes)
	rand.Read(key)
	ring, err := auth.NewRing(key)
	if err != nil {
		t.Fatal(err)
	}
	c := server.Config{Log: slog.New(slog.NewTextHandler(t.Output(), nil)), Desk: d.Desk, Clock: d.Clock, IDs: d.IDs, Keys: ring,
		Pages: fstest.MapFS{"index.html": {Data: []byte("<!doctype html><title>Ebbline</title>")},
			"assets/a1b2.js": {Data: []byte("export {}")}}}
	if change != nil {
		change(&c)
	}
	s, err := server.New(c)
	if err != nil {
		t.Fatal(err)
	}
	return &World{World: d, Server: s, Keys: ring, t: t, tokens: map[string]string{}}
}

// Later moves the clock and forgets who was signed in: access tokens are short.
// Ask As again afterwards.
func (w *World) Later(d time.Duration) {
	w.Clock.Move(d)
	clear(w.tokens)
}

// Client asks as one user; the empty name asks as nobody.
type Client struct {
	w     *World
	Token string
}

// As signs a user in, once per World, and asks as that user.
func (w *World) As(name string) *Client {
	w.t.Helper()
	if name == "" {
		return &Client{w: w}
	}
	if w.tokens[name] == "" {
		a := w.As("").Do("POST", "/session?tokens=true", map[string]any{"email": name + "@example.com", "password": desktest.Password})
		a.Want(200)
		w.tokens[name] = a.JSON()["access_token"].(string)
	}
	return &Client{w: w, Token: w.tokens[name]}
}

// Answer is what came back.
type Answer struct {
	t      testing.TB
	asked  string
	Status int
	Header http.Header
	Body   []byte
}

// Do asks. path is below /api/v1 unless it begins with "//"; body is nil, a
// value to be written as JSON, or an io.Reader. headers come in pairs. A POST
// gets a fresh Idempotency-Key unless headers name one. An answer that breaks
// the contract fails the test.
func (c *Client) Do(method, path string, body any, headers ...string) *Answer {
	c.w.t.Helper()
	req := c.Request(method, path, body, headers...)
	sent, _ := io.ReadAll(req.Body)
	req.Body = io.NopCloser(bytes.NewReader(sent))
	rec := httptest.NewRecorder()
	c.w.Server.ServeHTTP(rec, req)
	a := &Answer{t: c.w.t, asked: method + " " + path, Status: rec.Code, Header: rec.Result().Header, Body: rec.Body.Bytes()}
	if err := c.w.Server.CheckAnswer(req, a.Status, a.Header, a.Body); err != nil {
		c.w.t.Errorf("%s: %v\n%s", a.asked, err, a.Body)
	}
	return a
}

// Request makes the request that Do asks.
func (c *Client) Request(method, path string, body any, headers ...string) *http.Request {
	c.w.t.Helper()
	var from io.Reader = http.NoBody
	kind := ""
	switch b := body.(type) {
	case nil:
	case io.Reader:
		from, kind = b, "application/json"
	default:
		text, err := json.Marshal(b)
		if err != nil {
			c.w.t.Fatal(err)
		}
		from, kind = bytes.NewReader(text), "application/json"
	}
	if rest, ok := strings.CutPrefix(path, "//"); ok {
		path = "/" + rest
	} else {
		path = "/api/v1" + path
	}
	req := httptest.NewRequest(method, path, from)
	if kind != "" {
		req.Header.Set("Content-Type", kind)
	}
	if c.Token != "" {
		req.Header.Set("Authorization", "Bearer "+c.Token)
	}
	if method == "POST" && !strings.HasPrefix(path, "/api/v1/session") {
		req.Header.Set("Idempotency-Key", c.w.IDs.New())
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i+1] == "" {
			req.Header.Del(headers[i])
			continue
		}
		req.Header.Set(headers[i], headers[i+1])
	}
	return req
}

// Want fails the test when the status is another.
func (a *Answer) Want(status int) *Answer {
	a.t.Helper()
	if a.Status != status {
		a.t.Fatalf("%s: status %d, want %d\n%s", a.asked, a.Status, status, a.Body)
	}
	return a
}

// WantProblem fails the test when the answer is not a problem with this status
// and code, or does not name the fields.
func (a *Answer) WantProblem(status int, code string, fields ...string) *Answer {
	a.t.Helper()
	a.Want(status)
	p := a.JSON()
	if got := a.Header.Get("Content-Type"); got != "application/problem+json" {
		a.t.Fatalf("%s: content type %q", a.asked, got)
	}
	if p["code"] != code || p["status"] != float64(status) {
		a.t.Fatalf("%s: want code %s\n%s", a.asked, code, a.Body)
	}
	named := map[string]bool{}
	list, _ := p["fields"].([]any)
	for _, f := range list {
		named[f.(map[string]any)["field"].(string)] = true
	}
	for _, f := range fields {
		if !named[f] {
			a.t.Fatalf("%s: the problem does not name %s\n%s", a.asked, f, a.Body)
		}
	}
	return a
}

// JSON is the body as an object.
func (a *Answer) JSON() map[string]any {
	a.t.Helper()
	var v map[string]any
	if err := json.Unmarshal(a.Body, &v); err != nil {
		a.t.Fatalf("%s: %v\n%s", a.asked, err, a.Body)
	}
	return v
}

// Into reads the body into v.
func (a *Answer) Into(v any) *Answer {
	a.t.Helper()
	if err := json.Unmarshal(a.Body, v); err != nil {
		a.t.Fatalf("%s: %v\n%s", a.asked, err, a.Body)
	}
	return a
}

// ETag is the answer's entity tag.
func (a *Answer) ETag() string { return a.Header.Get("ETag") }
