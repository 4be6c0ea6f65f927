package worker

import (
	"context"
	"errors"
	"time"
)

// Message is one notice ready for a channel.
type Message struct {
	ID        string // of the notice
	Attempt   int64
	MessageID string // without <>; the same for every attempt
	From      Address
	To        Address
	Subject   string
	Body      string // plain text
	At        time.Time
	Calendar  *Event // nil: none
}

// Address is a mailbox or a phone with its name.
type Address struct {
	Name string
	At   string
}

// Event is a calendar entry of a notice (RFC 5545): UID stays over changes,
// Sequence grows.
type Event struct {
	UID       string
	Sequence  int64
	Cancelled bool
	Title     string
	Where     string
	Says      string
	From, To  time.Time
}

// Sender takes a message over a channel. commit is called right before the
// point of no return; when it fails nothing is sent and its error comes back.
type Sender interface {
	Send(ctx context.Context, m Message, commit func() error) (file string, err error)
}

// Failure says what a failed attempt means for the next.
type Failure struct {
	// Never: trying again cannot help (a bad address, a refusal for good).
	Never bool
	// Unreached: the channel was never spoken to; the attempt does not count.
	Unreached bool
	// Unknown: it may have arrived, and the channel could deliver it twice.
	Unknown bool
	Err     error
}

func (f *Failure) Error() string { return f.Err.Error() }
func (f *Failure) Unwrap() error { return f.Err }

func never(err error) error     { return &Failure{Never: true, Err: err} }
func unreached(err error) error { return &Failure{Unreached: true, Err: err} }
func unknown(err error) error   { return &Failure{Unknown: true, Err: err} }

// failureOf is what is known about an error: try again, unless it says more.
func failureOf(err error) Failure {
	var f *Failure
	if errors.As(err, &f) {
		return *f
	}
	return Failure{Err: err}
}

// sendTimeout bounds one attempt on any channel. It must stay below the lease.
const sendTimeout = 30 * time.Second
