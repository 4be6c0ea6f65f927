package main

import (
	"strings"
	"testing"
)

// Every rule of the house catches a violation that is planted for it, and lets
// the nearest lawful form pass.
func TestHouseCatchesPlantedViolations(t *testing.T) {
	cases := []struct {
		name string
		file string
		code string // what follows the package clause
		want string // part of the only problem; empty: no problem
	}{
		{"clock in a pure package", "estimate/a.go", `import "time"; var at = time.Now()`, "estimate reads the clock by time.Now"},
		{"clock by another name", "jobs/a.go", `import t "time"; func f(x t.Time) { _ = t.Since(x) }`, "jobs reads the clock by time.Since"},
		{"clock as a value", "dispatch/a.go", `import "time"; var now = time.Now`, "dispatch reads the clock by time.Now"},
		{"time left until", "dispatch/search/a.go", `import "time"; func f(x time.Time) { _ = time.Until(x) }`, "dispatch/search reads the clock by time.Until"},
		{"clock in the store", "jobs/store/a.go", `import "time"; var at = time.Now()`, "jobs/store reads the clock"},
		{"clock in the server", "server/a.go", `import "time"; var at = time.Now()`, "server reads the clock"},
		{"clock in the worker", "worker/a.go", `import "time"; var at = time.Now()`, "worker reads the clock"},
		{"clock in a command", "cmd/ebbline/a.go", `import "time"; var at = time.Now()`, ""},
		{"clock in a test", "jobs/a_test.go", `import "time"; var at = time.Now()`, ""},
		{"clock in generated code", "server/a.gen.go", `import "time"; var at = time.Now()`, ""},
		{"a variable called time", "jobs/a.go", `type clock struct{ Now int }; func f(time clock) int { return time.Now }`, ""},
		{"arithmetic with time", "jobs/a.go", `import "time"; func f(x time.Time) time.Time { return x.Add(time.Hour) }`, ""},
		{"waiting in a pure package", "dispatch/search/a.go", `import "time"; func f() { <-time.After(1) }`, "waits by time.After"},
		{"ticker in the desk", "dispatch/desk/a.go", `import "time"; func f() { _ = time.NewTicker(1) }`, "waits by time.NewTicker"},
		{"timer in a pure package", "estimate/a.go", `import "time"; func f() { _ = time.NewTimer(1) }`, "waits by time.NewTimer"},
		{"sleep in the store", "jobs/store/a.go", `import "time"; func f() { time.Sleep(1) }`, "waits by time.Sleep"},
		{"deadline in a pure package", "dispatch/a.go", `import "context"; var f = context.WithTimeout`, "waits by context.WithTimeout"},
		{"ticker in the worker", "worker/a.go", `import "time"; func f() { _ = time.NewTicker(1) }`, ""},
		{"zone loaded in a pure package", "jobs/a.go", `import "time"; func f() { _, _ = time.LoadLocation("UTC") }`, "takes a zone from the system by time.LoadLocation"},
		{"the machine's own zone", "estimate/a.go", `import "time"; var zone = time.Local`, "takes a zone from the system by time.Local"},
		{"zone loaded at the desk", "dispatch/desk/a.go", `import "time"; func f() { _, _ = time.LoadLocation("UTC") }`, ""},
		{"global random source", "dispatch/search/a.go", `import "math/rand/v2"; var x = rand.IntN(6)`, "draws from the global random source by math/rand/v2.IntN"},
		{"global random source, old", "estimate/a.go", `import "math/rand"; var x = rand.Float64()`, "draws from the global random source by math/rand.Float64"},
		{"seeded random source", "dispatch/search/a.go", `import "math/rand/v2"; var x = rand.New(rand.NewPCG(1, 2)).IntN(6)`, ""},
		{"system random source", "jobs/a.go", `import "crypto/rand"; var x = rand.Reader`, "jobs is pure and imports crypto/rand"},
		{"limiter that reads the clock", "server/a.go", `import "golang.org/x/time/rate"; func f(l *rate.Limiter) bool { return l.Allow() }`, ".Allow reads the clock inside the limiter"},
		{"limiter that waits", "worker/a.go", `import "golang.org/x/time/rate"; func f(l *rate.Limiter) { _ = l.Wait(nil) }`, ".Wait reads the clock inside the limiter"},
		{"limiter that is told the instant", "server/a.go", `import ("time"; "golang.org/x/time/rate"); func f(l *rate.Limiter, now time.Time) bool { return l.AllowN(now, 1) }`, ""},
		{"files in a pure package", "estimate/a.go", `import "os"; var x = os.Args`, "estimate is pure and imports os"},
		{"network in a pure package", "jobs/a.go", `import "net/http"; var x http.Header`, "jobs is pure and imports net/http"},
		{"printing in a pure package", "dispatch/a.go", `import "fmt"; func f() { fmt.Println() }`, "is pure and prints by fmt.Println"},
		{"a library in a pure package", "jobs/a.go", `import _ "github.com/google/uuid"`, "jobs is pure and imports github.com/google/uuid"},
		{"GORM away from home", "dispatch/desk/a.go", `import _ "gorm.io/gorm"`, "imports gorm.io/gorm, whose home is jobs/store"},
		{"GORM in a command", "cmd/loadbench/a.go", `import _ "gorm.io/driver/postgres"`, "whose home is jobs/store"},
		{"GORM at home", "jobs/store/a.go", `import _ "gorm.io/gorm"`, ""},
		{"Gin away from home", "worker/a.go", `import _ "github.com/gin-gonic/gin"`, "whose home is server"},
		{"Gin in the server's folder", "server/api/a.go", `import _ "github.com/gin-gonic/gin"`, ""},
		{"tokens away from home", "server/a.go", `import _ "github.com/golang-jwt/jwt/v5"`, "whose home is server/auth"},
		{"the queue away from home", "dispatch/desk/a.go", `import _ "github.com/hibiken/asynq"`, "whose home is worker"},
		{"server imports worker", "server/a.go", `import _ "ebbline/worker"`, "server may not import worker"},
		{"worker imports server", "worker/a.go", `import _ "ebbline/server"`, "worker may not import server"},
		{"search imports check", "dispatch/search/a.go", `import _ "ebbline/dispatch/check"`, "dispatch/search may not import dispatch/check"},
		{"check imports search", "dispatch/check/a.go", `import _ "ebbline/dispatch/search"`, "dispatch/check may not import dispatch/search"},
		{"dispatch imports travel", "dispatch/a.go", `import _ "ebbline/dispatch/travel"`, "dispatch may not import dispatch/travel"},
		{"the desk imports travel", "dispatch/desk/a.go", `import _ "ebbline/dispatch/travel"`, ""},
		{"upward import", "jobs/a.go", `import _ "ebbline/jobs/store"`, "jobs may not import jobs/store"},
		{"the problem imports something", "dispatch/week/a.go", `import _ "ebbline/jobs"`, "dispatch/week may not import jobs"},
		{"a command imports anything", "cmd/ebbline/a.go", `import (_ "ebbline/server"; _ "ebbline/worker"; _ "ebbline/web")`, ""},
		{"a package without a place", "helpers/a.go", ``, "package helpers has no place in the house"},
		{"import by dot", "estimate/a.go", `import . "strings"`, "by dot"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			problems := checkSources(t, map[string]string{c.file: "package p\n" + c.code}, map[string]bool{})
			switch {
			case c.want == "" && len(problems) > 0:
				t.Errorf("lawful, but: %q", problems)
			case c.want != "" && (len(problems) != 1 || !strings.Contains(problems[0], c.want)):
				t.Errorf("have %q\nwant one with %q", problems, c.want)
			}
		})
	}
}

