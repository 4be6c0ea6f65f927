package server_test

import (
	"bufio"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"ebbline/server"
	"ebbline/server/servertest"
)

// Every refusal, also those of the framework, is RFC 9457: its media type, its
// members of their types, and a status that is the answer's own (3.1).
func TestRefusalsAreProblems(t *testing.T) {
	w := alone(t, func(c *server.Config) { c.Ready = []func() error{func() error { return fmt.Errorf("secret cause") }} })
	office := w.As("dispatcher")
	seen := map[string]bool{}
	for name, a := range map[string]*servertest.Answer{
		"404 path":     office.Do("GET", "/nothing", nil).WantProblem(404, "not_found"),
		"404 base":     office.Do("GET", "//api", nil).WantProblem(404, "not_found"),
		"404 slash":    office.Do("GET", "/customers/", nil).WantProblem(404, "not_found"),
		"404 slashes":  office.Do("GET", "//api/v1//customers", nil).WantProblem(404, "not_found"),
		"404 dots":     office.Do("GET", "/customers/..;/users", nil).WantProblem(404, "not_found"),
		"404 encoded":  office.Do("GET", "/customers%2Fx", nil).WantProblem(404, "not_found"),
		"404 file":     office.Do("GET", "//assets/none.js", nil).WantProblem(404, "not_found"),
		"405":          office.Do("DELETE", "/customers", nil).WantProblem(405, "method"),
		"405 trace":    office.Do("TRACE", "/customers", nil).WantProblem(405, "method"),
		"405 options":  office.Do("OPTIONS", "/customers", nil).WantProblem(405, "method"),
		"405 page":     office.Do("POST", "//week", obj{}).WantProblem(405, "method"),
		"415":          office.Do("POST", "/customers", strings.NewReader("a=b"), "Content-Type", "application/x-www-form-urlencoded").WantProblem(415, "media_type"),
		"415 none":     office.Do("POST", "/customers", strings.NewReader("{}"), "Content-Type", "").WantProblem(415, "media_type"),
		"415 charset":  office.Do("POST", "/customers", strings.NewReader("{}"), "Content-Type", "application/json; charset=utf-16").WantProblem(415, "media_type"),
		"415 gzip":     office.Do("POST", "/customers", strings.NewReader("x"), "Content-Encoding", "gzip").WantProblem(415, "media_type"),
		"400 no key":   office.Do("POST", "/customers", newCustomer(w, "A"), "Idempotency-Key", "").WantProblem(400, "invalid", "Idempotency-Key"),
		"400 long key": office.Do("POST", "/customers", newCustomer(w, "A"), "Idempotency-Key", strings.Repeat("k", 256)).WantProblem(400, "invalid", "Idempotency-Key"),
		"400 odd key":  office.Do("POST", "/customers", newCustomer(w, "A"), "Idempotency-Key", "schlüssel").WantProblem(400, "invalid", "Idempotency-Key"),
		"400 body":     office.Do("GET", "/customers", strings.NewReader("{}")).WantProblem(400, "invalid"),
		"503":          office.Do("GET", "//readyz", nil).WantProblem(503, "unavailable"),
	} {
		p := a.JSON()
		if p["type"] != "about:blank" || p["title"] != http.StatusText(a.Status) || p["detail"] == "" {
			t.Errorf("%s: %s", name, a.Body)
		}
		instance, _ := p["instance"].(string)
		if !strings.HasPrefix(instance, "urn:uuid:") || seen[instance] || instance != "urn:uuid:"+a.Header.Get("X-Request-Id") {
			t.Errorf("%s: instance %q", name, instance)
		}
		seen[instance] = true
		if strings.Contains(string(a.Body), "secret cause") {
			t.Errorf("%s tells its cause: %s", name, a.Body)
		}
		for member := range p {
			if !strings.Contains(" type title status detail instance code fields ", " "+member+" ") {
				t.Errorf("%s: member %s", name, member)
			}
		}
	}
}

