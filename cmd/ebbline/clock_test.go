package main

import (
	"testing"
	"time"

	"ebbline/jobs"
)

var (
	_ jobs.Clock = wallClock{}
	_ jobs.IDs   = uuids{}
)

func TestWallClockIsUTCInWholeSeconds(t *testing.T) {
	now := wallClock{}.Now()
	if now.Location() != time.UTC || now.Nanosecond() != 0 {
		t.Errorf("have %s", now)
	}
	if off := time.Since(now); off < 0 || off > 5*time.Second {
		t.Errorf("off by %s", off)
	}
}

// RFC 9562, section 5.7: 48 bits of Unix milliseconds first, then version 7.
func TestIDsAreUUIDsOfVersion7(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		id := uuids{}.New()
		if !jobs.ValidID(id) || id[14] != '7' || seen[id] {
			t.Fatalf("have %q", id)
		}
		seen[id] = true
	}
}
