package main

import (
	"context"
	"net"
	"net/http"
	"net/url"
	"os"
	"strings"
	"syscall"
	"testing"

	"github.com/jackc/pgx/v5"
)

// databases runs the test with the settings of a fresh, migrated database: an
// embedded one, and one on Postgres.
func databases(t *testing.T, test func(t *testing.T, env []string)) {
	t.Run("sqlite", func(t *testing.T) {
		if only := os.Getenv("EBBLINE_TEST_DATABASES"); only != "" && only != "sqlite" {
			t.Skip("EBBLINE_TEST_DATABASES is " + only)
		}
		env := inFolder(t)
		ebbline(t, env, "", "migrate").want(t, exitDone)
		test(t, env)
	})
	t.Run("postgres", func(t *testing.T) {
		if only := os.Getenv("EBBLINE_TEST_DATABASES"); only != "" && only != "postgres" {
			t.Skip("EBBLINE_TEST_DATABASES is " + only)
		}
		env := append(inFolder(t), "EBBLINE_DATABASE="+freshPostgres(t))
		ebbline(t, env, "", "migrate").want(t, exitDone)
		test(t, env)
	})
}

// freshPostgres makes an empty database on the test server and answers its address.
func freshPostgres(t *testing.T) string {
	t.Helper()
	admin := os.Getenv("EBBLINE_TEST_POSTGRES")
	if admin == "" {
		t.Skip("set EBBLINE_TEST_POSTGRES to test on Postgres")
	}
	at, err := url.Parse(admin)
	if err != nil {
		t.Fatal(err)
	}
	name := "ebb_cmd_" + strings.ReplaceAll(uuids{}.New(), "-", "")
	onServer(t, admin, "CREATE DATABASE "+name)
	t.Cleanup(func() { onServer(t, admin, "DROP DATABASE "+name+" WITH (FORCE)") })
	at.Path = "/" + name
	return at.String()
}

func onServer(t *testing.T, address, statement string) {
	t.Helper()
	conn, err := pgx.Connect(context.Background(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(context.Background(), statement); err != nil {
		t.Fatal(err)
	}
}

func addUser(t *testing.T, env []string) {
	t.Helper()
	ebbline(t, env, "a long password\n", "user", "add", "--name=Olga", "--email=olga@example.com", "--role=owner",
		"--branch=Yard", "--zone=America/Phoenix").want(t, exitDone)
}

func TestServeAnswersAndEnds(t *testing.T) {
	databases(t, func(t *testing.T, env []string) {
		addUser(t, env)
		p := start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0", "EBBLINE_METRICS_LISTEN=127.0.0.1:0"), "serve")
		client := browser(t)
		for path, want := range map[string]int{"/": 200, "/livez": 200, "/readyz": 200, "/api/v1/session": 401, "/metrics": 200} {
			status, body := fetch(t, client, "GET", p.url+path, "")
			if status != want {
				t.Errorf("GET %s: %d, want %d: %.200s", path, status, want, body)
			}
			if path == "/metrics" && strings.Contains(body, "go_goroutines") {
				t.Error("metrics are served to the public")
			}
		}
		signIn := `{"email":"olga@example.com","password":"a long password"}`
		if status, body := fetch(t, client, "POST", p.url+"/api/v1/session", signIn); status != 200 {
			t.Fatalf("sign in: %d %s", status, body)
		}
		if status, body := fetch(t, client, "GET", p.url+"/api/v1/session", ""); status != 200 || !strings.Contains(body, "Olga") {
			t.Errorf("signed in: %d %s", status, body)
		}
		if code := p.end(t, syscall.SIGTERM); code != exitDone {
			t.Errorf("exit code %d", code)
		}
		if _, err := http.Get(p.url + "/livez"); err == nil { //nolint:bodyclose // it must not answer
			t.Error("answers after its end")
		}
	})
}

// The key is kept in the data folder, so people stay signed in over a restart.
func TestASessionOutlivesARestart(t *testing.T) {
	env := inFolder(t)
	ebbline(t, env, "", "migrate").want(t, exitDone)
	addUser(t, env)
	// The same address twice: cookies are kept by host, and a browser's by port or not.
	p := start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
	client := browser(t)
	if status, body := fetch(t, client, "POST", p.url+"/api/v1/session", `{"email":"olga@example.com","password":"a long password"}`); status != 200 {
		t.Fatalf("sign in: %d %s", status, body)
	}
	p.end(t, syscall.SIGKILL)
	p = start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
	if status, body := fetch(t, client, "GET", p.url+"/api/v1/session", ""); status != 200 {
		t.Errorf("after a kill: %d %s", status, body)
	}
}

func TestServeRefuses(t *testing.T) {
	env := append(inFolder(t), "EBBLINE_LISTEN=127.0.0.1:0")
	ebbline(t, env, "", "serve").want(t, exitCannot, "run ebbline migrate")
	ebbline(t, env, "", "migrate").want(t, exitDone)

	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	ebbline(t, append(env, "EBBLINE_LISTEN="+taken.Addr().String()), "", "serve").want(t, exitCannot, "EBBLINE_LISTEN", "in use")
	ebbline(t, append(env, "EBBLINE_KEY=abcd"), "", "serve").want(t, exitWrongUse, "EBBLINE_KEY: want 32")

	start(t, env, "serve")
	ebbline(t, env, "", "serve").want(t, exitCannot, "held by another ebbline process")
}
