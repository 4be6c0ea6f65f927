package estimate

import (
	"fmt"
	"strconv"

	"ebbline/jobs"
)

// Check looks settings through; the error names each wrong number, its value
// and what would be right.
func (s Settings) Check() error {
	var f jobs.Faults
	within := func(field string, v, least, most int64) {
		f.Check(v >= least && v <= most, field, strconv.FormatInt(v, 10), fmt.Sprintf("from %d to %d", least, most))
	}
	const far, long = int64(1e9), int64(100 * 86_400) // 1 km in µm, 100 days in s
	within("version", int64(s.Version), 1, 1<<31)
	checkBands(within, s.Bands)
	w := s.Water
	within("water.below_fitting", w.BelowFitting, 0, far)
	within("water.cover", w.Cover, 0, far)
	within("water.face_assumed", w.FaceAssumed, 0, far)
	for place, rate := range w.RateByPlace {
		within("water.rate_by_place."+place, rate, 0, 10_000_000)
	}
	within("water.pump.head", w.Pump.Head, 1, far)
	within("water.pump.flow", w.Pump.Flow, 1, 10_000_000)
	within("water.hose_length", w.HoseLength, 1, far)
	within("water.hose_inside", w.HoseInside, 1_000, 1_000_000)
	within("water.hose_smooth", w.HoseSmooth, 50, 200)
	within("water.rise_assumed", w.RiseAssumed, -far, far)
	for finish, limit := range w.LowLimit {
		within("water.low_limit."+finish, limit, 3600, long)
	}
	within("water.low_limit_else", w.LowLimitElse, 3600, long)
	within("water.hold", w.Hold, 0, long)
	within("water.chlorine_limit", w.ChlorineLimit, 0, 10_000)
	within("water.ph_low", w.PHLow, 0, 14_000)
	within("water.ph_high", w.PHHigh, max(w.PHLow, 0), 14_000)
	within("water.evaporation", w.Evaporation, 0, 100_000)
	within("water.rain", w.Rain, 0, 1_000_000)
	within("cord.wall", s.Cord.Wall, 0, far)
	within("cord.supply", s.Cord.Supply, 0, far)
	within("cord.spare", s.Cord.Spare, 0, 1000)
	within("cord.deck_above_tile", s.Cord.DeckAboveTile, 0, far)
	within("cord.on_deck", s.Cord.OnDeck, 0, far)
	s.Orders.check(within)
	within("supply.loading", s.Supply.Loading, 1, 1000)
	within("supply.contact_limit", s.Supply.ContactLimit, 1, 15_000)
	within("supply.continuous", s.Supply.Continuous, 1, 1000)
	s.Supply.check(within)
	if s.Conduit.DryFriction != 0 { // settings kept before there were any: see conduits
		s.Conduit.check(&f, within)
	}
	s.Labour.check(&f, within)
	s.Catalogue.check(&f, within)
	p := s.Price
	for field, cents := range map[string]jobs.Cents{"crew_hour": p.CrewHour, "licensed_hour": p.LicensedHour, "trip": p.Trip, "permit": p.Permit} {
		within("price."+field, int64(cents), 0, 10_000_000)
	}
	for field, part := range map[string]int64{"materials": p.Materials, "overhead": p.Overhead, "margin": p.Margin} {
		within("price."+field, part, 0, 10_000)
	}
	within("price.tax", p.Tax, 0, 100_000)
	within("price.deposit", p.Deposit, 0, 1000)
	f.Check(len(p.Allowances) <= 100, "price.allowances", strconv.Itoa(len(p.Allowances)), "at most 100")
	for i, a := range p.Allowances {
		at := fmt.Sprintf("price.allowances.%d.", i)
		f.Line(at+"name", a.Name, 1, 200)
		within(at+"people", int64(a.People), 0, 20)
		within(at+"seconds", a.Seconds, 0, 30*86_400)
		within(at+"parts", int64(a.Parts), 0, 10_000_000)
	}
	within("energy.kwh", s.Energy.KWh, 0, 1_000_000)
	within("energy.ballast", s.Energy.Ballast, 1000, 5000)
	within("energy.extras", s.Energy.Extras, 0, 1_000_000)
	within("energy.lamp", int64(s.Energy.Lamp), 0, 10_000_000)
	within("energy.lamp_hours", s.Energy.LampHours, 1, 1_000_000)
	within("energy.halogen_lamp", int64(s.Energy.HalogenLamp), 0, 1_000_000_00)
	within("energy.halogen_hours", s.Energy.HalogenHours, 1, 1_000_000)
	within("energy.ballast_band", s.Energy.BallastBand, 0, 1000)
	within("energy.lamp_band", s.Energy.LampBand, 0, 1000)
	within("energy.light_hours", s.Energy.LightHours, 1, 1_000_000)
	return f.Err()
}

