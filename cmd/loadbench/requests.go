package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/google/uuid"
)

// enquiries is how many jobs stand in the database beside the one asked for.
const enquiries = 200

// requests measures the program's requests beside the bare server's, on one
// database.
func (b *bench) requests(ctx context.Context) error {
	env, address, err := b.onPostgres(ctx, "load")
	if err != nil {
		return err
	}
	if _, err := b.ebbline(ctx, env, "", "demo", "--once", "--json", "--database="+address, "--data="+filepath.Join(b.dir, "filled")); err != nil {
		return err
	}
	if _, err := b.ebbline(ctx, env, "bench password\n", "user", "add", "--name=Bench", "--email=bench@example.com", "--role=owner"); err != nil {
		return err
	}
	served, err := startProcess(ctx, env, "Ebbline serves ", b.program, "serve")
	if err != nil {
		return err
	}
	defer func() { _ = served.end() }() // the measurement is over
	self, err := os.Executable()
	if err != nil {
		return err
	}
	bare, err := startProcess(ctx, nil, "bare ", self, "-bare", address)
	if err != nil {
		return err
	}
	defer func() { _ = bare.end() }() // the measurement is over

	o, err := signIn(ctx, served.url+"/api/v1", bare.url, b.method.clients)
	if err != nil {
		return err
	}
	job, err := o.fill(ctx)
	if err != nil {
		return err
	}
	first, err := o.handedOut(ctx)
	if err != nil {
		return err
	}
	return b.compare(ctx, o, job, first)
}

// office is a signed-in program at the API, and the bare server beside it.
type office struct {
	client    *http.Client
	api, bare string
	headers   map[string]string
	branch    string
}

func signIn(ctx context.Context, api, bare string, clients int) (*office, error) {
	o := &office{api: api, bare: bare, client: &http.Client{
		Timeout: 30 * time.Second, Transport: &http.Transport{MaxIdleConns: 4 * clients, MaxIdleConnsPerHost: 2 * clients},
	}}
	text, err := ask(ctx, o.client, http.MethodPost, api+"/session?tokens=true", nil,
		[]byte(`{"email":"bench@example.com","password":"bench password"}`))
	if err != nil {
		return nil, err
	}
	var session struct {
		Token    string `json:"access_token"`
		Branches []struct{ ID string }
	}
	if err := json.Unmarshal(text, &session); err != nil || len(session.Branches) != 1 {
		return nil, fmt.Errorf("session: %.200s: %w", text, err)
	}
	o.headers, o.branch = map[string]string{"Authorization": "Bearer " + session.Token}, session.Branches[0].ID
	return o, nil
}

// fill notes the enquiries and answers the id of one job.
func (o *office) fill(ctx context.Context) (string, error) {
	var job struct{ ID string }
	for i := range enquiries {
		body := fmt.Sprintf(`{"branch_id":%q,"customer":{"name":"Customer %d","contacts":[]},"site":{"name":"Site %d","street":"1 Test Rd","city":"Dry Wells","region":"AZ","postcode":"85000"},"job":{"kind":"conversion","note":"two lights"}}`, o.branch, i, i)
		text, err := o.post(ctx, o.api+"/enquiries", []byte(body))
		if err != nil {
			return "", err
		}
		if err := json.Unmarshal(text, &job); err != nil {
			return "", err
		}
	}
	return job.ID, nil
}

// handedOut answers the first day of the demo's plan, and makes sure that the
// week has stops: an empty one would measure nothing.
func (o *office) handedOut(ctx context.Context) (string, error) {
	text, err := ask(ctx, o.client, http.MethodGet, o.api+"/plans?branch_id="+o.branch, o.headers, nil)
	if err != nil {
		return "", err
	}
	var plans struct {
		Items []struct {
			FirstDay string `json:"first_day"`
			Days     int
		}
	}
	if err := json.Unmarshal(text, &plans); err != nil || len(plans.Items) == 0 {
		return "", fmt.Errorf("no plan was handed out: %.200s: %w", text, err)
	}
	for _, url := range []string{o.api + "/weeks/" + plans.Items[0].FirstDay + "?branch_id=" + o.branch, o.bare + "/weeks/" + plans.Items[0].FirstDay + "?branch_id=" + o.branch} {
		week, err := ask(ctx, o.client, http.MethodGet, url, o.headers, nil)
		if err != nil {
			return "", err
		}
		if n := bytes.Count(week, []byte(`"job_id"`)); n < 30 {
			return "", fmt.Errorf("the week of %s has only %d stops and pools", url, n)
		}
	}
	return plans.Items[0].FirstDay, nil
}

// post sends a body under a fresh idempotency key.
func (o *office) post(ctx context.Context, url string, body []byte) ([]byte, error) {
	headers := map[string]string{"Idempotency-Key": uuid.NewString()}
	for name, value := range o.headers {
		headers[name] = value
	}
	return ask(ctx, o.client, http.MethodPost, url, headers, body)
}

// compare measures each kind of request.
func (b *bench) compare(ctx context.Context, o *office, job, first string) error {
	get := func(url string) func(context.Context, int) error {
		return func(ctx context.Context, _ int) error {
			_, err := ask(ctx, o.client, http.MethodGet, url, o.headers, nil)
			return err
		}
	}
	customer := []byte(fmt.Sprintf(`{"branch_id":%q,"name":"Load","contacts":[{"role":"payer","name":"Ann","email":"ann@example.com","may_decide":true}]}`, o.branch))
	post := func(url string) func(context.Context, int) error {
		return func(ctx context.Context, _ int) error {
			_, err := o.post(ctx, url, customer)
			return err
		}
	}
	for _, kind := range []struct {
		what       string
		ours, bare func(context.Context, int) error
	}{
		{"GET one job", get(o.api + "/jobs/" + job), get(o.bare + "/jobs/" + job)},
		{"GET a week", get(o.api + "/weeks/" + first + "?branch_id=" + o.branch), get(o.bare + "/weeks/" + first + "?branch_id=" + o.branch)},
		{"POST one customer", post(o.api + "/customers"), post(o.bare + "/customers")},
	} {
		rates, err := b.method.measure(ctx, []variant{{"bare " + kind.what, kind.bare}, {"ebbline " + kind.what, kind.ours}})
		if err != nil {
			return err
		}
		f := newFigure(kind.what, "of bare", rates.against(1))
		f.Note = fmt.Sprintf("bare %.0f/s, ebbline %.0f/s", median(rates[0]), median(rates[1]))
		b.add(f)
	}
	return nil
}
