package main

import (
	"os"
	"strings"
	"syscall"
	"testing"
	"time"
)

// testRedis is the settings' address of the test server, one number each so
// that tests do not wake each other.
func testRedis(t *testing.T) string {
	t.Helper()
	address := os.Getenv("EBBLINE_TEST_REDIS")
	if address == "" {
		t.Skip("set EBBLINE_TEST_REDIS to test with two processes")
	}
	return "redis://" + address + "/7"
}

func TestWorkNeedsADatabaseOfItsOwn(t *testing.T) {
	ebbline(t, inFolder(t), "", "work").want(t, exitWrongUse, "SQLite file", "serve does this work itself")
}

func TestWorkRefuses(t *testing.T) {
	env := append(inFolder(t), "EBBLINE_DATABASE="+freshPostgres(t))
	ebbline(t, env, "", "work").want(t, exitCannot, "run ebbline migrate")
	ebbline(t, env, "", "migrate").want(t, exitDone)
	for setting, want := range map[string]string{
		"EBBLINE_SMTP=ftp://mail.example.com":    "EBBLINE_SMTP: a mail server's address",
		"EBBLINE_SMS_URL=http://sms.example.com": "EBBLINE_SMS_URL: ",
	} {
		ebbline(t, append(env, setting, "EBBLINE_SMS_SECRET=long enough to keep"), "", "work").want(t, exitWrongUse, want)
	}
}

func TestServeAndWorkAsTwoProcesses(t *testing.T) {
	env := append(inFolder(t), "EBBLINE_DATABASE="+freshPostgres(t), "EBBLINE_REDIS="+testRedis(t))
	ebbline(t, env, "", "migrate").want(t, exitDone)
	serve := start(t, append(env, "EBBLINE_LISTEN=127.0.0.1:0"), "serve")
	work := start(t, append(env, "EBBLINE_PUBLIC_URL="+serve.url), "work")
	if status, body := fetch(t, browser(t), "GET", serve.url+"/readyz", ""); status != 200 {
		t.Errorf("ready: %d %s", status, body)
	}
	for waited := 0; !strings.Contains(work.errs.String(), "working"); waited++ {
		if waited == 200 {
			t.Fatal("work does not say that it works")
		}
		time.Sleep(50 * time.Millisecond)
	}
	if code := work.end(t, syscall.SIGTERM); code != exitDone {
		t.Errorf("work ended with %d", code)
	}
	if code := serve.end(t, syscall.SIGINT); code != exitDone {
		t.Errorf("serve ended with %d", code)
	}
}

// Redis is away: nothing is lost, but no new traffic is asked for.
func TestServeIsNotReadyWithoutRedis(t *testing.T) {
	env := append(inFolder(t), "EBBLINE_DATABASE="+freshPostgres(t), "EBBLINE_REDIS=redis://127.0.0.1:1/0", "EBBLINE_LISTEN=127.0.0.1:0")
	ebbline(t, env, "", "migrate").want(t, exitDone)
	serve := start(t, env, "serve")
	if status, body := fetch(t, browser(t), "GET", serve.url+"/readyz", ""); status != 503 {
		t.Errorf("ready: %d %s", status, body)
	}
	if status, _ := fetch(t, browser(t), "GET", serve.url+"/livez", ""); status != 200 {
		t.Errorf("alive: %d", status)
	}
}
