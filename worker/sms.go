package worker

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"time"
)

// Gateway sends text messages through an HTTP gateway: a POST of JSON
// {id, to, text} signed with HMAC-SHA256 over "timestamp.body" in the header
// X-Ebbline-Signature. A 2xx means taken, a 429 or 503 not taken. A gateway that
// knows idempotency by the id may be tried again after a lost answer or another
// 5xx; one that does not may not, and the notice then stands as "not known
// whether sent".
type Gateway struct {
	url        string
	secret     []byte
	idempotent bool
	client     *http.Client
}

// NewGateway needs https, or http to this machine itself.
func NewGateway(address, secret string, idempotent bool) (*Gateway, error) {
	u, err := url.Parse(address)
	if err != nil || u.Hostname() == "" || (u.Scheme != "https" && !(u.Scheme == "http" && isLoopback(u.Hostname()))) {
		return nil, fmt.Errorf("the text gateway's address %q: an https address", address)
	}
	return &Gateway{url: address, secret: []byte(secret), idempotent: idempotent, client: &http.Client{
		Timeout:       sendTimeout,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}, nil
}

// Send gives one text message to the gateway.
func (g *Gateway) Send(ctx context.Context, m Message, commit func() error) (string, error) {
	body, err := json.Marshal(map[string]string{"id": m.ID, "to": m.To.At, "text": m.Body})
	if err != nil {
		return "", err
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, g.url, bytes.NewReader(body))
	if err != nil {
		return "", never(err)
	}
	stamp := m.At.UTC().Format(time.RFC3339)
	mac := hmac.New(sha256.New, g.secret)
	fmt.Fprintf(mac, "%s.%s", stamp, body)
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Idempotency-Key", m.ID)
	req.Header.Set("X-Ebbline-Timestamp", stamp)
	req.Header.Set("X-Ebbline-Signature", hex.EncodeToString(mac.Sum(nil)))
	if err := commit(); err != nil {
		return "", err
	}
	resp, err := g.client.Do(req)
	if err != nil {
		var asked *url.Error
		if errors.As(err, &asked) {
			err = asked.Err // the address may hold a secret; notices and logs repeat the error
		}
		var network *net.OpError
		if g.idempotent || errors.As(err, &network) && network.Op == "dial" { // nobody took the call: nothing left
			return "", err
		}
		return "", unknown(fmt.Errorf("no answer from the text gateway: %w", err))
	}
	defer resp.Body.Close()
	_, _ = io.Copy(io.Discard, io.LimitReader(resp.Body, 64<<10))
	switch {
	case resp.StatusCode < 300:
		return "", nil
	case resp.StatusCode == http.StatusTooManyRequests, resp.StatusCode == http.StatusServiceUnavailable, g.idempotent && resp.StatusCode >= 500:
		return "", fmt.Errorf("the text gateway answered %s", resp.Status)
	case resp.StatusCode >= 500: // say a 504: what lies behind the gateway may have taken it
		return "", unknown(fmt.Errorf("the text gateway answered %s; it may have sent the message", resp.Status))
	}
	return "", never(fmt.Errorf("the text gateway answered %s", resp.Status))
}
