package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// fakeAptGet puts an apt-get on PATH that notes its words and whether services
// were forbidden at that moment.
func fakeAptGet(t *testing.T, policy string) (notes string) {
	t.Helper()
	dir := t.TempDir()
	notes = filepath.Join(dir, "notes")
	script := "#!/bin/sh\nforbidden=no\n[ -x " + policy + " ] && { " + policy + "; [ $? = 101 ] && forbidden=yes; }\n" +
		"echo \"$* forbidden=$forbidden\" >>" + notes + "\n"
	if err := os.WriteFile(filepath.Join(dir, "apt-get"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+":"+os.Getenv("PATH"))
	return notes
}

func TestInstallSaysWhatItInstallsAndForbidsServices(t *testing.T) {
	policy := filepath.Join(t.TempDir(), "policy-rc.d")
	notes := fakeAptGet(t, policy)
	in := installer{found: func() programs { return programs{chromium: "/usr/bin/chromium"} }, policy: policy}
	var out bytes.Buffer
	if err := in.install(&out); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "installing the Debian packages postgresql, redis-server;") {
		t.Errorf("said %q", out.String())
	}
	done, err := os.ReadFile(notes)
	if err != nil {
		t.Fatal(err)
	}
	want := "-q update forbidden=yes\n-q -y --no-install-recommends install postgresql redis-server forbidden=yes\n"
	if string(done) != want {
		t.Errorf("did %q\nwant %q", done, want)
	}
	if _, err := os.Stat(policy); !os.IsNotExist(err) {
		t.Error("services are still forbidden afterwards")
	}
}

func TestInstallKeepsThePolicyOfTheMachine(t *testing.T) {
	policy := filepath.Join(t.TempDir(), "policy-rc.d")
	own := []byte("#!/bin/sh\nexit 101 # ours\n")
	if err := os.WriteFile(policy, own, 0o755); err != nil {
		t.Fatal(err)
	}
	fakeAptGet(t, policy)
	in := installer{found: func() programs { return programs{} }, policy: policy}
	if err := in.install(&bytes.Buffer{}); err != nil {
		t.Fatal(err)
	}
	if now, err := os.ReadFile(policy); err != nil || !bytes.Equal(now, own) {
		t.Errorf("changed to %q, %v", now, err)
	}
}

func TestInstallDoesNothingWhenAllIsThere(t *testing.T) {
	notes := fakeAptGet(t, "/nonexistent")
	in := installer{found: func() programs { return programs{pgBin: "a", redis: "b", chromium: "c"} }, policy: "/nonexistent"}
	var out bytes.Buffer
	if err := in.install(&out); err != nil || out.Len() > 0 {
		t.Errorf("said %q, %v", out.String(), err)
	}
	if _, err := os.Stat(notes); !os.IsNotExist(err) {
		t.Error("apt-get was called")
	}
}

// What others are asked with is installed too, and a machine that can't get it goes on.
func TestInstallAsksForWitnesses(t *testing.T) {
	notes := fakeAptGet(t, "/nonexistent")
	var out bytes.Buffer
	installer{}.installWitnesses(&out, func(program string) bool { return program == "pdftotext" })
	if done, err := os.ReadFile(notes); err != nil || !strings.Contains(string(done), "install routino ") || strings.Contains(string(done), "poppler") {
		t.Errorf("did %q, %v", done, err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "apt-get"), []byte("#!/bin/sh\nexit 100\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+":"+os.Getenv("PATH"))
	out.Reset()
	installer{}.installWitnesses(&out, func(string) bool { return false })
	if said := out.String(); !strings.Contains(said, "no routino here") || !strings.Contains(said, "no poppler-utils here") {
		t.Errorf("said %q", said)
	}
}

func TestInstallStopsWhatItStarted(t *testing.T) {
	before := runningAs([]string{"sleep"})
	started := exec.Command("sleep", "600")
	if err := started.Start(); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	in := installer{servers: []string{"sleep"}}
	if err := in.stopNew(&out, before); err != nil {
		t.Error(err)
	}
	if err := started.Wait(); exitCode(err) != 128+15 {
		t.Errorf("ended with %v, want the signal", err)
	}
}
