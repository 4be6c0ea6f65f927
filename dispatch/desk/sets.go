package desk

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// SetWeek is what the coming days need of light-and-cord sets, what lies on the
// shelf, and the cheapest way to give each position its set.
type SetWeek struct {
	BranchID string
	From, To jobs.Day
	Needs    []SetNeed
	Spares   []SetNeed
	Shelf    []SetOnShelf
	Surplus  []SurplusPart
	Totals   estimate.SetAssignment // its picks stand with the needs
	Arrives  jobs.Day               // of what is ordered today
	NotKnown []SetNotKnown
}

// SetNeed is a light position, or a spare, without a set, and what it is to get.
type SetNeed struct {
	JobPart   jobs.JobPart // without an id: a spare
	JobNumber int64
	Customer  string
	Site      string
	Position  string   // its name
	Day       jobs.Day // of the conversion as handed out; empty: not handed out yet
	Crew      string
	Low, High int64 // µm of cord needed
	Known     string
	Pick      SetPick
}

// SetPick is what a need gets: from the shelf, by an order, or nothing.
type SetPick struct {
	From    string // shelf, order or none
	PartID  string // of the catalogue; empty: what is ordered is not in it
	LineKey string // of what is ordered
	Name    string
	Length  int64
	Cost    jobs.Cents // of what is ordered
	Over    jobs.Cents // worth of an overlong set that is used up
	Late    bool
	Shorter []string // sets left on the shelf that may do once the run is measured
}

// Where a set comes from.
const (
	FromShelf = "shelf"
	FromOrder = "order"
	FromNone  = "none"
)

// SetOnShelf is a length of a light on the shelf.
type SetOnShelf struct {
	Part  jobs.Part
	Light string
}

// SurplusPart is what a job had ordered or on a truck and no longer needs.
type SurplusPart struct {
	Part      jobs.JobPart
	JobNumber int64
	Customer  string
	Restock   jobs.Cents // what sending it back would cost; 0 where its cost is not known
}

// SetNotKnown is a position whose set is not known yet, and what to find out.
type SetNotKnown struct {
	JobID     string
	JobNumber int64
	Position  string
	Says      string
}

// takesSets are the states of jobs that get sets.
var takesSets = []jobs.State{jobs.StateApproved, jobs.StateReady, jobs.StateRouted, jobs.StateUnderWay, jobs.StateMadeSafe}

// The most days that one look covers.
const maxSetDays = 14

// Sets reads what the days from the first on need. An empty day is today in the
// branch's zone; zero days are seven. Positions are those of jobs handed out
// for these days, and of jobs whose other facts hold and that are not handed
// out yet. CodeNotFound, CodeInvalid.
func (d *Desk) Sets(ctx context.Context, branchID string, from jobs.Day, days int) (SetWeek, error) {
	if days == 0 {
		days = 7
	}
	var f jobs.Faults
	f.Check(from == "" || from.Valid(), "from", string(from), "a day like 2026-03-08")
	f.Check(days >= 1 && days <= maxSetDays, "days", fmt.Sprint(days), fmt.Sprintf("from 1 to %d", maxSetDays))
	if err := f.Err(); err != nil {
		return SetWeek{}, err
	}
	now := d.Now()
	g, err := read(ctx, d, func(tx *store.Tx) (setGathering, error) { return gatherSets(tx, branchID, from, days, now) })
	if err != nil {
		return SetWeek{}, err
	}
	return g.settle()
}

// setGathering is what was read for a look at the sets.
type setGathering struct {
	week   SetWeek
	office estimate.Settings
	sizes  map[string]jobs.SetSize
	uses   []estimate.SetUse
	lights map[string]string // of a need, by the id of its part
	today  jobs.Day
	codes  map[string]string // catalogue parts by what is ordered
}