func TestKeysOverHTTP(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		body := newCustomer(w, "A")
		first := office.Do("POST", "/customers", body, "Idempotency-Key", "k-1").Want(201)
		again := office.Do("POST", "/customers", body, "Idempotency-Key", "k-1").Want(201)
		if string(first.Body) != string(again.Body) || first.ETag() != again.ETag() || first.Header.Get("Location") != again.Header.Get("Location") {
			t.Errorf("%s and %s", first.Body, again.Body)
		}
		body["name"] = "B"
		office.Do("POST", "/customers", body, "Idempotency-Key", "k-1").WantProblem(422, "key_reused")
		w.As("owner").Do("POST", "/customers", body, "Idempotency-Key", "k-1").Want(201)

		// The same path with another query is another request.
		at := "/customers/" + first.JSON()["id"].(string) + "/contacts"
		contact := obj{"role": "gate", "name": "G"}
		office.Do("POST", at, contact, "Idempotency-Key", "k-1").Want(201)
		if n := len(office.Do("GET", "/customers", nil).JSON()["items"].([]any)); n != 2 {
			t.Errorf("%d customers", n)
		}
	})
}

func TestHeaders(t *testing.T) {
	w := alone(t, nil)
	want := map[string]string{
		"Content-Security-Policy": "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
		"X-Content-Type-Options":  "nosniff", "Referrer-Policy": "no-referrer",
		"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
	}
	for path, cache := range map[string]string{
		"//": "no-cache", "//week?from=2026-03-02": "no-cache", "//pools/today": "no-cache", "//index.html": "no-cache",
		"//assets/a1b2.js": "public, max-age=31536000, immutable", "//livez": "no-store", "//readyz": "no-store",
		"/customers": "no-store", "/session": "no-store", "/nothing": "no-store",
	} {
		for _, who := range []string{"owner", ""} {
			a := w.As(who).Do("GET", path, nil)
			for name, value := range want {
				if a.Header.Get(name) != value {
					t.Errorf("%s by %q: %s is %q", path, who, name, a.Header.Get(name))
				}
			}
			if got := a.Header.Get("Cache-Control"); got != cache {
				t.Errorf("%s: Cache-Control %q", path, got)
			}
			if a.Header.Get("Server") != "" || a.Header.Get("Access-Control-Allow-Origin") != "" {
				t.Errorf("%s: %v", path, a.Header)
			}
		}
	}
	for _, path := range []string{"//", "//week", "//enquiry/5", "//index.html"} {
		if a := w.As("").Do("GET", path, nil).Want(200); !strings.Contains(string(a.Body), "<title>Ebbline") {
			t.Errorf("%s is not the page: %s", path, a.Body)
		}
	}
	for _, path := range []string{"/customers", "//livez"} {
		if a := w.As("owner").Do("HEAD", path, nil); a.Status == 200 {
			continue
		} else if a.Status != 405 || len(a.Body) != 0 {
			t.Errorf("HEAD %s: %d %s", path, a.Status, a.Body)
		}
	}
}

// Metrics and profiles are on a listener of their own.
func TestOperatorListener(t *testing.T) {
	w := alone(t, nil)
	w.As("owner").Do("GET", "/customers", nil).Want(200)
	for _, path := range []string{"//metrics", "//debug/pprof/"} {
		if a := w.As("owner").Do("GET", path, nil); strings.Contains(string(a.Body), "ebbline_http") || strings.Contains(string(a.Body), "goroutine") {
			t.Errorf("%s is public", path)
		}
	}
	rec := httptest.NewRecorder()
	w.Server.Operator().ServeHTTP(rec, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	if rec.Code != 200 || !strings.Contains(rec.Body.String(), `ebbline_http_requests_total{operation="listCustomers",status="200"} 1`) {
		t.Errorf("%d %.300s", rec.Code, rec.Body)
	}
}

// Slow and greedy callers on a real listener: others are answered meanwhile.
func TestLimitsOfTheListener(t *testing.T) {
	w := alone(t, nil)
	srv := w.Server.HTTP()
	if srv.ReadHeaderTimeout == 0 || srv.ReadTimeout == 0 || srv.WriteTimeout == 0 || srv.IdleTimeout == 0 || srv.MaxHeaderBytes == 0 {
		t.Fatalf("a limit is missing: %+v", srv)
	}
	srv.ReadHeaderTimeout = 300 * time.Millisecond // the test's patience, not ours
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go srv.Serve(listener)
	t.Cleanup(func() { srv.Close() })

	var slow sync.WaitGroup
	for range 200 {
		slow.Go(func() {
			c, err := net.Dial("tcp", listener.Addr().String())
			if err != nil {
				t.Error(err)
				return
			}
			defer c.Close()
			fmt.Fprint(c, "GET /livez HTTP/1.1\r\nHost: x\r\n") // and never ends
			c.SetReadDeadline(time.Now().Add(5 * time.Second))
			for {
				if _, err := bufio.NewReader(c).ReadByte(); err != nil {
					if errors.Is(err, os.ErrDeadlineExceeded) {
						t.Error("a caller who never ends is kept")
					}
					return
				}
			}
		})
	}
	began := time.Now()
	resp, err := http.Get("http://" + listener.Addr().String() + "/livez")
	if err != nil || resp.StatusCode != http.StatusOK {
		t.Fatal(resp, err)
	}
	resp.Body.Close()
	if took := time.Since(began); took > 2*time.Second {
		t.Errorf("another waited %s", took)
	}
	slow.Wait()

	// A header beyond the limit.
	req, _ := http.NewRequest(http.MethodGet, "http://"+listener.Addr().String()+"/livez", nil)
	req.Header.Set("X-Long", strings.Repeat("x", 64<<10))
	if resp, err := http.DefaultClient.Do(req); err != nil || resp.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("%v %v", resp, err)
	}
}

