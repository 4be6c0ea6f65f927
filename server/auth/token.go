package auth

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"strings"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"ebbline/jobs"
)

// Who tokens come from and who they are for, and their type (RFC 8725, 3.11:
// one kind of token must not pass for another).
const (
	issuer   = "ebbline"
	audience = "ebbline-api"
	typ      = "at+jwt"
)

// maxToken bounds what is looked at; ours are under 500 bytes.
const maxToken = 4096

// Claims is what an access token says.
type Claims struct {
	UserID    string
	SessionID string
	Epoch     int64
	ExpiresAt time.Time
}

type claims struct {
	jwt.RegisteredClaims
	Session string `json:"sid"`
	Epoch   int64  `json:"epoch"`
}

// ErrToken is the one answer for every token that does not serve.
var ErrToken = errors.New("the access token does not serve")

// Sign makes an access token that lives for jobs.AccessLife from now.
func (r *Ring) Sign(userID, sessionID string, epoch int64, now time.Time) (string, Claims, error) {
	c := Claims{UserID: userID, SessionID: sessionID, Epoch: epoch, ExpiresAt: now.Add(jobs.AccessLife)}
	t := jwt.NewWithClaims(jwt.SigningMethodHS256, claims{
		RegisteredClaims: jwt.RegisteredClaims{
			Issuer: issuer, Audience: jwt.ClaimStrings{audience}, Subject: userID,
			IssuedAt: jwt.NewNumericDate(now), NotBefore: jwt.NewNumericDate(now), ExpiresAt: jwt.NewNumericDate(c.ExpiresAt),
		},
		Session: sessionID, Epoch: epoch,
	})
	t.Header["typ"], t.Header["kid"] = typ, r.first
	text, err := t.SignedString(r.keys[r.first])
	return text, c, err
}

// Read checks an access token at now. Any fault is ErrToken.
func (r *Ring) Read(text string, now time.Time) (Claims, error) {
	// Decoders skip line ends; no token of ours has one.
	if len(text) > maxToken || strings.Count(text, ".") != 2 || strings.ContainsAny(text, "\r\n") {
		return Claims{}, ErrToken
	}
	var c claims
	parser := jwt.NewParser(
		jwt.WithValidMethods([]string{jwt.SigningMethodHS256.Alg()}), jwt.WithExpirationRequired(),
		jwt.WithIssuer(issuer), jwt.WithAudience(audience), jwt.WithIssuedAt(), jwt.WithStrictDecoding(),
		jwt.WithLeeway(5*time.Second), jwt.WithTimeFunc(func() time.Time { return now }),
	)
	t, err := parser.ParseWithClaims(text, &c, func(t *jwt.Token) (any, error) {
		if t.Header["typ"] != typ {
			return nil, ErrToken
		}
		// Only these three headers are ours; a key or a place to fetch one from
		// (jwk, jku, x5u) is never followed, so a token that brings one is forged.
		if len(t.Header) != 3 {
			return nil, ErrToken
		}
		kid, _ := t.Header["kid"].(string)
		key, ok := r.keys[kid]
		if !ok {
			return nil, ErrToken
		}
		return key, nil
	})
	if err != nil || !t.Valid || !jobs.ValidID(c.Subject) || !jobs.ValidID(c.Session) || c.Epoch < 1 ||
		len(c.Audience) != 1 || c.IssuedAt == nil || c.NotBefore == nil ||
		c.ExpiresAt.Sub(c.IssuedAt.Time) > jobs.AccessLife || saysTwice(text) {
		return Claims{}, ErrToken
	}
	return Claims{UserID: c.Subject, SessionID: c.Session, Epoch: c.Epoch, ExpiresAt: c.ExpiresAt.UTC()}, nil
}

// saysTwice finds a claim or header that is said twice: readers differ in which
// of the two they take.
func saysTwice(text string) bool {
	for _, part := range strings.Split(text, ".")[:2] {
		b, err := base64.RawURLEncoding.DecodeString(part)
		if err != nil {
			return true
		}
		d, seen := json.NewDecoder(bytes.NewReader(b)), map[string]bool{}
		if _, err := d.Token(); err != nil {
			return true
		}
		for d.More() {
			name, err := d.Token()
			key, ok := name.(string)
			if err != nil || !ok || seen[key] {
				return true
			}
			seen[key] = true
			var value json.RawMessage
			if d.Decode(&value) != nil {
				return true
			}
		}
	}
	return false
}
