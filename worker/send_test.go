package worker

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/mail"
	"os"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/emersion/go-smtp"

	"ebbline/worker/mailsink"
)

func testMessage() Message {
	from := time.Date(2026, 3, 9, 15, 0, 0, 0, time.UTC)
	return Message{ID: "00000000-0000-7000-8000-000000000001", MessageID: "n1@ebbline.example.com",
		From: Address{"Copper Wash Pool Lights", "office@example.com"}, To: Address{"Ana Ruiz", "ana@example.com"},
		Subject: "Your pool day: Mon, Mar 9", Body: "Please open the drain between 6 and 8 pm.\n", At: from.Add(-48 * time.Hour),
		Calendar: &Event{UID: "prep-1@ebbline", Sequence: 3, Title: "Pool lights", Where: "12 Tamarisk Way",
			Says: "Gate; dog, pool-care firm", From: from, To: from.Add(4 * time.Hour)}}
}

func yes() error { return nil }

func newSMTP(t *testing.T, url string) *SMTP {
	t.Helper()
	s, err := NewSMTP(url, "")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The mail arrives once, with its Message-ID, and its calendar part reads back
// as RFC 5545: CRLF ends, no line over 75 octets, stable UID, the SEQUENCE,
// UTC instants, escaped text.
func TestMailArrivesWithCalendar(t *testing.T) {
	sink := mailsink.Start(t)
	if _, err := newSMTP(t, sink.URL()).Send(context.Background(), testMessage(), yes); err != nil {
		t.Fatal(err)
	}
	mails := sink.Mails()
	if len(mails) != 1 || mails[0].MessageID != "<n1@ebbline.example.com>" || mails[0].To != "ana@example.com" {
		t.Fatalf("mails %+v", mails)
	}
	text := calendarOf(t, mails[0].Raw)
	for i, line := range strings.Split(text, "\r\n") {
		if len(line) > 75 || strings.Contains(line, "\n") {
			t.Errorf("line %d breaks RFC 5545 3.1: %q", i, line)
		}
	}
	cal, err := ics.ParseCalendar(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	e := cal.Events()[0]
	for name, want := range map[ics.ComponentProperty]string{
		ics.ComponentPropertyUniqueId: "prep-1@ebbline", ics.ComponentPropertySequence: "3",
		ics.ComponentPropertyDtStart: "20260309T150000Z", ics.ComponentPropertyDtEnd: "20260309T190000Z",
	} {
		if got := e.GetProperty(name).Value; got != want {
			t.Errorf("%s = %q, want %q", name, got, want)
		}
	}
	if !strings.Contains(text, `DESCRIPTION:Gate\; dog\, pool-care firm`) || !strings.Contains(text, "METHOD:PUBLISH") {
		t.Errorf("calendar text:\n%s", text)
	}
}

func calendarOf(t *testing.T, raw []byte) string {
	t.Helper()
	m, err := mail.ReadMessage(strings.NewReader(string(raw)))
	if err != nil {
		t.Fatal(err)
	}
	var find func(kind string, r io.Reader, encoding string) string
	find = func(kind string, r io.Reader, encoding string) string {
		media, params, _ := mime.ParseMediaType(kind)
		if strings.HasPrefix(media, "multipart/") {
			parts := multipart.NewReader(r, params["boundary"])
			for {
				p, err := parts.NextPart()
				if err != nil {
					return ""
				}
				if got := find(p.Header.Get("Content-Type"), p, p.Header.Get("Content-Transfer-Encoding")); got != "" {
					return got
				}
			}
		}
		if media != "text/calendar" {
			return ""
		}
		b, _ := io.ReadAll(r) // multipart.Reader undoes quoted-printable
		return string(b)
	}
	text := find(m.Header.Get("Content-Type"), m.Body, "")
	if text == "" {
		t.Fatal("the mail has no calendar part")
	}
	return text
}

func TestCancelledDayCancels(t *testing.T) {
	m := testMessage()
	m.Calendar.Cancelled = true
	text := calendarText(*m.Calendar, m.At, m.From)
	if !strings.Contains(text, "METHOD:CANCEL") || !strings.Contains(text, "STATUS:CANCELLED") {
		t.Fatalf("calendar text:\n%s", text)
	}
}

// A failed commit keeps the mail from being sent: the fence is stale.
func TestNothingIsSentWithoutCommit(t *testing.T) {
	sink := mailsink.Start(t)
	stale := errors.New("stale fence")
	if _, err := newSMTP(t, sink.URL()).Send(context.Background(), testMessage(), func() error { return stale }); !errors.Is(err, stale) {
		t.Fatalf("got %v", err)
	}
	time.Sleep(50 * time.Millisecond)
	if n := len(sink.Mails()); n != 0 {
		t.Fatalf("%d mails arrived without commit", n)
	}
}

func TestRefusalsAreSorted(t *testing.T) {
	sink := mailsink.Start(t)
	for code, forGood := range map[int]bool{450: false, 421: false, 550: true, 553: true} {
		sink.Refuse = func(string) error { return &smtp.SMTPError{Code: code, Message: "no"} }
		_, err := newSMTP(t, sink.URL()).Send(context.Background(), testMessage(), yes)
		if f := failureOf(err); err == nil || f.Never != forGood || f.Unknown {
			t.Errorf("answer %d: never %v, want %v (%v)", code, f.Never, forGood, err)
		}
	}
	m := testMessage()
	m.To.At = "no address\r\nBcc: all@example.com"
	if _, err := compose(m); err == nil || !failureOf(err).Never {
		t.Errorf("an address with a line break composes: %v", err)
	}
}

func TestFolderKeepsMail(t *testing.T) {
	dir := t.TempDir()
	path, err := Folder{dir}.Send(context.Background(), testMessage(), yes)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if m, err := mail.ReadMessage(strings.NewReader(string(raw))); err != nil || m.Header.Get("Message-Id") != "<n1@ebbline.example.com>" {
		t.Fatalf("file reads as %v, %v", m, err)
	}
}

func TestGateway(t *testing.T) {
	status := http.StatusOK
	hang := false
	var seen string
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		mac := hmac.New(sha256.New, []byte("secret"))
		fmt.Fprintf(mac, "%s.%s", r.Header.Get("X-Ebbline-Timestamp"), body)
		if hex.EncodeToString(mac.Sum(nil)) != r.Header.Get("X-Ebbline-Signature") {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		seen = string(body)
		if hang {
			conn, _, _ := w.(http.Hijacker).Hijack()
			conn.Close()
			return
		}
		w.WriteHeader(status)
	}))
	defer srv.Close()
	send := func(idempotent bool) error {
		g, err := NewGateway(srv.URL, "secret", idempotent)
		if err != nil {
			t.Fatal(err)
		}
		_, err = g.Send(context.Background(), testMessage(), yes)
		return err
	}
	if err := send(false); err != nil || !strings.Contains(seen, `"to":"ana@example.com"`) {
		t.Fatalf("send: %v, body %s", err, seen)
	}
	for code, forGood := range map[int]bool{400: true, 429: false, 503: false} {
		status = code
		if f := failureOf(send(false)); f.Never != forGood || f.Unknown {
			t.Errorf("answer %d: %+v", code, f)
		}
	}
	status = http.StatusGatewayTimeout
	if f := failureOf(send(false)); !f.Unknown {
		t.Errorf("what lies behind the gateway may have sent it: %+v", f)
	}
	if f := failureOf(send(true)); f.Unknown || f.Never {
		t.Errorf("a gateway that knows ids may be tried again after a 504: %+v", f)
	}
	hang = true
	if f := failureOf(send(false)); !f.Unknown {
		t.Errorf("a lost answer must be unknown: %+v", f)
	}
	if f := failureOf(send(true)); f.Unknown || f.Never {
		t.Errorf("a gateway that knows ids may be tried again: %+v", f)
	}
	srv.Close()
	g, err := NewGateway(srv.URL+"/?token=hush", "secret", false)
	if err != nil {
		t.Fatal(err)
	}
	_, err = g.Send(context.Background(), testMessage(), yes)
	if f := failureOf(err); f.Unknown || f.Never {
		t.Errorf("nothing left, so it may be tried again: %+v", f)
	}
	if err == nil || strings.Contains(err.Error(), "hush") {
		t.Errorf("the error repeats the gateway's secret: %v", err)
	}
	if _, err := NewGateway("http://gateway.example.com", "s", false); err == nil {
		t.Error("a gateway without TLS was taken")
	}
}
