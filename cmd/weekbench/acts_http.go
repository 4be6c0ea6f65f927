package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// actsHTTP measures try and places as a page asks them: over HTTP, of a real
// server on a free port that holds the week as a draft in an embedded database.
func (b *bench) actsHTTP(on *actsOn, r *acts) error {
	dir, err := os.MkdirTemp("", "weekbench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	named, err := nameByIDs(on)
	if err != nil {
		return err
	}
	office, err := openOffice(context.Background(), filepath.Join(dir, "bench.db"), named)
	if err != nil {
		return err
	}
	defer office.close()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	served := office.server.HTTP()
	go func() { _ = served.Serve(listener) }() // ends with Close
	defer served.Close()
	c := &httpAsker{base: "http://" + listener.Addr().String() + "/api/v1"}
	if err := c.signIn(); err != nil {
		return err
	}
	view := map[string]any{"draft_id": office.draft}
	if err := c.ask("POST", "/tries", map[string]any{"view": view, "change": map[string]any{"kind": "job_out", "job_id": named.w.Jobs[0].ID}}); err != nil {
		return err // lays the plan out
	}
	d := newDrawer(&actsOn{w: named.w, p: named.p}, b.shape.Seed)
	var try, places timed
	const tries = 2000
	for n := 0; n < tries; n++ {
		change := apiChange(named.w, d.change(n%2 == 0))
		if change == nil { // a pump or a person: those are the office's own
			n--
			continue
		}
		if err := try.call(func() error { return c.ask("POST", "/tries", map[string]any{"view": view, "change": change}) }); err != nil {
			if strings.Contains(err.Error(), " 400 ") { // a question that was wrong
				try.forget()
				n--
				continue
			}
			return err
		}
	}
	r.HTTP = wallP99(on, "try over HTTP", &try)
	for range 200 {
		v := pick(d.r, d.visits)
		if err := places.call(func() error {
			return c.ask("GET", "/places?draft_id="+office.draft+"&visit_id="+url.QueryEscape(v), nil)
		}); err != nil {
			return err
		}
	}
	wallP99(on, "places over HTTP", &places)
	return nil
}

// wallP99 says the percentiles of what was waited for alone: the server works in
// other threads.
func wallP99(on *actsOn, name string, t *timed) *float64 {
	x := percentile(t.wall, 99)
	on.say("%s: %d calls, wall p50 %.2f p99 %.2f most %.2f ms; load %s", name, len(t.wall), percentile(t.wall, 50), x, percentile(t.wall, 100), loadAverage())
	return &x
}

// apiChange says a change as the contract has it; nil: not of the kinds that a
// stored week alone can answer.
func apiChange(w *week.Week, c dispatch.Change) map[string]any {
	crew := func(tour string) (string, string) { id, day, _ := strings.Cut(tour, "@"); return id, day }
	first, err := time.Parse(time.DateOnly, w.Days[0].Date)
	if err != nil {
		return nil
	}
	day := func(s int64) string { return first.AddDate(0, 0, int(s/86_400)).Format(time.DateOnly) }
	switch c.Kind {
	case dispatch.ChangeVisit:
		if c.After != nil && *c.After != "" {
			return map[string]any{"kind": "visit", "visit_id": c.Visit, "after_visit_id": *c.After}
		}
		id, on := crew(c.Tour)
		return map[string]any{"kind": "visit", "visit_id": c.Visit, "crew_id": id, "day": on, "first": c.After != nil}
	case dispatch.ChangeJobOut, dispatch.ChangeJobIn:
		return map[string]any{"kind": c.Kind, "job_id": c.Job}
	case dispatch.ChangeJobEarlier:
		return map[string]any{"kind": "job_earlier", "job_id": c.Job, "by_day": day(c.By)}
	case dispatch.ChangeLonger:
		return map[string]any{"kind": "visit_longer", "visit_id": c.Visit, "seconds": c.Seconds}
	}
	return nil
}

// httpAsker asks as one user.
type httpAsker struct {
	base, token string
	n           int
}

func (c *httpAsker) signIn() error {
	var got struct {
		Token string `json:"access_token"`
	}
	text, err := c.do("POST", "/session?tokens=true", map[string]any{"email": "bench@example.com", "password": benchPassword})
	if err == nil {
		err = json.Unmarshal(text, &got)
	}
	c.token = got.Token
	return err
}

func (c *httpAsker) ask(method, path string, body any) error {
	_, err := c.do(method, path, body)
	return err
}

func (c *httpAsker) do(method, path string, body any) ([]byte, error) {
	var from io.Reader
	if body != nil {
		text, err := json.Marshal(body)
		if err != nil {
			return nil, err
		}
		from = bytes.NewReader(text)
	}
	q, err := http.NewRequest(method, c.base+path, from)
	if err != nil {
		return nil, err
	}
	if body != nil {
		q.Header.Set("Content-Type", "application/json")
	}
	if c.token != "" {
		q.Header.Set("Authorization", "Bearer "+c.token)
	}
	c.n++
	q.Header.Set("Idempotency-Key", fmt.Sprint("bench-", c.n))
	a, err := http.DefaultClient.Do(q)
	if err != nil {
		return nil, err
	}
	defer a.Body.Close()
	text, err := io.ReadAll(a.Body)
	if err == nil && a.StatusCode > 299 {
		err = fmt.Errorf("%s %s: %d %s", method, path, a.StatusCode, text)
	}
	return text, err
}
