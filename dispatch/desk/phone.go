package desk

import (
	"github.com/nyaruka/phonenumbers"

	"ebbline/jobs"
)

// region is where a number without country code is taken to be.
const region = "US"

// e164 is a phone number as machines dial it; empty when it cannot be one. The
// number as entered is kept beside it.
func e164(entered string) string {
	n, err := phonenumbers.Parse(entered, region)
	if err != nil || !phonenumbers.IsPossibleNumber(n) {
		return ""
	}
	return phonenumbers.Format(n, phonenumbers.E164)
}

// cleanContact fills in what follows from what was entered.
func cleanContact(c jobs.ContactData) jobs.ContactData {
	c.Name = jobs.CleanLine(c.Name)
	c.PhoneText = jobs.CleanLine(c.PhoneText)
	c.Phone = ""
	if c.PhoneText != "" {
		if c.Phone = e164(c.PhoneText); c.Phone == "" {
			c.Phone = "?" // no number: the check names it
		}
	}
	if c.Language == "" {
		c.Language = jobs.Languages[0]
	}
	if c.Channel == "" {
		c.Channel = jobs.ChannelNone // a text message needs to have been asked for
		if c.Email != "" {
			c.Channel = jobs.ChannelEmail
		}
	}
	return c
}
