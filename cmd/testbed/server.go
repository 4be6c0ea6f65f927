package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// How long a server may take to answer first, and to stop after each signal.
const (
	startLimit = 60 * time.Second
	stopLimit  = 15 * time.Second
)

// server is one running Postgres or Redis.
type server struct {
	name    string
	address string // as the tests are told it
	cmd     *exec.Cmd
	ended   chan struct{} // closed when the process is gone
	signals []syscall.Signal
	log     string
}

// start runs the program in a process group of its own, so that Ctrl-C at the
// terminal does not reach it before the command is done. When testbed itself is
// killed, the kernel sends the server the first of its stop signals.
func (s *server) start(p place, program string, args ...string) error {
	s.log = filepath.Join(p.dir, s.name+".log")
	log, err := os.OpenFile(s.log, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer log.Close()
	s.cmd = exec.Command(program, args...)
	s.cmd.Dir = p.dir
	s.cmd.Env = serverEnv(p)
	s.cmd.Stdout, s.cmd.Stderr = log, log
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Credential: p.as, Pdeathsig: s.signals[0]}
	if err := s.cmd.Start(); err != nil {
		return fmt.Errorf("starting %s: %w", s.name, err)
	}
	s.ended = make(chan struct{})
	go func() {
		_ = s.cmd.Wait() // how it ended is in ProcessState
		close(s.ended)
	}()
	return nil
}

// serverEnv keeps the servers from settings meant for the tests' own clients.
func serverEnv(p place) []string {
	return []string{"PATH=" + os.Getenv("PATH"), "HOME=" + p.dir, "LC_ALL=C.UTF-8", "TZ=UTC"}
}

// await asks until ready says yes, the server ends, or the limit is past.
func (s *server) await(ready func() error) error {
	deadline := time.Now().Add(startLimit)
	for {
		last := ready()
		if last == nil {
			return nil
		}
		if time.Now().After(deadline) {
			return fmt.Errorf("%s did not answer within %s: %w\n%s", s.name, startLimit, last, s.tail())
		}
		select {
		case <-s.ended:
			return fmt.Errorf("%s ended at once: %s\n%s", s.name, s.cmd.ProcessState, s.tail())
		case <-time.After(25 * time.Millisecond):
		}
	}
}

// stop sends the stop signals one after the other until the process is gone.
// A server that was gone before is no error here: runCommand has reported it.
func (s *server) stop() error {
	for _, signal := range append(s.signals, syscall.SIGKILL) {
		if err := s.cmd.Process.Signal(signal); err != nil && !errors.Is(err, os.ErrProcessDone) {
			return fmt.Errorf("stopping %s, process %d: %w", s.name, s.cmd.Process.Pid, err)
		}
		select {
		case <-s.ended:
			return nil
		case <-time.After(stopLimit):
		}
	}
	return fmt.Errorf("%s, process %d, does not end", s.name, s.cmd.Process.Pid)
}

// tail answers the last lines of the server's log, for an error message.
func (s *server) tail() string {
	text, err := os.ReadFile(s.log)
	if err != nil {
		return ""
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	return strings.Join(lines[max(0, len(lines)-15):], "\n")
}
