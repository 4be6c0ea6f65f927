package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// The test binary is the program itself when asked, so that whole processes are
// started, told and killed without building another binary.
func TestMain(m *testing.M) {
	if os.Getenv("EBBLINE_TEST_RUN") == "ebbline" {
		os.Unsetenv("EBBLINE_TEST_RUN")
		crash = crashAt(os.Getenv("EBBLINE_TEST_CRASH"), os.Getenv("EBBLINE_TEST_CRASH_AFTER"))
		main()
	}
	os.Exit(m.Run())
}

// process is a running ebbline.
type process struct {
	cmd  *exec.Cmd
	url  string // what serve has announced
	errs *buffer
	done chan struct{} // closed when it has ended
}

// buffer may be written and read at the same time. It has no other methods of
// a bytes.Buffer: copying would find ReadFrom, and go past the lock.
type buffer struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (b *buffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *buffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}

// start runs ebbline with settings and words. It is killed when the test ends.
func start(t *testing.T, env []string, words ...string) *process {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	p := &process{cmd: exec.Command(self, words...), errs: &buffer{}, done: make(chan struct{})}
	p.cmd.Env = append([]string{"EBBLINE_TEST_RUN=ebbline", "PATH=" + os.Getenv("PATH"), "HOME=" + t.TempDir()}, env...)
	p.cmd.Stderr = p.errs
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	announced := make(chan string, 1)
	go func() {
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if url, ok := strings.CutPrefix(lines.Text(), "Ebbline serves "); ok {
				announced <- url
			}
			fmt.Fprintln(p.errs, lines.Text())
		}
		_ = p.cmd.Wait() // how it ended is in ProcessState
		close(p.done)
	}()
	t.Cleanup(func() {
		_ = p.cmd.Process.Kill() // it may have ended
		<-p.done
		if t.Failed() {
			t.Logf("ebbline %s said:\n%s", strings.Join(words, " "), p.errs)
		}
	})
	if words[0] == "serve" || words[0] == "demo" {
		select {
		case p.url = <-announced:
		case <-p.done:
			t.Fatalf("%s ended at once: %s\n%s", words[0], p.cmd.ProcessState, p.errs)
		case <-time.After(30 * time.Second):
			t.Fatalf("%s does not say where:\n%s", words[0], p.errs)
		}
	}
	return p
}

// end sends the signal and answers the exit code.
func (p *process) end(t *testing.T, signal syscall.Signal) int {
	t.Helper()
	if err := p.cmd.Process.Signal(signal); err != nil {
		t.Fatal(err)
	}
	select {
	case <-p.done:
		return p.cmd.ProcessState.ExitCode()
	case <-time.After(30 * time.Second):
		t.Fatalf("does not end:\n%s", p.errs)
		return -1
	}
}

// browser keeps cookies as a browser does.
func browser(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar, Timeout: 30 * time.Second}
}

// fetch answers status and body.
func fetch(t *testing.T, client *http.Client, method, url, body string, headers ...string) (int, string) {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if body != "" {
		request.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		request.Header.Set(headers[i], headers[i+1])
	}
	answer, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}
