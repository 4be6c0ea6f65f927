package server_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs"
	"ebbline/jobs/store/storetest"
	"ebbline/server"
	"ebbline/server/servertest"
)

// alone is a World on SQLite, for what has nothing to do with the database.
func alone(t *testing.T, change func(*server.Config)) *servertest.World {
	t.Helper()
	return servertest.New(t, desktest.New(t, storetest.SQLite(t)), change)
}

// browser keeps cookies and sends what a browser would.
type browser struct {
	t   *testing.T
	w   *servertest.World
	jar map[string]*http.Cookie
}

func (b *browser) ask(method, path string, body any, headers ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	req := b.w.As("").Request(method, path, body, append([]string{"Sec-Fetch-Site", "same-origin"}, headers...)...)
	for _, c := range b.jar {
		if strings.HasPrefix(req.URL.Path, c.Path) {
			req.AddCookie(&http.Cookie{Name: c.Name, Value: c.Value})
		}
	}
	rec := httptest.NewRecorder()
	b.w.Server.ServeHTTP(rec, req)
	for _, c := range rec.Result().Cookies() {
		if b.jar[c.Name] = c; c.MaxAge < 0 {
			delete(b.jar, c.Name)
		}
	}
	return rec
}

func (b *browser) want(status int, method, path string, body any, headers ...string) *httptest.ResponseRecorder {
	b.t.Helper()
	rec := b.ask(method, path, body, headers...)
	if rec.Code != status {
		b.t.Fatalf("%s %s: %d, want %d\n%s", method, path, rec.Code, status, rec.Body)
	}
	return rec
}

func TestBrowserSession(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		b := &browser{t, w, map[string]*http.Cookie{}}
		b.want(401, "GET", "/session", nil)
		in := b.want(200, "POST", "/session", obj{"email": "owner@example.com", "password": desktest.Password})
		if strings.Contains(in.Body.String(), "token") {
			t.Errorf("a browser was shown its tokens: %s", in.Body)
		}
		for _, name := range []string{"ebbline_access", "ebbline_refresh", "ebbline_device"} {
			c := b.jar[name]
			if c == nil || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Secure || c.Domain != "" {
				t.Errorf("cookie %s: %+v", name, c)
			}
		}
		if b.jar["ebbline_refresh"].Path != "/api/v1/session" {
			t.Errorf("the refresh token goes to %s", b.jar["ebbline_refresh"].Path)
		}
		b.want(200, "GET", "/session", nil)
		b.want(201, "POST", "/customers", newCustomer(w, "Ann"))

		w.Clock.Move(jobs.AccessLife + time.Minute)
		b.want(401, "GET", "/session", nil)
		before := b.jar["ebbline_refresh"].Value
		b.want(200, "POST", "/session/refresh", obj{})
		if b.jar["ebbline_refresh"].Value == before {
			t.Error("the refresh token was not changed")
		}
		b.want(200, "GET", "/session", nil)
		b.want(204, "DELETE", "/session", nil)
		if len(b.jar) != 1 { // the device's own name stays
			t.Errorf("cookies left: %v", b.jar)
		}
		b.want(401, "POST", "/session/refresh", obj{})
	})
}

func TestCookiesAreSecureOverHTTPS(t *testing.T) {
	w := alone(t, func(c *server.Config) { c.PublicURL = "https://office.example.com" })
	b := &browser{t, w, map[string]*http.Cookie{}}
	rec := b.want(200, "POST", "/session", obj{"email": "owner@example.com", "password": desktest.Password})
	for _, c := range rec.Result().Cookies() {
		if !c.Secure {
			t.Errorf("%s is sent in clear", c.Name)
		}
	}
	if rec.Header().Get("Strict-Transport-Security") == "" {
		t.Error("no HSTS")
	}
}

