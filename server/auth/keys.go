// Package auth makes and reads access tokens. It is the only home of JWT.
package auth

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// keyBytes is the least length of a key: HS256 wants as much as its hash
// (RFC 7518, 3.2).
const keyBytes = 32

// Ring holds the keys that tokens are signed with. The first signs; all of them
// verify, so that a new key can be put in front while tokens of the old one
// still live.
type Ring struct {
	first string
	keys  map[string][]byte // by kid
}

// ReadRing reads keys as text: one or more, parted by commas, each 32 bytes or
// more in unpadded base64url. The kid is made from the key.
func ReadRing(text string) (*Ring, error) {
	r := &Ring{keys: map[string][]byte{}}
	for i, one := range strings.Split(strings.TrimSpace(text), ",") {
		key, err := base64.RawURLEncoding.DecodeString(strings.TrimSpace(one))
		if err != nil {
			return nil, fmt.Errorf("key %d: not unpadded base64url", i+1)
		}
		if len(key) < keyBytes {
			return nil, fmt.Errorf("key %d: %d bytes; at least %d", i+1, len(key), keyBytes)
		}
		if weak(key) {
			return nil, fmt.Errorf("key %d: the same byte over and over is no key", i+1)
		}
		sum := sha256.Sum256(append([]byte("ebbline kid "), key...))
		kid := hex.EncodeToString(sum[:6])
		if i == 0 {
			r.first = kid
		}
		r.keys[kid] = key
	}
	return r, nil
}

func weak(key []byte) bool {
	for _, b := range key {
		if b != key[0] {
			return false
		}
	}
	return true
}

// LoadRing takes the keys from text (the environment's EBBLINE_KEY) or, where
// that is empty, from the file "key" in the data folder, which it makes once
// (0600). A file that others can read is refused.
func LoadRing(text, folder string) (*Ring, error) {
	if text != "" {
		return ReadRing(text)
	}
	path := filepath.Join(folder, "key")
	if err := makeKey(path); err != nil {
		return nil, fmt.Errorf("make the key file: %w", err)
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if info.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("key file %s can be read by others (%o): chmod 600 it", path, info.Mode().Perm())
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	r, err := ReadRing(string(b))
	if err != nil {
		return nil, fmt.Errorf("key file %s: %w", path, err)
	}
	return r, nil
}

// makeKey writes a new key beside the path and links it into place, so that of
// two processes that start at once both read one whole key.
func makeKey(path string) error {
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var key [keyBytes]byte
	rand.Read(key[:])
	f, err := os.CreateTemp(filepath.Dir(path), "key-*") // 0600
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.WriteString(base64.RawURLEncoding.EncodeToString(key[:]) + "\n")
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return err
	}
	if err := os.Link(f.Name(), path); !errors.Is(err, fs.ErrExist) {
		return err
	}
	return nil
}
