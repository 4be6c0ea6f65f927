package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
)

// installer puts missing programs on a Debian machine. Its fields are what
// differs between the machine and a test.
type installer struct {
	found   func() programs
	policy  string   // the file that package scripts ask before they start a service
	asRoot  []string // words before a command that needs root: none, or sudo
	servers []string // names of processes that an installed service would run as
}

func debian() installer {
	in := installer{found: findPrograms, policy: "/usr/sbin/policy-rc.d", servers: []string{"postgres", "redis-server"}}
	if os.Geteuid() != 0 {
		in.asRoot = []string{"sudo"}
	}
	return in
}

// install says what it will install, installs it, and leaves no service running
// that was not running before.
func (in installer) install(out io.Writer) error {
	found := in.found()
	if len(found.wrong) > 0 {
		return errors.Join(found.wrong...)
	}
	var packages []string
	if found.pgBin == "" {
		packages = append(packages, "postgresql")
	}
	if found.redis == "" {
		packages = append(packages, "redis-server")
	}
	if found.chromium == "" {
		packages = append(packages, "chromium", "fonts-liberation")
	}
	if len(packages) == 0 {
		return nil
	}
	if firstInPath("apt-get") == "" {
		return fmt.Errorf("%s missing and there is no apt-get here: install them yourself, and set PG_BIN, REDIS_SERVER and CHROMIUM if they are not on PATH", strings.Join(packages, ", "))
	}
	if len(in.asRoot) > 0 && firstInPath(in.asRoot[0]) == "" {
		return fmt.Errorf("installing %s needs root or sudo", strings.Join(packages, ", "))
	}
	fmt.Fprintf(out, "testbed: installing the Debian packages %s; their services are not started\n", strings.Join(packages, ", "))

	before := runningAs(in.servers)
	undo, err := in.forbidStarts()
	if err != nil {
		return err
	}
	defer undo()
	if err := in.root(out, "apt-get", "-q", "update"); err != nil {
		return err
	}
	install := append([]string{"env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-q", "-y", "--no-install-recommends", "install"}, packages...)
	if err := in.root(out, install...); err != nil {
		return err
	}
	return errors.Join(in.disable(out, packages), in.stopNew(out, before))
}

// witnesses are programs of others that a few tests ask for a second opinion, with the
// Debian packages that hold them.
var witnesses = []struct{ program, packaged, says string }{
	{"pdftotext", "poppler-utils", "what a PDF says"},
	{"planetsplitter", "routino", "how far places lie apart by road"},
}

// installWitnesses installs what is missing of them where that can be done. Those tests
// skip without them, so a machine without a network is no reason to stop.
func (in installer) installWitnesses(out io.Writer, there func(program string) bool) {
	var packages []string
	for _, w := range witnesses {
		if !there(w.program) {
			packages = append(packages, w.packaged)
		}
	}
	if len(packages) == 0 {
		return
	}
	fmt.Fprintf(out, "testbed: installing the Debian packages %s, which some tests ask for a second opinion\n", strings.Join(packages, ", "))
	patient := []string{"apt-get", "-q", "-y", "-o", "Acquire::Retries=0", "-o", "Acquire::http::Timeout=20"}
	words := append(append([]string{"env", "DEBIAN_FRONTEND=noninteractive"}, patient...), "--no-install-recommends", "install")
	err := in.root(io.Discard, append(words, packages...)...)
	if err != nil { // the lists may be older than the packages
		if err = in.root(io.Discard, append(patient, "update")...); err == nil {
			err = in.root(out, append(words, packages...)...)
		}
	}
	for _, w := range witnesses {
		if err != nil && !there(w.program) {
			fmt.Fprintf(out, "testbed: no %s here (%v): nobody else is asked %s\n", w.packaged, err, w.says)
		}
	}
}

// forbidStarts makes package scripts leave services alone while we install
// (Debian policy 9.11.1: exit code 101 of policy-rc.d), unless the machine has
// a policy of its own, which is then kept and obeyed.
func (in installer) forbidStarts() (undo func(), err error) {
	if exists(in.policy) {
		return func() {}, nil
	}
	file, err := os.CreateTemp("", "policy-rc.d-")
	if err != nil {
		return nil, err
	}
	defer os.Remove(file.Name())
	_, err = file.WriteString("#!/bin/sh\nexit 101\n")
	if err = errors.Join(err, file.Close()); err != nil {
		return nil, err
	}
	if err := in.root(io.Discard, "install", "-m", "755", file.Name(), in.policy); err != nil {
		return nil, err
	}
	return func() { _ = in.root(io.Discard, "rm", "-f", in.policy) }, nil
}

// disable keeps the new services from starting at the next boot, where systemd
// runs the machine.
func (in installer) disable(out io.Writer, packages []string) error {
	var failed error
	if !exists("/run/systemd/system") {
		return nil
	}
	for _, service := range []string{"postgresql", "redis-server"} {
		if slices.Contains(packages, service) {
			failed = errors.Join(failed, in.root(out, "systemctl", "disable", "--now", service))
		}
	}
	return failed
}

// stopNew ends servers that the installation started all the same.
func (in installer) stopNew(out io.Writer, before []int) error {
	var failed error
	for _, pid := range runningAs(in.servers) {
		if !slices.Contains(before, pid) {
			fmt.Fprintf(out, "testbed: stopping process %d, which the installation started\n", pid)
			failed = errors.Join(failed, in.root(out, "kill", "-TERM", strconv.Itoa(pid)))
		}
	}
	return failed
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func (in installer) root(out io.Writer, words ...string) error {
	words = append(slices.Clone(in.asRoot), words...)
	cmd := exec.Command(words[0], words[1:]...)
	cmd.Stdout, cmd.Stderr = out, out
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGTERM}
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w", strings.Join(words, " "), err)
	}
	return nil
}

// runningAs lists the processes with one of these names whose parent is not a
// process of the same name: the servers themselves, not their helpers.
func runningAs(names []string) []int {
	var pids []int
	files, _ := filepath.Glob("/proc/[0-9]*/stat") // the pattern is right, so no error
	for _, file := range files {
		name, parent, ok := readStat(file)
		if !ok || !slices.Contains(names, name) {
			continue
		}
		if above, _, ok := readStat("/proc/" + strconv.Itoa(parent) + "/stat"); ok && above == name {
			continue
		}
		pid, _ := strconv.Atoi(filepath.Base(filepath.Dir(file))) // the glob allows digits only
		pids = append(pids, pid)
	}
	return pids
}

// readStat answers name and parent from a /proc/PID/stat line: "12 (name) S 1 …".
func readStat(file string) (name string, parent int, ok bool) {
	text, err := os.ReadFile(file)
	if err != nil {
		return "", 0, false // ended between the listing and now
	}
	open, shut := strings.IndexByte(string(text), '('), strings.LastIndexByte(string(text), ')')
	if open < 0 || shut < open {
		return "", 0, false
	}
	rest := strings.Fields(string(text[shut+1:]))
	if len(rest) < 2 {
		return "", 0, false
	}
	parent, err = strconv.Atoi(rest[1])
	return string(text[open+1 : shut]), parent, err == nil
}