func gatherSets(tx *store.Tx, branchID string, from jobs.Day, days int, now time.Time) (g setGathering, err error) {
	_, zone, err := branchZone(tx, branchID)
	if err != nil {
		return g, err
	}
	g.today, g.lights = jobs.DayOf(now, zone), map[string]string{}
	if from == "" {
		from = g.today
	}
	g.week = SetWeek{BranchID: branchID, From: from, To: from.Add(days - 1)}
	c, office, err := catalogueNow(tx, branchID)
	if err != nil {
		return g, err
	}
	g.office, g.sizes, g.codes = office, c.sizes, c.codes
	for _, p := range c.parts {
		if size, ok := c.sizes[p.ID]; ok {
			g.week.Shelf = append(g.week.Shelf, SetOnShelf{p, size.Light})
		}
	}
	crews, err := tx.Crews(branchID)
	if err != nil {
		return g, err
	}
	names := map[string]string{}
	for _, crew := range crews {
		names[crew.ID] = crew.Name
	}
	stops, err := tx.LiveStops(branchID, from.Start(zone))
	if err != nil {
		return g, err
	}
	list, err := tx.JobsIn(branchID, takesSets...)
	if err != nil {
		return g, err
	}
	for _, j := range list {
		on, ok, err := conversionOf(tx, j, stops, zone, now)
		if err != nil {
			return g, err
		}
		if !ok || on.day > g.week.To {
			continue
		}
		if err := g.job(tx, j, on.day, names[on.crew]); err != nil {
			return g, err
		}
	}
	return g, nil
}

type conversionOn struct {
	day  jobs.Day // empty: not handed out
	crew string
}

// conversionOf is when a job is converted. Of a job that was not handed out,
// only what gates it beside its parts may be open for nothing: no set is
// reserved for a job without a deposit.
func conversionOf(tx *store.Tx, j jobs.Job, stops []jobs.Stop, zone *time.Location, now time.Time) (on conversionOn, ok bool, err error) {
	first := time.Time{}
	for _, s := range stops {
		i := slices.IndexFunc(j.Visits, func(v jobs.Visit) bool { return v.ID == s.VisitID && v.Kind == jobs.VisitConvert })
		if s.JobID == j.ID && i >= 0 && (first.IsZero() || s.StartAt.Before(first)) {
			first = s.StartAt
			on = conversionOn{jobs.DayOf(s.StartAt, zone), s.CrewID}
		}
	}
	switch {
	case !first.IsZero():
		return on, true, nil
	case j.State == jobs.StateReady:
		return on, true, nil
	case j.State != jobs.StateApproved:
		return on, false, nil
	}
	facts, err := factsOf(tx, j, now)
	if err != nil {
		return on, false, err
	}
	for _, f := range facts.Facts {
		if f.Name != "parts" && (f.State == jobs.FactLacks || f.State == jobs.FactNotKnown) {
			return on, false, nil
		}
	}
	return on, true, nil
}

// job adds a job's positions without a set, the sets that its truck takes along
// and what it has too much of.
func (g *setGathering) job(tx *store.Tx, j jobs.Job, day jobs.Day, crew string) error {
	parts, err := tx.JobParts(j.ID)
	if err != nil || j.EstimateID == "" {
		return err
	}
	kept, err := tx.Estimate(j.EstimateID)
	if err != nil {
		return err
	}
	e, err := estimate.Decode(kept.Body)
	if err != nil {
		return err
	}
	cords := map[string]estimate.Cord{}
	for _, c := range e.Cords {
		cords[c.Position] = c
		if !c.Order.Known {
			n := SetNotKnown{JobID: j.ID, JobNumber: j.Number, Position: c.Name, Says: estimate.NotKnown}
			if len(c.Order.Missing) > 0 {
				n.Says = c.Order.Missing[0].Text
			}
			g.week.NotKnown = append(g.week.NotKnown, n)
		}
	}
	for _, p := range parts {
		if p.Surplus {
			g.week.Surplus = append(g.week.Surplus, SurplusPart{Part: p, JobNumber: j.Number, Customer: j.CustomerName, Restock: g.restock(p)})
			continue
		}
		cord, ok := cords[p.SubjectID]
		if !ok || !cord.Order.Known || cord.Light == "" || !p.State.Open() {
			continue
		}
		if day != "" {
			g.uses = append(g.uses, estimate.SetUse{Truck: crew, Day: day, Light: cord.Light, Length: cord.Order.Value})
		}
		if p.State != jobs.PartNeeded {
			continue
		}
		g.lights[p.ID] = cord.Light
		g.week.Needs = append(g.week.Needs, SetNeed{JobPart: p, JobNumber: j.Number, Customer: j.CustomerName, Site: j.SiteName, Position: cord.Name,
			Day: day, Crew: crew, Low: cord.Needed.Low, High: cord.Needed.High, Known: weakest(cord.Run.Inputs)})
	}
	return nil
}

