package jobs

import (
	"errors"
	"strings"
	"testing"
)

// Forms of addresses; the first group are those of RFC 5322's examples and of
// daily use, the second what mail would not reach or a header would break on.
func TestEmailForms(t *testing.T) {
	for _, s := range []string{"jdoe@machine.example", "mary@example.net", "a.b+pool@example.com", "o'hara@example.co.uk", "x@xn--bcher-kva.example", "müller@example.com"} {
		if !ValidEmail(s) {
			t.Errorf("%q was refused", s)
		}
	}
	for _, s := range []string{"", "a", "a@", "@example.com", "a@b", "a b@example.com", "a@example.com\r\nBcc: x@example.com", "a@example.com,b@example.com",
		"Ann <a@example.com>", "a@@example.com", "a..b@example.com", "a@.example.com", "a@example.com.", "a@-example.com", `"a b"@example.com`,
		strings.Repeat("a", 65) + "@example.com", "a@" + strings.Repeat("b", 250) + ".com", "a@example.com\x00"} {
		if ValidEmail(s) {
			t.Errorf("%q was taken", s)
		}
	}
}

func TestContactNamesEveryFault(t *testing.T) {
	err := NewCustomer{BranchID: "x", CustomerData: CustomerData{Name: "", Note: "a\x00"}, Contacts: []ContactData{
		{Role: "king", Name: "A", Language: "en", Channel: ChannelSMS, Notices: []string{"Booking"}},
		{Role: ContactGate, Name: strings.Repeat("x", MaxName+1), Language: "xx", Channel: ChannelEmail},
	}}.Check()
	var e *Error
	if !errors.As(err, &e) || e.Code != CodeInvalid {
		t.Fatal(err)
	}
	got := map[string]bool{}
	for _, f := range e.Fields {
		got[f.Field] = true
	}
	for _, want := range []string{"branch_id", "name", "note", "contacts.0.role", "contacts.0.phone", "contacts.0.notices.0",
		"contacts.1.name", "contacts.1.language", "contacts.1.email"} {
		if !got[want] {
			t.Errorf("%s is not named in %v", want, err)
		}
	}
	if len(got) != 9 {
		t.Errorf("named: %v", got)
	}
}

func TestFolding(t *testing.T) {
	for in, want := range map[string]string{"  Ann   Lee ": "ann lee", "ÁGNES": "ágnes", "İ": "i", "ß": "ß", "a\tb\nc": "a b c"} {
		if got := FoldKey(in); got != want {
			t.Errorf("%q folds to %q", in, got)
		}
	}
	if CleanLine(" a\u00a0 b ") != "a b" || FoldEmail(" A@B.Com ") != "a@b.com" {
		t.Error("cleaning")
	}
	if PlainText("a\u0000", true) || PlainText("\xff", true) || PlainText("a\nb", false) || !PlainText("a\nb", true) {
		t.Error("plain text")
	}
}

func TestCents(t *testing.T) {
	for c, want := range map[Cents]string{0: "0.00", 5: "0.05", -5: "-0.05", 123450: "1,234.50", 100000000: "1,000,000.00", -99999: "-999.99", 99999: "999.99"} {
		if got := c.String(); got != want {
			t.Errorf("%d cents: %s, want %s", int64(c), got, want)
		}
	}
}
