package estimate

import "ebbline/jobs"

// OrderSettings say what it takes to order light-and-cord sets.
type OrderSettings struct {
	Fee      jobs.Cents `json:"fee"`       // for every order, whatever is on it
	LeadDays int64      `json:"lead_days"` // civil days from the order until the sets are in the yard
	Restock  int64      `json:"restock"`   // thousandths of its cost that a set which is sent back costs
	Spares   bool       `json:"spares"`    // one set of each length class goes along on every truck
}

// defaultOrders: invented but sensible; one spare of each length class is common
// practice, no source.
func defaultOrders() OrderSettings {
	return OrderSettings{Fee: 25_00, LeadDays: 5, Restock: 150, Spares: true}
}

func (o OrderSettings) check(within func(field string, v, least, most int64)) {
	within("orders.fee", int64(o.Fee), 0, 1_000_000)
	within("orders.lead_days", o.LeadDays, 0, 365)
	within("orders.restock", o.Restock, 0, 1000)
}