// restock is what sending a part back would cost.
func (g *setGathering) restock(p jobs.JobPart) jobs.Cents {
	for _, s := range g.week.Shelf {
		if s.Part.ID == p.PartID {
			return s.Part.Cost * jobs.Cents(p.Quantity) * jobs.Cents(g.office.Orders.Restock) / 1000
		}
	}
	return 0
}

// settle computes the assignment. It runs outside of any transaction.
func (g setGathering) settle() (SetWeek, error) {
	w, order := g.week, estimate.SetOrder{Key: "order", Fee: g.office.Orders.Fee, Arrives: g.today.Add(int(g.office.Orders.LeadDays))}
	w.Arrives = order.Arrives
	q := estimate.SetQuestion{Orders: []estimate.SetOrder{order}}
	for _, n := range w.Needs {
		q.Needs = append(q.Needs, estimate.SetNeed{Key: n.JobPart.ID, Light: g.lights[n.JobPart.ID], Low: n.Low, High: n.High, Day: n.Day})
	}
	if g.office.Orders.Spares {
		for _, n := range estimate.SpareNeeds(g.uses) {
			q.Needs = append(q.Needs, n)
			w.Spares = append(w.Spares, SetNeed{Position: "Spare", Day: n.Day, Low: n.Low, High: n.High})
		}
	}
	offers := map[string]SetPick{}
	for _, l := range g.office.Catalogue.Lights {
		for _, s := range l.Sets {
			key := setKey(l.Key, s.Length)
			if _, twice := offers[key]; twice {
				continue
			}
			q.Offers = append(q.Offers, estimate.SetOffer{Key: key, Light: l.Key, Length: s.Length, Cost: s.Cost, Order: order.Key})
			offers[key] = SetPick{From: FromOrder, PartID: g.codes[key], LineKey: key, Name: l.Name + " with cord of " + jobs.FeetInches(s.Length)}
		}
	}
	shelf := map[string]jobs.Part{}
	for _, s := range w.Shelf {
		shelf[s.Part.ID] = s.Part
		q.Stock = append(q.Stock, estimate.StockSet{Key: s.Part.ID, Light: s.Light, Length: g.sizes[s.Part.ID].LengthUM, Count: s.Part.OnHand, Value: s.Part.Cost})
	}
	a, err := estimate.Assign(q)
	if err != nil {
		return w, err
	}
	for i, p := range a.Picks {
		pick := SetPick{From: FromNone}
		if part, ok := shelf[p.Stock]; ok {
			pick = SetPick{From: FromShelf, PartID: part.ID, Name: part.Name}
		} else if offer, ok := offers[p.Offer]; ok {
			pick = offer
		}
		pick.Length, pick.Cost, pick.Over, pick.Late = p.Length, p.Cost, p.Over, p.Late
		for _, key := range p.Shorter {
			pick.Shorter = append(pick.Shorter, shelf[key].Name)
		}
		if i < len(w.Needs) {
			w.Needs[i].Pick = pick
		} else {
			w.Spares[i-len(w.Needs)].Pick = pick
		}
	}
	a.Picks, w.Totals = nil, a
	slices.SortStableFunc(w.Needs, func(a, b SetNeed) int {
		return cmp.Or(cmp.Compare(orLast(a.Day), orLast(b.Day)), cmp.Compare(a.JobNumber, b.JobNumber), strings.Compare(a.Position, b.Position))
	})
	return w, nil
}

func orLast(d jobs.Day) jobs.Day { return cmp.Or(d, "9999-12-31") }
