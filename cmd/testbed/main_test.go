package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// The test binary is testbed itself when asked, and the command that testbed
// runs when asked otherwise: so everything here is tried as real processes.
func TestMain(m *testing.M) {
	switch os.Getenv("TESTBED_TEST_ROLE") {
	case "testbed":
		os.Setenv("TESTBED_TEST_ROLE", "command")
		main()
	case "command":
		os.Exit(command(os.Args[1:]))
	}
	os.Exit(m.Run())
}

// command prints the variables as a test would use them, then does as told.
func command(words []string) int {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, os.Getenv("EBBLINE_TEST_POSTGRES"))
	if err != nil {
		fmt.Println("postgres:", err)
		return 90
	}
	var fsync, user string
	var pid int
	// The parent of a backend is the server itself.
	err = conn.QueryRow(ctx, "SELECT current_setting('fsync'), current_user, pg_backend_pid()").Scan(&fsync, &user, &pid)
	if err != nil {
		fmt.Println("postgres:", err)
		return 91
	}
	if _, err := conn.Exec(ctx, "CREATE EXTENSION btree_gist"); err != nil {
		fmt.Println("postgres: the schema needs btree_gist:", err)
		return 92
	}
	_, server, _ := readStat("/proc/" + strconv.Itoa(pid) + "/stat")
	if err := pingRedis(os.Getenv("EBBLINE_TEST_REDIS")); err != nil {
		fmt.Println("redis:", err)
		return 93
	}
	_ = conn.Close(ctx)
	fmt.Printf("fsync %s\nuser %s\npostgres %d\nself %d\nready\n", fsync, user, server, os.Getpid())
	switch words[0] {
	case "exit":
		code, _ := strconv.Atoi(words[1])
		return code
	case "leave": // a process of its own that outlives the command
		left := exec.Command("sleep", "600")
		if err := left.Start(); err != nil {
			return 94
		}
		fmt.Println("left", left.Process.Pid)
		return 0
	default:
		time.Sleep(5 * time.Minute)
		return 95
	}
}

// bed is a running testbed.
type bed struct {
	cmd    *exec.Cmd
	facts  map[string]string // what command printed
	errors *bytes.Buffer
	tmp    string
	rest   io.Reader
}

// startBed runs testbed up to the moment the command has seen both servers.
func startBed(t *testing.T, words ...string) *bed {
	t.Helper()
	if testing.Short() {
		t.Skip("starts real servers, which takes a second each")
	}
	if err := findPrograms().complete(); err != nil {
		t.Skip("needs Postgres and Redis on this machine:", err)
	}
	b := &bed{facts: map[string]string{}, errors: &bytes.Buffer{}}
	// Not t.TempDir: the user that Postgres runs as may not enter it.
	tmp, err := os.MkdirTemp("", "tb-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(tmp) })
	if err := os.Chmod(tmp, 0o755); err != nil {
		t.Fatal(err)
	}
	b.tmp = tmp
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for i, word := range words {
		if word == "SELF" {
			words[i] = self
		}
	}
	b.cmd = exec.Command(self, words...)
	b.cmd.Env = append(os.Environ(), "TESTBED_TEST_ROLE=testbed", "TMPDIR="+tmp)
	b.cmd.Stderr = b.errors
	out, err := b.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := b.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = b.cmd.Process.Kill() })
	b.rest = out
	b.read(t, "ready")
	return b
}

// read takes lines "name value" until the line that is last; at the end of the
// output it stops too, and fails if that line never came.
func (b *bed) read(t *testing.T, last string) {
	t.Helper()
	one := make([]byte, 1)
	line := ""
	for {
		if _, err := b.rest.Read(one); err != nil {
			_ = b.cmd.Wait()
			t.Fatalf("output ended before %q: %v\nlast line %q, errors: %s", last, err, line, b.errors)
		}
		if one[0] != '\n' {
			line += string(one)
			continue
		}
		name, value, _ := strings.Cut(line, " ")
		if b.facts[name] = value; name == last {
			return
		}
		line = ""
	}
}

func (b *bed) pid(t *testing.T, name string) int {
	t.Helper()
	pid, err := strconv.Atoi(b.facts[name])
	if err != nil || pid <= 1 {
		t.Fatalf("no process id for %s in %v", name, b.facts)
	}
	return pid
}

// wait answers the exit code of testbed.
func (b *bed) wait(t *testing.T) int {
	t.Helper()
	done := make(chan error, 1)
	go func() { _, _ = io.Copy(io.Discard, b.rest); done <- b.cmd.Wait() }()
	select {
	case err := <-done:
		return exitCode(err)
	case <-time.After(60 * time.Second):
		t.Fatal("testbed does not end")
		return -1
	}
}

// gone fails if one of the processes lives on, or a folder is left.
func (b *bed) gone(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		pid := b.pid(t, name)
		for tries := 0; alive(pid); tries++ {
			if tries == 200 {
				t.Fatalf("%s, process %d, lives on", name, pid)
			}
			time.Sleep(50 * time.Millisecond)
		}
	}
}

