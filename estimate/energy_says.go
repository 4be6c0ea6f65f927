package estimate

import "fmt"

// energySays puts the savings into words for the customer: what is known, with
// its band, and plainly what is not.
func (c *calc) energySays(en Energy) string {
	if !en.Saved.Known {
		return "What the new lights save in a year is not known yet: it takes the old lamps' watts and how long they are lit."
	}
	if en.Saved.Value <= 0 {
		return "By what is known, the new lights save no power over the old ones."
	}
	text := fmt.Sprintf("Lit %s h in a year, the new lights save about %s or %s%s in power", grouped(en.Lit.Value/3600), en.Saved.Text, en.Money.Text, between(en.Money))
	if en.Lamps.Known && en.Lamps.Value > 0 {
		text += fmt.Sprintf(", and about %s%s in lamps", en.Lamps.Text, between(en.Lamps))
	}
	text += fmt.Sprintf(", with a kilowatt-hour at %s cents.", tenth(float64(c.set.Energy.KWh)/100))
	if hours := en.Lit.Value / 3600; hours > 0 {
		text += fmt.Sprintf(" At %s h of life a light lasts about %s.", grouped(c.set.Energy.LightHours), years(c.set.Energy.LightHours*12/hours))
	}
	if en.Payback.Known {
		text += fmt.Sprintf(" By savings alone the price is paid back in about %s.", years(en.Payback.Value))
	} else {
		text += " When savings pay the price back is not known yet."
	}
	return text
}

// between writes a figure's band in brackets; nothing where it has none.
func between(f Figure) string {
	low, high := show(f.Low, f.Unit), show(f.High, f.Unit)
	if low == high {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", low, high)
}

// years writes months as years, in months below two years.
func years(months int64) string {
	if months < 24 {
		return plural(int(months), "month")
	}
	return plural(int((months+6)/12), "year")
}
