package store

import "ebbline/jobs"

type consentRow struct {
	ID         string
	Channel    string
	AddressKey string
	Given      bool
	How        string
	SaidAt     int64
}

func (consentRow) TableName() string { return "consents" }

// Address is where a notice would go.
type Address struct {
	Channel jobs.Channel
	Key     string // e-mail folded, phone in E.164
}

// InsertConsent notes what an address said.
func (tx *Tx) InsertConsent(c jobs.Consent) error {
	return tx.insert(&consentRow{ID: c.ID, Channel: string(c.Channel), AddressKey: c.Address,
		Given: c.Given, How: c.How, SaidAt: secs(c.SaidAt)})
}

// Stopped tells which of the addresses said stop last.
func (tx *Tx) Stopped(keys ...string) (map[Address]bool, error) {
	if len(keys) == 0 {
		return nil, nil
	}
	rows, err := all[consentRow](tx, "said_at, id", "address_key IN ?", keys)
	stopped := map[Address]bool{}
	for _, r := range rows {
		stopped[Address{jobs.Channel(r.Channel), r.AddressKey}] = !r.Given
	}
	return stopped, err
}