// checkBands asks that what is better known is never taken as less exact.
func checkBands(within func(field string, v, least, most int64), b Bands) {
	for name, band := range map[string]map[jobs.Known]int64{"length": b.Length, "flow": b.Flow} {
		most := int64(2000)
		for _, known := range jobs.Knowns[1:] {
			within("bands."+name+"."+string(known), band[known], 0, most)
			most = min(most, max(band[known], 0))
		}
	}
	within("bands.kidney", b.Kidney, 0, 1000)
	within("bands.free", b.Free, 0, 1000)
	within("bands.pump", b.Pump, 0, 1000)
}

func (l LabourSettings) check(f *jobs.Faults, within func(field string, v, least, most int64)) {
	within("labour.quantile", l.Quantile, 500, 990)
	within("labour.day_factor", l.DayFactor, 0, 1000)
	within("labour.again", l.Again, 0, 86_400)
	kinds := map[string]bool{}
	for i, v := range l.Visits {
		at := fmt.Sprintf("labour.visits.%d.", i)
		f.Check(v.Kind != "" && !kinds[v.Kind], at+"kind", v.Kind, "a kind of its own")
		f.Check(v.Water == "nothing" || v.Water == "low" || v.Water == "covered", at+"water", v.Water, "nothing, low or covered")
		within(at+"people", int64(v.People), 1, 20)
		kinds[v.Kind] = true
	}
	for i, t := range l.Tasks {
		at := fmt.Sprintf("labour.tasks.%d.", i)
		f.Check(kinds[t.Visit], at+"visit", t.Visit, "a kind of visit in these settings")
		f.Check(t.Each == "job" || t.Each == "light" || t.Each == "zone" || t.Each == "body", at+"each", t.Each, "job, light, zone or body")
		within(at+"best", t.Best, 1, 30*86_400)
		within(at+"usual", t.Usual, t.Best, 30*86_400)
		within(at+"worst", t.Worst, t.Usual, 30*86_400)
	}
	for i, factor := range l.Factors {
		within(fmt.Sprintf("labour.factors.%d.part", i), factor.Part, 1000, 10_000)
	}
	within("labour.learned_at", l.LearnedAt, 0, 1<<40)
	for kind, part := range l.Learned {
		within("labour.learned."+kind, part, 100, 10_000)
	}
}

func (c CatalogueOffice) check(f *jobs.Faults, within func(field string, v, least, most int64)) {
	f.Check(len(c.Lights) > 0, "catalogue.lights", "", "at least one light")
	f.Check(len(c.Supplies) > 0, "catalogue.supplies", "", "at least one supply")
	for i, l := range c.Lights {
		at := fmt.Sprintf("catalogue.lights.%d.", i)
		within(at+"power", l.Power, 1, 1_000_000)
		within(at+"power_factor", l.PowerFactor, 100, 1000)
		within(at+"volts_min", l.VoltsMin, 1, 100_000)
		within(at+"volts_max", l.VoltsMax, l.VoltsMin, 100_000)
		_, listed := milliohms[l.AWG]
		f.Check(listed, at+"awg", strconv.Itoa(l.AWG), "18, 16, 14, 12, 10 or 8")
		within(at+"cord_outer", l.CordOuter, 1, 100_000)
		l.checkSheet(f, at)
		within(at+"cord_weight", l.CordWeight, 0, 100_000_000)
		within(at+"conductors", int64(l.Conductors), 0, 50)
		within(at+"lens_width", l.LensWidth, 0, 1_000_000)
		within(at+"body_width", l.BodyWidth, 1, 1_000_000)
		within(at+"body_length", l.BodyLength, 1, 10_000_000)
		longest := int64(0)
		for j, set := range l.Sets {
			within(fmt.Sprintf("%ssets.%d.length", at, j), set.Length, longest+1, 1_000_000_000)
			within(fmt.Sprintf("%ssets.%d.cost", at, j), int64(set.Cost), 0, 10_000_000)
			longest = set.Length
		}
	}
	for i, s := range c.Supplies {
		at := fmt.Sprintf("catalogue.supplies.%d.", i)
		within(at+"outputs", int64(s.Outputs), 1, 100)
		within(at+"total", s.Total, 1, 100_000_000)
		within(at+"output", s.Output, 1, s.Total)
		within(at+"loss", s.Loss, 0, 1000)
		s.check(f, within, at)
		within(at+"cost", int64(s.Cost), 0, 100_000_000)
		last := int64(0)
		for j, tap := range s.Taps {
			within(fmt.Sprintf("%staps.%d", at, j), tap, last+1, 100_000)
			last = tap
		}
	}
	for i, p := range c.Parts {
		at := fmt.Sprintf("catalogue.parts.%d.", i)
		f.Check(p.Each == "light" || p.Each == "conduit" || p.Each == "zone" || p.Each == "job", at+"each", p.Each, "light, conduit, zone or job")
		f.Check(p.When == "" || p.When == "our_pump" || p.When == "neutraliser" || p.When == adapterRule || p.When == "open_up", at+"when", p.When, "our_pump, neutraliser, adapter, open_up or nothing")
		within(at+"quantity", p.Quantity, 1, 1_000_000)
		within(at+"cost", int64(p.Cost), 0, 10_000_000)
	}
}
