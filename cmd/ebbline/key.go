package main

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// keyBytes is the least length of the key that signs sessions: RFC 7518,
// section 3.2, wants a key as long as the hash, 256 bits.
const keyBytes = 32

// signingKey answers the key from the setting, or the one in the data folder,
// which is made the first time.
func (c config) signingKey() ([]byte, error) {
	if c.Key != "" {
		return parseKey("EBBLINE_KEY", c.Key)
	}
	if err := os.MkdirAll(c.Data, 0o700); err != nil {
		return nil, err
	}
	path := filepath.Join(c.Data, "signing-key")
	key, err := readKey(path)
	if !errors.Is(err, fs.ErrNotExist) {
		return key, err
	}
	return makeKey(path)
}

func readKey(path string) ([]byte, error) {
	about, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if about.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("%s may be read by others: chmod 600 it, or delete it to sign everybody out and have a new one made", path)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return parseKey(path, strings.TrimSpace(string(text)))
}

// makeKey writes the file whole or not at all, and takes another process's key
// where that was quicker.
func makeKey(path string) ([]byte, error) {
	key := make([]byte, keyBytes)
	if _, err := rand.Read(key); err != nil {
		return nil, err
	}
	file, err := os.CreateTemp(filepath.Dir(path), "signing-key-") // made 0600
	if err != nil {
		return nil, err
	}
	defer os.Remove(file.Name())
	_, err = file.WriteString(hex.EncodeToString(key) + "\n")
	if err := errors.Join(err, file.Sync(), file.Close()); err != nil {
		return nil, err
	}
	if err := os.Link(file.Name(), path); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, err
	}
	return readKey(path)
}

func parseKey(from, text string) ([]byte, error) {
	key, err := hex.DecodeString(text)
	if err != nil || len(key) < keyBytes {
		return nil, fmt.Errorf("%s: want %d or more random bytes in hex, such as `openssl rand -hex %d` prints", from, keyBytes, keyBytes)
	}
	return key, nil
}
