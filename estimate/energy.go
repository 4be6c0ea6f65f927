package estimate

import "ebbline/jobs"

// Energy is what the customer saves by the year.
type Energy struct {
	Before  Figure `json:"before"`  // power of the old illuminators
	After   Figure `json:"after"`   // power of the new lights at the circuit
	Lit     Figure `json:"lit"`     // seconds a year
	Saved   Figure `json:"saved"`   // watt-hours a year
	Money   Figure `json:"money"`   // power saved in a year
	Lamps   Figure `json:"lamps"`   // lamps saved in a year
	Year    Figure `json:"year"`    // both
	Payback Figure `json:"payback"` // months
	Says    string `json:"says"`    // the same for the customer, in a sentence or two
}

// energy compares the old illuminators with the new lights. All of them are
// taken to be lit by the new lights' hours: the longest of the old ones', which
// claims least.
func (c *calc) energy(e Estimate) Energy {
	var out Energy
	old := c.survey.OfKind(jobs.SubjectIlluminator)
	was, used, lit, lamps := c.illuminators(old)
	out.Before = figure("energy.before", "Power of the old illuminators", "", UnitPower, was)
	out.Before.Formula, out.Before.Source = "lamp × ballast + fan and colour wheel, or the nameplate", "a 100 W halide lamp draws 118 to 128 W (lighting-design article); fan and wheel from memory"
	now := c.newPower(e.Supply)
	out.After = figure("energy.after", "Power of the new lights at the circuit", "", UnitPower, now)
	out.After.Formula, out.After.Source = "(power of all lights + what the cords lose) × (1 + the supply's own losses)", "catalogue"
	out.Lit = figure("energy.lit", "Lit in a year", "", UnitSeconds, lit)
	if out.Lit.Known {
		out.Lit.Text = grouped(out.Lit.Value/3600) + " h"
	}
	out.Lit.Formula, out.Lit.Source = "hours a night × nights a year", "definition"
	spends := product(now.then(out.After), lit.then(out.Lit))
	saved := sum(used, minus(spends))
	saved.in = []Input{out.Before.input(), out.After.input(), out.Lit.input()}
	saved = saved.times(1.0 / 1000 / 3600)
	out.Saved = figure("energy.saved", "Energy saved in a year", "", UnitEnergy, saved)
	out.Saved.Formula, out.Saved.Source = "(power before − power after) × hours lit in a year", "lighting handbooks; definition"
	rate := float64(c.set.Energy.KWh)
	cents := saved.then(out.Saved).times(rate / 100 / 1000)
	out.Money = figure("energy.money", "Power saved in a year", "", UnitMoney, cents)
	out.Money.Formula, out.Money.Source = "energy saved × "+tenth(rate/100)+" cents for a kilowatt-hour", "branch rates; the customer's own bill governs"
	out.Lamps = figure("energy.lamps", "Lamps saved in a year", "", UnitMoney, lamps)
	out.Lamps.Formula, out.Lamps.Source = "lamps × hours lit in a year ÷ hours of lamp life × a lamp fitted: "+grouped(c.set.Energy.LampHours)+" h and "+show(int64(c.set.Energy.Lamp), UnitMoney)+", of halogen "+grouped(c.set.Energy.HalogenHours)+" h and "+show(int64(c.set.Energy.HalogenLamp), UnitMoney), "from memory: halide lamps last 5 000 to 10 000 h, halogen lamps 2 000 h and more; branch rates"
	year := sum(cents.then(out.Money), lamps.then(out.Lamps))
	out.Year = figure("energy.year", "Saved in a year, power and lamps", "", UnitMoney, year)
	out.Year.Formula, out.Year.Source = "power saved + lamps saved", "definition"
	out.Payback = c.payback(e, year.then(out.Year))
	out.Says = c.energySays(out)
	return out
}

// newPower is what the new lights draw from the circuit, in mW.
func (c *calc) newPower(s Supply) num {
	n := num{ok: s.Power.Known, miss: s.Power.Missing, in: []Input{s.Power.input()}}
	n.v = (float64(s.Power.Value) + s.ohmic) * (1 + float64(s.part.Loss)/1000)
	n.lo, n.hi = n.v, n.v
	if n.ok && s.ohmic > 0 {
		n.in = append(n.in, Input{Name: "Lost in the cords", Text: show(round(s.ohmic), UnitPower)})
	}
	return n
}

// illuminators are the old ones' power in mW, what they use in a year in mW·s,
// the longest time lit in seconds a year, and the cents of lamps in a year.
func (c *calc) illuminators(old []jobs.Subject) (was, used, lit, lamps num) {
	if len(old) == 0 {
		was = unknown(Miss{Text: "The old illuminator and its watts"})
		lit = unknown(Miss{Text: "How long and how often the lights are lit"})
		return was, gather(was, lit), lit, lit
	}
	was, used, lit, lamps = num{ok: true}, num{ok: true}, num{ok: true}, num{ok: true}
	life := num{v: 1, lo: 1, hi: 1, ok: true}.spread(1 + float64(c.set.Energy.LampBand)/1000)
	for i, one := range old {
		power, count := c.illuminator(one)
		hours := product(c.read(one, "hours_night"), c.read(one, "nights_year"))
		was = sum(was, power)
		used = sum(used, product(power, hours))
		if i == 0 {
			lit = hours
		} else {
			lit = greatest(lit, hours)
		}
		each, lasts := c.set.Energy.Lamp, c.set.Energy.LampHours
		switch one.Choice("lamp") {
		case "led": // no lamp to replace
			each = 0
		case "halogen":
			each, lasts = c.set.Energy.HalogenLamp, c.set.Energy.HalogenHours
		}
		lamps = sum(lamps, product(hours.times(count*float64(each)/3600/float64(lasts)), life))
	}
	return was, used, lit, lamps
}

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
	if old.Choice("lamp") == "halide" {
		lamp = lamp.times(float64(c.set.Energy.Ballast) / 1000).spread(1 + float64(c.set.Energy.BallastBand)/1000)
	}
	if old.Yes("colour_wheel") {
		lamp = sum(lamp, fixed(float64(c.set.Energy.Extras), Input{Name: "Fan and colour wheel", Text: show(c.set.Energy.Extras, UnitPower)}))
	}
	return lamp.times(count), count
}

// payback is how many months the savings take to pay the price.
func (c *calc) payback(e Estimate, year num) Figure {
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
	f := figure("energy.payback", "Months until the savings have paid the price", "", UnitMonths, n)
	f.Formula, f.Source = "price ÷ (power + lamps saved in a year) × 12", "simple payback, lighting handbooks"
	return f
}
