package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

// ran is what a run of the program came to.
type ran struct {
	code      int
	out, errs string
}

// ebbline runs the program with settings, standard input and words.
func ebbline(t *testing.T, environ []string, in string, args ...string) ran {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(context.Background(), args, environ, strings.NewReader(in), &out, &errs)
	return ran{code, out.String(), errs.String()}
}

// want fails unless the run ended with the code and said all the words.
func (r ran) want(t *testing.T, code int, said ...string) {
	t.Helper()
	if r.code != code {
		t.Fatalf("exit code %d, want %d\n%s%s", r.code, code, r.out, r.errs)
	}
	for _, words := range said {
		if !strings.Contains(r.out+r.errs, words) {
			t.Errorf("does not say %q:\n%s%s", words, r.out, r.errs)
		}
	}
}

func TestWrongUseOfTheCommandLine(t *testing.T) {
	for _, args := range [][]string{{}, {"dance"}, {"migrate", "--quickly"}, {"user", "add"}, {"user", "add", "--email=a@example.com", "--name=A", "--role=king"}} {
		ebbline(t, nil, "", args...).want(t, exitWrongUse, "ebbline: ")
	}
}

func TestHelpNamesTheCommands(t *testing.T) {
	ebbline(t, nil, "", "--help").want(t, exitDone, "migrate", "user add")
}

func TestAWrongSettingIsWrongUse(t *testing.T) {
	ebbline(t, []string{"EBBLINE_REDIS=localhost:6379"}, "", "migrate").want(t, exitWrongUse, "EBBLINE_REDIS")
}