func TestHouseCatchesCircles(t *testing.T) {
	cases := map[string]struct {
		sources map[string]string
		want    string
	}{
		"packages": {map[string]string{
			"jobs/a.go":       `package jobs; import _ "ebbline/jobs/store"`,
			"jobs/store/a.go": `package store; import _ "ebbline/jobs"`,
		}, "packages in a circle: jobs -> jobs/store -> jobs"},
		// Lawful for Go: the packages themselves are in no circle.
		"folders": {map[string]string{
			"estimate/a.go":      `package estimate; import _ "ebbline/jobs"`,
			"jobs/store/a.go":    `package store; import _ "ebbline/dispatch"`,
			"dispatch/desk/a.go": `package desk; import _ "ebbline/jobs/store"`,
		}, "folders in a circle: dispatch -> jobs -> dispatch"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			problems := strings.Join(checkSources(t, c.sources, map[string]bool{}), "\n")
			if !strings.Contains(problems, c.want) {
				t.Errorf("have %s\nwant %s", problems, c.want)
			}
		})
	}
}

func TestTopLevelCatchesAStranger(t *testing.T) {
	problems := checkTopLevel([]string{".ci", "cmd", "bin", "utils", "go.mod"})
	if len(problems) != 1 || !strings.HasPrefix(problems[0], "utils:") {
		t.Errorf("have %q", problems)
	}
}