// A page of another site may not change anything, whatever the body's type,
// with a signed-in browser's cookies.
func TestOtherSitesAreRefused(t *testing.T) {
	w := alone(t, func(c *server.Config) { c.PublicURL = "https://office.example.com" })
	b := &browser{t, w, map[string]*http.Cookie{}}
	b.want(200, "POST", "/session", obj{"email": "owner@example.com", "password": desktest.Password})
	body := func() *strings.Reader { return strings.NewReader(`{"branch_id":"` + w.Branch + `","name":"A"}`) }
	for name, headers := range map[string][]string{
		"cross-site":         {"Sec-Fetch-Site", "cross-site"},
		"same site, another": {"Sec-Fetch-Site", "same-site"},
		"old browser":        {"Sec-Fetch-Site", "", "Origin", "https://evil.example.com"},
		"null origin":        {"Sec-Fetch-Site", "", "Origin", "null"},
		"form":               {"Sec-Fetch-Site", "cross-site", "Content-Type", "text/plain"},
	} {
		if rec := b.ask("POST", "/customers", body(), headers...); rec.Code != 403 {
			t.Errorf("%s: %d", name, rec.Code)
		}
		if rec := b.ask("POST", "/session", obj{"email": "owner@example.com", "password": desktest.Password}, headers...); rec.Code != 403 {
			t.Errorf("sign-in from %s: %d", name, rec.Code)
		}
	}
	for name, headers := range map[string][]string{
		"same origin":       {},
		"own public origin": {"Sec-Fetch-Site", "", "Origin", "https://office.example.com"},
		"no browser":        {"Sec-Fetch-Site", ""},
	} {
		if rec := b.ask("POST", "/customers", body(), headers...); rec.Code != 201 {
			t.Errorf("%s: %d %s", name, rec.Code, rec.Body)
		}
	}
	if n := len(w.As("owner").Do("GET", "/customers", nil).JSON()["items"].([]any)); n != 3 {
		t.Errorf("%d customers", n)
	}
}

func TestProgramSession(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		in := w.As("").Do("POST", "/session?tokens=true", obj{"email": "tech@example.com", "password": desktest.Password, "device": "phone 1"}).Want(200)
		if len(in.Header.Values("Set-Cookie")) > 1 { // only the device's
			t.Errorf("cookies %v", in.Header.Values("Set-Cookie"))
		}
		s := in.JSON()
		if s["user"].(obj)["crew_id"] != w.Crew || s["branches"].([]any)[0].(obj)["zone"] != "America/Phoenix" {
			t.Errorf("%s", in.Body)
		}
		w.As("").Do("GET", "/session", nil, "Authorization", "Basic abc").WantProblem(401, "unauthenticated")
		w.As("").Do("GET", "/session", nil, "Authorization", "Bearer "+s["refresh_token"].(string)).WantProblem(401, "unauthenticated")
		w.As("").Do("POST", "/session/refresh", obj{"refresh_token": s["access_token"]}).WantProblem(401, "unauthenticated")
		w.As("").Do("POST", "/session/refresh", obj{}).WantProblem(401, "unauthenticated")
		if got := w.As("").Do("GET", "/session", nil).WantProblem(401, "unauthenticated").Header.Get("WWW-Authenticate"); got == "" {
			t.Error("a 401 says how to sign in (RFC 9110, 11.6.1)")
		}
	})
}

// A right password is let in from another address while a stranger guesses, and
// what a caller says of where it comes from changes nothing.
func TestGuessingIsSlowedDown(t *testing.T) {
	w := alone(t, nil)
	guess := func(password string, headers ...string) *servertest.Answer {
		return w.As("").Do("POST", "/session", obj{"email": "owner@example.com", "password": password}, headers...)
	}
	codes := map[int]int{}
	for range 40 {
		codes[guess("wrong", "X-Forwarded-For", "6.6.6."+string(rune('0'+len(codes)))).Status]++
	}
	if codes[401] != 10 || codes[429] != 30 {
		t.Errorf("answers %v", codes)
	}
	a := guess(desktest.Password).WantProblem(429, "too_many")
	if a.Header.Get("Retry-After") == "" {
		t.Error("nobody said how long to wait")
	}
	w.Clock.Move(15 * time.Minute)
	guess(desktest.Password).Want(200)
}

func TestSignOutElsewhereTakesEffect(t *testing.T) {
	w := alone(t, func(c *server.Config) { c.UserLife = 10 * time.Second })
	tech := w.As("tech")
	tech.Do("GET", "/session", nil).Want(200)
	off := true
	if _, err := w.Desk.ChangeUser(t.Context(), w.Call("owner"), w.Users["tech"].ID, 1, jobs.UserChange{Disabled: &off}); err != nil {
		t.Fatal(err)
	}
	w.Clock.Move(10 * time.Second) // by another process: remembered no longer than this
	tech.Do("GET", "/session", nil).WantProblem(401, "unauthenticated")

	// By this process: at once.
	dispatcher := w.As("dispatcher")
	dispatcher.Do("GET", "/session", nil).Want(200)
	w.As("owner").Do("PATCH", "/users/"+w.Users["dispatcher"].ID, obj{"disabled": true}, "If-Match", `"v1"`).Want(200)
	dispatcher.Do("GET", "/session", nil).WantProblem(401, "unauthenticated")
}
