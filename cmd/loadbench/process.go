package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"time"
)

// process is a server that was started, and where it answers.
type process struct {
	cmd *exec.Cmd
	url string
}

// startProcess starts a program and waits for the line that begins with says
// and goes on with the address.
func startProcess(ctx context.Context, env []string, says, program string, words ...string) (*process, error) {
	cmd := exec.CommandContext(ctx, program, words...)
	cmd.Env = append(os.Environ(), env...)
	cmd.Stderr = os.Stderr
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGTERM}
	cmd.Cancel = func() error { return cmd.Process.Signal(syscall.SIGTERM) }
	cmd.WaitDelay = 30 * time.Second
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	p := &process{cmd: cmd}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if url, ok := strings.CutPrefix(lines.Text(), says); ok {
			p.url = url
			go func() { // a pipe that nobody reads would stop the program
				for lines.Scan() {
				}
			}()
			return p, nil
		}
	}
	return nil, fmt.Errorf("%s %s ended before it answered: %w", program, strings.Join(words, " "), cmd.Wait())
}

// end stops the process and waits for it.
func (p *process) end() error {
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		return err
	}
	err := p.cmd.Wait()
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == -1 {
		return nil // the signal itself ended it
	}
	return err
}
