// Package auth makes and reads access tokens, and slows down guessing at
// passwords. It is the only home of JWT.
package auth

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
)

// KeyBytes is the least length of a key: HS256 wants as much as its hash
// (RFC 7518, 3.2).
const KeyBytes = 32

// Ring holds the keys that tokens are signed with. The first signs; all of them
// verify, so that a new key can be put in front while tokens of the old one
// still live.
type Ring struct {
	first string
	keys  map[string][]byte // by kid
}

// NewRing makes a ring. It refuses no keys, short ones, and one byte over and
// over. The kid is made from the key and tells nothing about it.
func NewRing(keys ...[]byte) (*Ring, error) {
	if len(keys) == 0 {
		return nil, errors.New("no key to sign sessions with")
	}
	r := &Ring{keys: map[string][]byte{}}
	for i, key := range keys {
		if len(key) < KeyBytes {
			return nil, fmt.Errorf("key %d has %d bytes; at least %d", i+1, len(key), KeyBytes)
		}
		if bytes.Count(key, key[:1]) == len(key) {
			return nil, fmt.Errorf("key %d is one byte over and over", i+1)
		}
		sum := sha256.Sum256(append([]byte("ebbline kid "), key...))
		kid := hex.EncodeToString(sum[:6])
		if i == 0 {
			r.first = kid
		}
		r.keys[kid] = bytes.Clone(key)
	}
	return r, nil
}

// Print tells requests apart without giving away what is in them: the
// HMAC-SHA256, in hex, under the key that signs. A plain hash would let whoever
// reads the database guess at a password in a body as fast as they can hash.
// With a new key in front the same bytes get another print. No token's text can
// be a request's: it holds no line end.
func (r *Ring) Print(parts ...[]byte) string {
	h := hmac.New(sha256.New, r.keys[r.first])
	for _, p := range parts {
		h.Write(p)
	}
	return hex.EncodeToString(h.Sum(nil))
}
