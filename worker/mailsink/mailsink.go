// Package mailsink is a real SMTP server that keeps what it is given, for
// tests: it counts every mail by its Message-ID and can be told to refuse.
package mailsink

import (
	"bytes"
	"errors"
	"io"
	"net"
	"net/mail"
	"sync"
	"testing"

	"github.com/emersion/go-smtp"
)

// Mail is one delivery, whole.
type Mail struct {
	From, To  string
	MessageID string
	Subject   string
	Raw       []byte
}

// Sink holds all deliveries in their order.
type Sink struct {
	mu    sync.Mutex
	mails []Mail
	// Refuse, when set, answers a recipient; nil takes the mail.
	Refuse func(to string) error
	server *smtp.Server
	listen net.Listener
}

// Start listens on a free port of this machine until the test ends.
func Start(t testing.TB) *Sink {
	t.Helper()
	s := &Sink{}
	s.server = smtp.NewServer(smtp.BackendFunc(func(*smtp.Conn) (smtp.Session, error) { return &session{sink: s}, nil }))
	s.server.Domain = "sink.example.com"
	s.server.AllowInsecureAuth = true
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.listen = l
	go func() { _ = s.server.Serve(l) }()
	t.Cleanup(func() { _ = s.server.Close() })
	return s
}

// URL is the sink's address for EBBLINE_SMTP.
func (s *Sink) URL() string { return "smtp://" + s.listen.Addr().String() }

// Mails is a copy of what has come so far.
func (s *Sink) Mails() []Mail {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]Mail(nil), s.mails...)
}

// Counts is how often each Message-ID has come.
func (s *Sink) Counts() map[string]int {
	out := map[string]int{}
	for _, m := range s.Mails() {
		out[m.MessageID]++
	}
	return out
}

type session struct {
	sink     *Sink
	from, to string
}

func (s *session) Mail(from string, _ *smtp.MailOptions) error { s.from = from; return nil }

func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	s.to = to
	if s.sink.Refuse != nil {
		return s.sink.Refuse(to)
	}
	return nil
}

func (s *session) Data(r io.Reader) error {
	raw, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	m, err := mail.ReadMessage(bytes.NewReader(raw))
	if err != nil {
		return errors.New("not a mail")
	}
	s.sink.mu.Lock()
	defer s.sink.mu.Unlock()
	s.sink.mails = append(s.sink.mails, Mail{From: s.from, To: s.to, MessageID: m.Header.Get("Message-Id"),
		Subject: m.Header.Get("Subject"), Raw: raw})
	return nil
}

func (s *session) Reset()        {}
func (s *session) Logout() error { return nil }