// More at once than is allowed are told to come back; streams are not counted.
func TestTooMuchAtOnce(t *testing.T) {
	w := alone(t, func(c *server.Config) { c.MaxAtOnce = 1 })
	office := w.As("dispatcher")
	held, release := make(chan struct{}), make(chan struct{})
	go func() {
		req := office.Request("POST", "/customers", &held1{held: held, release: release})
		w.Server.ServeHTTP(httptest.NewRecorder(), req)
	}()
	<-held
	a := office.Do("GET", "/customers", nil).WantProblem(503, "unavailable")
	if a.Header.Get("Retry-After") == "" {
		t.Error("nobody said when to come back")
	}
	w.As("").Do("GET", "//livez", nil).Want(200)
	close(release)
	for range 100 {
		if office.Do("GET", "/customers", nil).Status == 200 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Error("never free again")
}

// held1 is a body that holds its request until it is released.
type held1 struct {
	held, release chan struct{}
	once          sync.Once
}

func (h *held1) Read([]byte) (int, error) {
	h.once.Do(func() { close(h.held) })
	<-h.release
	return 0, fmt.Errorf("the body broke off")
}

// What secrets a request holds must not come back in a problem.
func TestProblemsRepeatNoSecrets(t *testing.T) {
	w := alone(t, nil)
	const canary = "canary-5f2c"
	for _, a := range []*servertest.Answer{
		w.As("").Do("POST", "/session", obj{"email": "owner@example.com", "password": strings.Repeat(canary, 60)}),
		w.As("").Do("POST", "/session", obj{"email": "owner@example.com", "password": []string{canary}}),
		w.As("").Do("POST", "/session/refresh", obj{"refresh_token": obj{"a": canary}}),
		w.As("").Do("GET", "/session", nil, "Authorization", "Bearer "+canary),
		w.As("owner").Do("POST", "/users", obj{"email": "a@example.com", "name": "A", "role": "tech", "password": canary[:3]}),
		w.As("").Do("GET", "/links/"+canary, nil),
	} {
		if a.Status < 400 || strings.Contains(string(a.Body), canary[:3]) {
			t.Errorf("%d %s", a.Status, a.Body)
		}
	}
}

// Postgres keeps no U+0000 in text: whoever sends one is told so, on both
// databases alike, also who has not signed in.
func TestNULIsRefused(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		for _, path := range []string{"/customers", "/sites", "/jobs", "/parts"} {
			office.Do("GET", path+"?q=a%00b", nil).WantProblem(400, "invalid", "q")
			office.Do("GET", path+"?q=%ff", nil).WantProblem(400, "invalid", "q")
		}
		w.As("").Do("POST", "/session", obj{"email": "a\x00@example.com", "password": "long enough"}).WantProblem(400, "invalid", "email")
		w.As("").Do("POST", "/session", obj{"email": "owner@example.com", "password": "long enough", "device": "a\x00"}).WantProblem(400, "invalid", "device")
		office.Do("POST", "/customers", obj{"branch_id": w.Branch, "name": "A", "contacts": []obj{{"role": "payer", "name": "B\x00"}}}).
			WantProblem(400, "invalid", "contacts.0.name")
		office.Do("POST", "/customers", strings.NewReader(`{"a\u0000":1}`)).WantProblem(400, "invalid")
	})
}
