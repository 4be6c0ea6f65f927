package estimate

import "ebbline/jobs"

// Energy is what the customer saves by the year.
type Energy struct {
	Before  Figure `json:"before"`  // power of the old illuminators
	After   Figure `json:"after"`   // power of the new lights at the supply
	Saved   Figure `json:"saved"`   // watt-hours a year
	Money   Figure `json:"money"`   // power saved in a year
	Lamps   Figure `json:"lamps"`   // lamps saved in a year
	Payback Figure `json:"payback"` // months
}

// energy compares the old illuminators with the new lights.
func (c *calc) energy(e Estimate) Energy {
	var out Energy
	var before []num
	hours, nights, count := unknown(Miss{Text: "How long and how often the lights are lit"}), num{}, 0.0
	for _, old := range c.survey.OfKind(jobs.SubjectIlluminator) {
		each, n := c.illuminator(old)
		before = append(before, each)
		count += n
		if h := c.read(old, "hours_night"); !hours.ok || h.ok {
			hours, nights = h, c.read(old, "nights_year")
		}
	}
	if len(before) == 0 {
		before = append(before, unknown(Miss{Text: "The old illuminator and its watts"}))
	}
	was := sum(before...)
	out.Before = figure("energy.before", "Power of the old illuminators", "", UnitPower, was)
	out.Before.Formula, out.Before.Source = "lamp × ballast + fan and colour wheel, or the nameplate", "a 100 W halide lamp draws 118 to 128 W (lighting-design article)"
	now := num{ok: e.Supply.Power.Known, miss: e.Supply.Power.Missing, in: []Input{e.Supply.Power.input()}}
	loss := 1 + float64(e.Supply.part.Loss)/1000
	now.v = float64(e.Supply.Power.Value) * loss
	now.lo, now.hi = now.v, now.v
	out.After = figure("energy.after", "Power of the new lights at the circuit", "", UnitPower, now)
	out.After.Formula, out.After.Source = "power of all lights × (1 + the supply's own losses)", "catalogue"
	less := sum(was.then(out.Before), minus(now.then(out.After)))
	lit := product(hours, nights) // seconds a year
	saved := gather(less, lit)
	saved.v = savedWattHours(less.v, lit.v)
	saved.lo, saved.hi = savedWattHours(less.lo, lit.lo), savedWattHours(less.hi, lit.hi)
	if saved.lo > saved.hi {
		saved.lo, saved.hi = saved.hi, saved.lo
	}
	out.Saved = figure("energy.saved", "Energy saved in a year", "", UnitEnergy, saved)
	out.Saved.Formula, out.Saved.Source = "(power before − power after) × hours a night × nights a year", "lighting handbooks; definition"
	rate := float64(c.set.Energy.KWh)
	cents := saved.then(out.Saved).times(rate / 100 / 1000)
	out.Money = figure("energy.money", "Power saved in a year", "", UnitMoney, cents)
	out.Money.Formula, out.Money.Source = "energy saved × "+tenth(rate/100)+" cents for a kilowatt-hour", "branch rates; the customer's own bill governs"
	lamps := lit
	if lamps.ok && c.set.Energy.LampHours > 0 {
		lamps = lamps.times(count * float64(c.set.Energy.Lamp) / 3600 / float64(c.set.Energy.LampHours))
	}
	out.Lamps = figure("energy.lamps", "Lamps saved in a year", "", UnitMoney, lamps)
	out.Lamps.Formula, out.Lamps.Source = "hours lit in a year ÷ lamp life × cost of a lamp fitted", "from memory: halide lamps last 5 000 to 10 000 h"
	c.payback(&out, e, cents, lamps)
	return out
}

func savedWattHours(milliwatts, seconds float64) float64 { return milliwatts / 1000 * seconds / 3600 }

// illuminator is one old illuminator's power in mW, times how many there are.
func (c *calc) illuminator(old jobs.Subject) (num, float64) {
	count := 1.0
	if n, ok := old.Base("count"); ok {
		count = float64(n)
	}
	if plate := c.read(old, "input_watts"); plate.ok {
		return plate.times(count), count
	}
	lamp := c.read(old, "watts")
	factor := 1.0
	if old.Choice("lamp") == "halide" {
		factor = float64(c.set.Energy.Ballast) / 1000
	}
	lamp = lamp.times(factor)
	if old.Yes("colour_wheel") {
		lamp = sum(lamp, fixed(float64(c.set.Energy.Extras), Input{Name: "Fan and colour wheel", Text: show(c.set.Energy.Extras, UnitPower)}))
	}
	return lamp.times(count), count
}

// payback is how many months the savings take to pay the price.
func (c *calc) payback(out *Energy, e Estimate, cents, lamps num) {
	year := sum(cents.then(out.Money), lamps.then(out.Lamps))
	price := num{ok: e.Price.Total.Known, miss: e.Price.Total.Missing, in: []Input{e.Price.Total.input()}}
	price.v = float64(e.Price.Total.Value)
	price.lo, price.hi = price.v, price.v
	n := gather(price, year)
	if n.ok && year.lo <= 0 {
		n = unknown(Miss{Text: "Nothing is saved at the low end of the band, so it may never pay back"})
	}
	if n.ok {
		n = quotient(price, year).times(12)
	}
	out.Payback = figure("energy.payback", "Months until the savings have paid the price", "", UnitMonths, n)
	out.Payback.Formula, out.Payback.Source = "price ÷ (power + lamps saved in a year) × 12", "simple payback, lighting handbooks"
}
