package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func TestKeyIsMadeOnceAndPrivate(t *testing.T) {
	c := config{Data: filepath.Join(t.TempDir(), "data")}
	keys := make([][]byte, 8)
	var all sync.WaitGroup
	for i := range keys {
		all.Go(func() {
			key, err := c.signingKey()
			if err != nil {
				t.Error(err)
			}
			keys[i] = key
		})
	}
	all.Wait()
	for _, key := range keys {
		if len(key) != keyBytes || !bytes.Equal(key, keys[0]) {
			t.Fatalf("eight starts at once made different keys, or a short one: %d bytes", len(key))
		}
	}
	about, err := os.Stat(filepath.Join(c.Data, "signing-key"))
	if err != nil || about.Mode().Perm() != 0o600 {
		t.Errorf("file: %v, %v", about.Mode(), err)
	}
	left, err := os.ReadDir(c.Data)
	if err != nil || len(left) != 1 {
		t.Errorf("left in the folder: %v, %v", left, err)
	}
}

func TestKeyThatOthersMayReadIsRefused(t *testing.T) {
	c := config{Data: t.TempDir()}
	if _, err := c.signingKey(); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(filepath.Join(c.Data, "signing-key"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := c.signingKey(); err == nil || !strings.Contains(err.Error(), "may be read by others") {
		t.Errorf("have %v", err)
	}
}

func TestKeyFromTheSetting(t *testing.T) {
	for text, good := range map[string]bool{
		strings.Repeat("ab", 32): true,
		strings.Repeat("ab", 31): false, // RFC 7518: not shorter than the hash
		"not hexadecimal":        false,
	} {
		if key, err := (config{Key: text}).signingKey(); (err == nil) != good || (good && len(key) != 32) {
			t.Errorf("%q: %d bytes, %v", text, len(key), err)
		}
		if _, err := (config{Key: text}).signingKey(); err != nil && strings.Contains(err.Error(), text) {
			t.Errorf("shows the key: %v", err)
		}
	}
}
