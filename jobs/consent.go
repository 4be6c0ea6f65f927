package jobs

import "time"

// Consent is what an address said about being written to. The last word
// counts; it hangs on the address and outlives the contact.
type Consent struct {
	ID      string
	Channel Channel
	Address string // e-mail folded, phone in E.164
	Given   bool   // false: stop
	How     string // how it was said: "link", "reply", "told to the office"
	SaidAt  time.Time
}
