package auth

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/hmac"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"errors"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"ebbline/jobs"
)

const (
	user    = "00000000-0000-7000-8000-000000000001"
	session = "00000000-0000-7000-8000-000000000002"
)

var now = time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)

func key(b byte) []byte {
	k := make([]byte, KeyBytes)
	for i := range k {
		k[i] = b + byte(i)
	}
	return k
}

func ring(t testing.TB, keys ...[]byte) *Ring {
	t.Helper()
	r, err := NewRing(keys...)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

type set = map[string]any

// good is what a token of ours says.
func good(r *Ring) (header, body set) {
	return set{"alg": "HS256", "typ": "at+jwt", "kid": r.first},
		set{"iss": issuer, "aud": []string{audience}, "sub": user, "sid": session, "epoch": 3,
			"iat": now.Unix(), "nbf": now.Unix(), "exp": now.Add(jobs.AccessLife).Unix()}
}

func part(v any) string {
	if s, ok := v.(string); ok {
		return base64.RawURLEncoding.EncodeToString([]byte(s))
	}
	b, _ := json.Marshal(v)
	return base64.RawURLEncoding.EncodeToString(b)
}

// seal signs as HS256 does (RFC 7515, 5.1), without the library.
func seal(key []byte, header, body any) string {
	text := part(header) + "." + part(body)
	m := hmac.New(sha256.New, key)
	m.Write([]byte(text))
	return text + "." + base64.RawURLEncoding.EncodeToString(m.Sum(nil))
}

func TestOwnTokenServesForTenMinutes(t *testing.T) {
	r := ring(t, key(1))
	token, _, err := r.Sign(user, session, 3, now)
	if err != nil {
		t.Fatal(err)
	}
	want := Claims{UserID: user, SessionID: session, Epoch: 3, ExpiresAt: now.Add(10 * time.Minute)}
	for _, later := range []time.Duration{0, 9*time.Minute + 59*time.Second} {
		if got, err := r.Read(token, now.Add(later)); err != nil || got != want {
			t.Errorf("after %s: %+v, %v", later, got, err)
		}
	}
	if _, err := r.Read(token, now.Add(10*time.Minute+6*time.Second)); err == nil {
		t.Error("serves beyond its time and leeway")
	}
	header, body := good(r)
	if _, err := r.Read(seal(key(1), header, body), now); err != nil {
		t.Errorf("the corpus's own good token does not serve: %v", err)
	}
}

func TestTwoKeysLive(t *testing.T) {
	before := ring(t, key(1))
	old, _, _ := before.Sign(user, session, 3, now)
	both := ring(t, key(2), key(1))
	if _, err := both.Read(old, now); err != nil {
		t.Errorf("a token of the old key: %v", err)
	}
	fresh, _, _ := both.Sign(user, session, 3, now)
	if _, err := before.Read(fresh, now); err == nil {
		t.Error("the new key did not sign")
	}
	if _, err := ring(t, key(2)).Read(old, now); err == nil {
		t.Error("a key that was taken away still serves")
	}
}

func TestWeakKeysAreRefused(t *testing.T) {
	for name, k := range map[string][]byte{"none": nil, "short": key(1)[:31], "zeros": make([]byte, 64)} {
		if _, err := NewRing(k); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	if _, err := NewRing(); err == nil {
		t.Error("no key was taken")
	}
}

// TestForgedTokens follows RFC 8725 (2.1 to 2.8, 3.1 to 3.11) and RFC 7519's
// rules on claims: none of these may serve, and each is refused fast.
func TestForgedTokens(t *testing.T) {
	k := key(1)
	r := ring(t, k)
	rsaKey, err := rsa.GenerateKey(rand.Reader, 2048)
	if err != nil {
		t.Fatal(err)
	}
	ecKey, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	der, _ := x509.MarshalPKIXPublicKey(&rsaKey.PublicKey)
	public := pem.EncodeToMemory(&pem.Block{Type: "PUBLIC KEY", Bytes: der})
	whole := seal(k, set{"alg": "HS256", "typ": "at+jwt", "kid": r.first}, func() set { _, b := good(r); return b }())
	pieces := strings.Split(whole, ".")

	// with changes the header and the body of a good token and signs with the
	// real key: only the change is wrong.
	with := func(change func(h, b set)) string {
		h, b := good(r)
		change(h, b)
		return seal(k, h, b)
	}
	header := func(name string, v any) string { return with(func(h, _ set) { h[name] = v }) }
	claim := func(name string, v any) string { return with(func(_, b set) { b[name] = v }) }
	without := func(name string) string { return with(func(h, b set) { delete(h, name); delete(b, name) }) }
	library := func(method jwt.SigningMethod, signer any) string {
		_, b := good(r)
		tok := jwt.NewWithClaims(method, jwt.MapClaims(b))
		tok.Header["typ"], tok.Header["kid"] = "at+jwt", r.first
		text, err := tok.SignedString(signer)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	unsigned := func(alg string) string {
		h, b := good(r)
		h["alg"] = alg
		return part(h) + "." + part(b) + "."
	}

	corpus := map[string]string{
		"empty": "", "one dot": ".", "two dots": "..", "three parts too many": whole + ".x", "many dots": strings.Repeat(".", 100_000),
		"no signature": pieces[0] + "." + pieces[1] + ".", "two parts": pieces[0] + "." + pieces[1],
		"none": unsigned("none"), "None": unsigned("None"), "nOnE": unsigned("nOnE"), "alg empty": unsigned(""),
		"none by the library":      library(jwt.SigningMethodNone, jwt.UnsafeAllowNoneSignatureType),
		"alg none, signed":         header("alg", "none"),
		"HS384":                    library(jwt.SigningMethodHS384, k),
		"HS512":                    library(jwt.SigningMethodHS512, k),
		"RS256":                    library(jwt.SigningMethodRS256, rsaKey),
		"PS256":                    library(jwt.SigningMethodPS256, rsaKey),
		"ES256":                    library(jwt.SigningMethodES256, ecKey),
		"HS256 with a public key":  library(jwt.SigningMethodHS256, public),
		"HS256 with an empty key":  library(jwt.SigningMethodHS256, []byte{}),
		"another key":              seal(key(9), set{"alg": "HS256", "typ": "at+jwt", "kid": r.first}, func() set { _, b := good(r); return b }()),
		"alg says RS256":           header("alg", "RS256"),
		"alg in lower case":        header("alg", "hs256"),
		"alg missing":              without("alg"),
		"alg is a list":            header("alg", []string{"HS256"}),
		"payload changed":          pieces[0] + "." + part(set{"sub": user, "role": "owner"}) + "." + pieces[2],
		"signature cut":            whole[:len(whole)-4],
		"signature padded":         whole + "=",
		"signature in plain text":  pieces[0] + "." + pieces[1] + ".!!!!",
		"line end":                 whole + "\n",
		"typ JWT":                  header("typ", "JWT"),
		"typ missing":              without("typ"),
		"typ of a refresh token":   header("typ", "rt+jwt"),
		"kid unknown":              header("kid", "ffffffffffff"),
		"kid missing":              without("kid"),
		"kid a path":               header("kid", "../../../../dev/null"),
		"kid SQL":                  header("kid", "x' OR '1'='1"),
		"kid an address":           header("kid", "https://keys.example.com/k"),
		"kid a number":             header("kid", 1),
		"kid of 5 KB":              header("kid", strings.Repeat("k", 5000)),
		"jwk":                      header("jwk", set{"kty": "oct", "k": "AAAA"}),
		"jku":                      header("jku", "https://keys.example.com/jwks"),
		"x5u":                      header("x5u", "https://keys.example.com/c.pem"),
		"crit":                     header("crit", []string{"exp"}),
		"b64 false":                header("b64", false),
		"expired":                  claim("exp", now.Add(-time.Minute).Unix()),
		"no exp":                   without("exp"),
		"exp text":                 claim("exp", "9999999999"),
		"exp 1e400":                seal(k, `{"alg":"HS256","typ":"at+jwt","kid":"`+r.first+`"}`, `{"iss":"ebbline","aud":["ebbline-api"],"sub":"`+user+`","sid":"`+session+`","epoch":3,"iat":1772463600,"nbf":1772463600,"exp":1e400}`),
		"exp null":                 claim("exp", nil),
		"exp negative":             claim("exp", -1),
		"lives for years":          claim("exp", now.AddDate(5, 0, 0).Unix()),
		"nbf in the future":        claim("nbf", now.Add(time.Minute).Unix()),
		"no nbf":                   without("nbf"),
		"iat in the future":        claim("iat", now.Add(time.Minute).Unix()),
		"no iat":                   without("iat"),
		"iss wrong":                claim("iss", "someone"),
		"no iss":                   without("iss"),
		"aud wrong":                claim("aud", []string{"another-api"}),
		"aud of two":               claim("aud", []string{audience, "another-api"}),
		"no aud":                   without("aud"),
		"aud empty":                claim("aud", []string{}),
		"sub no id":                claim("sub", "1 OR 1=1"),
		"no sub":                   without("sub"),
		"sub a number":             claim("sub", 1),
		"no session":               without("sid"),
		"no epoch":                 without("epoch"),
		"epoch zero":               claim("epoch", 0),
		"epoch text":               claim("epoch", "3"),
		"epoch beyond 64 bits":     seal(k, `{"alg":"HS256","typ":"at+jwt","kid":"`+r.first+`"}`, `{"iss":"ebbline","aud":["ebbline-api"],"sub":"`+user+`","sid":"`+session+`","epoch":99999999999999999999,"iat":1772463600,"nbf":1772463600,"exp":1772464200}`),
		"body is a list":           seal(k, set{"alg": "HS256", "typ": "at+jwt", "kid": r.first}, []int{1}),
		"body is null":             seal(k, set{"alg": "HS256", "typ": "at+jwt", "kid": r.first}, nil),
		"header is a list":         seal(k, []int{1}, func() set { _, b := good(r); return b }()),
		"a refresh token":          base64.RawURLEncoding.EncodeToString(key(7)),
		"huge":                     claim("x", strings.Repeat("x", 100_000)),
		"standard base64 alphabet": strings.NewReplacer("-", "+", "_", "/").Replace(whole) + "+",
	}
	if len(corpus) < 40 {
		t.Fatalf("only %d tokens", len(corpus))
	}
	for name, token := range corpus {
		c, err := r.Read(token, now)
		if !errors.Is(err, ErrToken) || c != (Claims{}) {
			t.Errorf("%s: served as %+v (%v)", name, c, err)
		}
	}
	// A claim that is said twice: readers may differ in which they take, so
	// neither order may help.
	for _, twice := range []string{`"exp":1772464200,"exp":1`, `"exp":1,"exp":1772464200`} {
		token := seal(k, `{"alg":"HS256","typ":"at+jwt","kid":"`+r.first+`"}`,
			`{"iss":"ebbline","aud":["ebbline-api"],"sub":"`+user+`","sid":"`+session+`","epoch":3,"iat":1772463600,"nbf":1772463600,`+twice+`}`)
		if _, err := r.Read(token, now); err == nil {
			t.Errorf("%s served", twice)
		}
	}
}

func TestLimits(t *testing.T) {
	l := NewLimits()
	at := now
	for i := range pairBurst {
		if wait := l.Try("ann", "10.0.0.1", at); wait != 0 {
			t.Fatalf("try %d has to wait %s", i+1, wait)
		}
	}
	wait := l.Try("ann", "10.0.0.1", at)
	if wait <= 0 || wait > 15*time.Minute {
		t.Fatalf("the eleventh try waits %s", wait)
	}
	if l.Try("ann", "10.0.0.2", at) != 0 {
		t.Error("a stranger's guesses shut the person out from elsewhere")
	}
	at = at.Add(wait)
	if l.Try("ann", "10.0.0.1", at) != 0 {
		t.Error("shut out after the time that was told")
	}
	l.Forgive("ann", "10.0.0.1")
	if l.Try("ann", "10.0.0.1", at) != 0 {
		t.Error("a right password forgives nothing")
	}

	// From many addresses: the account's own ceiling of 100 an hour holds.
	l, at = NewLimits(), now
	passed := 0
	for i := range 1000 {
		at = at.Add(time.Second) // under the limit for all
		if l.Try("bo", "10.1."+string(rune('0'+i%10))+"."+strings.Repeat("1", 1+i/10%3), at) == 0 {
			passed++
		}
	}
	if passed < accountBurst || passed > accountBurst+1000/36+1 {
		t.Errorf("%d guesses at one account in 1000 s", passed)
	}
}

// Whoever may not try any more cannot make the limits forget him, or anybody,
// by inventing accounts.
func TestLimitsKeepWhileAccountsAreInvented(t *testing.T) {
	l := NewLimits()
	for i := 0; l.Try("ann", "10.0.0.1", now) == 0; i++ {
		if i > pairBurst {
			t.Fatal("no limit at all")
		}
	}
	for i := range maxBuckets {
		l.Try("invented "+strconv.Itoa(i), "10.0.0.1", now.Add(time.Duration(i)*time.Millisecond))
	}
	if len(l.buckets) > 1000 {
		t.Errorf("one address made %d buckets", len(l.buckets))
	}
	if l.Try("ann", "10.0.0.1", now.Add(time.Second)) == 0 {
		t.Error("the limits forgot who guessed")
	}
}

func BenchmarkRead(b *testing.B) {
	r := ring(b, key(1))
	token, _, _ := r.Sign(user, session, 3, now)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Read(token, now); err != nil {
			b.Fatal(err)
		}
	}
}
