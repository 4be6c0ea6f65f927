package jobs

import (
	"strconv"
	"time"
)

// Part is an item of a branch's catalogue.
type Part struct {
	ID       string
	BranchID string
	PartData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// PartData is what people enter and change.
type PartData struct {
	Code      string // unique within the branch
	Name      string
	StockUnit string // what one is counted in: piece, roll, bottle
	LengthUM  *int64 // of a light with its cord fixed to it, in micrometres; nil: has none
	Light     string // of such a set, the light's key in the branch's catalogue; empty: read off the code
	OnHand    int64  // on the shelf and nobody's: what is reserved for a job is no longer in it
	Cost      Cents
	Price     Cents
}

// NewPart is a part as it is entered.
type NewPart struct {
	BranchID string
	PartData
}

// Clean trims what people typed.
func (d PartData) Clean() PartData {
	for _, s := range []*string{&d.Code, &d.Name, &d.StockUnit, &d.Light} {
		if PlainText(*s, false) {
			*s = CleanLine(*s)
		}
	}
	return d
}

// Check refuses what is wrong, all of it at once.
func (n NewPart) Check() error {
	var f Faults
	f.ID("branch_id", n.BranchID)
	n.PartData.check(&f)
	return f.Err()
}

// Check refuses what is wrong, all of it at once.
func (d PartData) Check() error {
	var f Faults
	d.check(&f)
	return f.Err()
}

func (d PartData) check(f *Faults) {
	f.Line("code", d.Code, 1, 60)
	f.Line("name", d.Name, 1, MaxName)
	f.Line("stock_unit", d.StockUnit, 1, 30)
	if d.LengthUM != nil {
		f.Check(*d.LengthUM > 0 && *d.LengthUM <= 1000*ft, "length_um", strconv.FormatInt(*d.LengthUM, 10), "micrometres, above 0 and at most 1000 ft")
	}
	f.Line("light", d.Light, 0, 60)
	f.Check(d.Light == "" || d.LengthUM != nil, "light", d.Light, "nothing where the part has no cord; or its length too")
	f.Check(d.OnHand >= 0 && d.OnHand <= 1_000_000, "on_hand", strconv.FormatInt(d.OnHand, 10), "a count from 0 to 1000000")
	checkMoney(f, "cost_cents", d.Cost)
	checkMoney(f, "price_cents", d.Price)
}

func checkMoney(f *Faults, field string, c Cents) {
	f.Check(c >= 0 && c <= maxMoney, field, strconv.FormatInt(int64(c), 10), "cents, from 0 to "+maxMoney.String()+" dollars")
}

// JobPart is a part that a job takes.
type JobPart struct {
	ID    string
	JobID string
	JobPartData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// JobPartData is what people enter and change.
type JobPartData struct {
	PartID      string // of the catalogue; empty: not from it
	Name        string
	Quantity    int64
	StockUnit   string
	State       PartState
	PromisedDay Day    // of a promised part
	SubjectID   string // the survey subject it is for; empty: the whole job
	LineKey     string // its line in the estimate's materials; empty: listed by hand
	Surplus     bool   // the newest estimate does not ask for it: to be put back, sent back or cancelled
	Note        string
}

// Check refuses what is wrong, all of it at once.
func (d JobPartData) Check() error {
	var f Faults
	if d.PartID != "" {
		f.ID("part_id", d.PartID)
	}
	f.Line("name", d.Name, 1, MaxName)
	f.Check(d.Quantity >= 1 && d.Quantity <= 1_000_000, "quantity", strconv.FormatInt(d.Quantity, 10), "a count from 1 to 1000000")
	f.Line("stock_unit", d.StockUnit, 1, 30)
	OneOf(&f, "state", d.State, PartStates)
	checkDay(&f, "promised_day", d.PromisedDay)
	f.Check(d.State != PartPromised || d.PromisedDay != "", "promised_day", "", "needed for a promised part")
	f.Note("note", d.Note)
	return f.Err()
}

// JobPartChange sets what is not nil.
type JobPartChange struct {
	State       *PartState
	PromisedDay *Day
	Quantity    *int64
	Note        *string
}

// Apply is d with the change made, or all that is wrong with it. A state that
// can't follow the one that is there is refused (CodeInvalid).
func (c JobPartChange) Apply(d JobPartData) (JobPartData, error) {
	if c.State != nil {
		if !d.State.MayBecome(*c.State) {
			return d, Faults{{Field: "state", Value: string(*c.State), Want: "one of " + d.State.nextWords() + ", as the part is " + d.State.Label()}}.Err()
		}
		d.State = *c.State
		d.Surplus = d.Surplus && d.State.Open()
	}
	if c.PromisedDay != nil {
		d.PromisedDay = *c.PromisedDay
	}
	if c.Quantity != nil {
		d.Quantity = *c.Quantity
	}
	if c.Note != nil {
		d.Note = *c.Note
	}
	return d, d.Check()
}
