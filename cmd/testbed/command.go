package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"syscall"
	"time"

	"golang.org/x/term"
)

// killAfter is how long the command may take to end after a signal or a
// server's death before it is killed. A second signal kills at once.
const killAfter = 20 * time.Second

// runCommand runs the command in a process group of its own and answers its
// exit code. Signals are passed on to the group; what is left of the group when
// the command has ended is ended too, so that no test server outlives its test.
func runCommand(command, env []string, signals <-chan os.Signal, servers ...*server) (int, error) {
	select {
	case signal := <-signals: // came while the servers started
		return 128 + int(signal.(syscall.Signal)), nil
	default:
	}
	cmd := exec.Command(command[0], command[1:]...)
	cmd.Env = env
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, os.Stdout, os.Stderr
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGTERM}
	if term.IsTerminal(int(os.Stdin.Fd())) {
		// A background group may not read the terminal, so the command's gets it.
		cmd.SysProcAttr.Foreground, cmd.SysProcAttr.Ctty = true, int(os.Stdin.Fd())
	}
	if err := cmd.Start(); err != nil {
		return 1, err
	}
	group := cmd.Process.Pid
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()

	dead := make(chan *server, len(servers))
	for _, s := range servers {
		go func() { <-s.ended; dead <- s }()
	}

	var failed error
	var kill <-chan time.Time
	for told := 0; ; {
		select {
		case err := <-ended:
			endGroup(group)
			return exitCode(err), failed
		case signal := <-signals:
			if told++; told > 1 {
				signal = syscall.SIGKILL
			}
			signalGroup(group, signal.(syscall.Signal))
			kill = time.After(killAfter)
		case s := <-dead:
			failed = errors.Join(failed, fmt.Errorf("%s ended while the command ran: %s\n%s", s.name, s.cmd.ProcessState, s.tail()))
			signalGroup(group, syscall.SIGTERM)
			kill = time.After(killAfter)
		case <-kill:
			signalGroup(group, syscall.SIGKILL)
		}
	}
}

// endGroup ends what the command left running: politely, then for good.
func endGroup(group int) {
	signalGroup(group, syscall.SIGTERM)
	for range 40 {
		if !signalGroup(group, 0) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	signalGroup(group, syscall.SIGKILL)
}

// signalGroup answers whether the group still has a member.
func signalGroup(group int, signal syscall.Signal) bool {
	return syscall.Kill(-group, signal) == nil
}

// exitCode is the command's own, or 128 plus the signal that ended it.
func exitCode(err error) int {
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &exit):
		if status, ok := exit.Sys().(syscall.WaitStatus); ok && status.Signaled() {
			return 128 + int(status.Signal())
		}
		return exit.ExitCode()
	default:
		return 1
	}
}
