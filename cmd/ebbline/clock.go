package main

import (
	"time"

	"github.com/google/uuid"
)

// wallClock is the real jobs.Clock.
type wallClock struct{}

func (wallClock) Now() time.Time { return time.Now().UTC().Truncate(time.Second) }

// uuids is the real jobs.IDs: UUIDs of version 7 (RFC 9562), in lower case.
type uuids struct{}

// New panics only where the system has no randomness, and then nothing that
// needs an id may go on.
func (uuids) New() string { return uuid.Must(uuid.NewV7()).String() }