func (b *bed) tidy(t *testing.T) {
	t.Helper()
	left, err := os.ReadDir(b.tmp)
	if err != nil {
		t.Fatal(err)
	}
	for _, entry := range left {
		t.Errorf("left behind: %s", entry.Name())
	}
}

// alive: a process that has ended but is not yet waited for counts as gone.
func alive(pid int) bool {
	text, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
	if err != nil {
		return false
	}
	_, rest, _ := bytes.Cut(text, []byte(") "))
	return len(rest) > 0 && rest[0] != 'Z' && rest[0] != 'X'
}

func TestTheExitCodeOfTheCommandComesBack(t *testing.T) {
	for _, code := range []int{0, 7} {
		b := startBed(t, "--", "SELF", "exit", strconv.Itoa(code))
		if got := b.wait(t); got != code {
			t.Errorf("command ended with %d, testbed with %d: %s", code, got, b.errors)
		}
		if b.facts["fsync"] != "off" || b.facts["user"] != "postgres" {
			t.Errorf("want fsync off and user postgres, have %v", b.facts)
		}
		b.gone(t, "postgres", "self")
		b.tidy(t)
	}
}

func TestDurableTurnsFsyncOn(t *testing.T) {
	b := startBed(t, "-durable", "--", "SELF", "exit", "0")
	if b.wait(t); b.facts["fsync"] != "on" {
		t.Errorf("fsync is %q", b.facts["fsync"])
	}
}

func TestAnInterruptionStopsEverything(t *testing.T) {
	for _, signal := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
		b := startBed(t, "SELF", "sleep")
		if err := b.cmd.Process.Signal(signal); err != nil {
			t.Fatal(err)
		}
		if got, want := b.wait(t), 128+int(signal); got != want {
			t.Errorf("after %s: exit code %d, want %d: %s", signal, got, want, b.errors)
		}
		b.gone(t, "postgres", "self")
		b.tidy(t)
	}
}

func TestKilledCommandStopsTheServers(t *testing.T) {
	b := startBed(t, "SELF", "sleep")
	if err := syscall.Kill(b.pid(t, "self"), syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	if got, want := b.wait(t), 128+int(syscall.SIGKILL); got != want {
		t.Errorf("exit code %d, want %d", got, want)
	}
	b.gone(t, "postgres")
	b.tidy(t)
}

// Nobody can tidy up after kill -9, but nothing may run on.
func TestKilledTestbedLeavesNothingRunning(t *testing.T) {
	b := startBed(t, "SELF", "sleep")
	if err := b.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = b.cmd.Wait()
	b.gone(t, "postgres", "self")
}

func TestADeadServerEndsTheCommand(t *testing.T) {
	b := startBed(t, "SELF", "sleep")
	if err := syscall.Kill(b.pid(t, "postgres"), syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	if got := b.wait(t); got == 0 {
		t.Error("exit code 0 although Postgres was gone")
	}
	if !strings.Contains(b.errors.String(), "postgres ended while the command ran") {
		t.Errorf("not said: %s", b.errors)
	}
	b.gone(t, "self")
	b.tidy(t)
}

func TestWhatTheCommandLeftRunningIsEnded(t *testing.T) {
	b := startBed(t, "SELF", "leave")
	b.read(t, "left")
	if got := b.wait(t); got != 0 {
		t.Errorf("exit code %d: %s", got, b.errors)
	}
	b.gone(t, "left", "postgres")
}

func TestWrongUse(t *testing.T) {
	var out bytes.Buffer
	for _, args := range [][]string{{}, {"-nonsense"}, {"-durable"}} {
		if got := run(args, nil, &out); got != 2 {
			t.Errorf("%v: exit code %d, want 2", args, got)
		}
	}
}

func TestAVariableThatPointsNowhereIsNamed(t *testing.T) {
	for _, variable := range []string{"PG_BIN", "REDIS_SERVER", "CHROMIUM"} {
		t.Run(variable, func(t *testing.T) {
			t.Setenv(variable, filepath.Join(t.TempDir(), "nowhere"))
			var out bytes.Buffer
			if got := run([]string{"true"}, nil, &out); got != 1 || !strings.Contains(out.String(), variable+"=") {
				t.Errorf("exit code %d, said %q", got, out.String())
			}
		})
	}
}

func TestAServerThatCannotStartSaysWhy(t *testing.T) {
	broken := filepath.Join(t.TempDir(), "redis")
	if err := os.WriteFile(broken, []byte("#!/bin/sh\necho out of luck\nexit 1\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	p := place{dir: t.TempDir()}
	_, err := startRedis(p, broken, false)
	if err == nil || !strings.Contains(err.Error(), "out of luck") {
		t.Errorf("have %v, want the server's own words", err)
	}
	if errors.Is(err, os.ErrExist) {
		t.Error("the folder of the first try is in the way of the next")
	}
}
