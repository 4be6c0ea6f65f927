package worker

import (
	"bytes"
	"fmt"

	"github.com/wneessen/go-mail"
)

// compose writes the whole mail. The same message composes to the same bytes
// but for MIME boundaries, and always to the same Message-ID.
func compose(m Message) ([]byte, error) {
	msg := mail.NewMsg(mail.WithCharset(mail.CharsetUTF8), mail.WithNoDefaultUserAgent())
	if err := msg.FromFormat(m.From.Name, m.From.At); err != nil {
		return nil, never(fmt.Errorf("sender address %q: %w", m.From.At, err))
	}
	if err := msg.AddToFormat(m.To.Name, m.To.At); err != nil {
		return nil, never(fmt.Errorf("address %q: %w", m.To.At, err))
	}
	msg.SetMessageIDWithValue(m.MessageID)
	msg.SetDateWithValue(m.At)
	msg.Subject(m.Subject)
	msg.SetBodyString(mail.TypeTextPlain, m.Body)
	if m.Calendar != nil {
		text := calendarText(*m.Calendar, m.At, m.From)
		method := "PUBLISH"
		if m.Calendar.Cancelled {
			method = "CANCEL"
		}
		msg.AddAlternativeString(mail.ContentType("text/calendar; method="+method), text)
		if err := msg.AttachReader("pool-day.ics", bytes.NewReader([]byte(text)),
			mail.WithFileContentType("text/calendar")); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	if _, err := msg.WriteTo(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
