package estimate

import "fmt"

// Forms of a supply's output. Empty means a plain transformer: sinusoidal AC.
const (
	FormSine   = ""
	FormChop   = "ac_other"       // AC that is no sine: an electronic supply
	FormDC     = "dc"             // steady
	FormPulsed = "dc_interrupted" // dimmed by pulses
)

// contactLimit is the low-voltage contact limit that a supply's taps are held
// against, in mV, and what the limit counts: RMS, peak or DC. Limits in the
// settings may only be stricter than the table: NEC article 100 (2023), 680.2
// before.
func (s SupplySettings) contactLimit(part SupplyPart) (limit int64, counts string) {
	switch part.Form {
	case FormChop:
		return s.ContactPeak, "peak of AC that is no sine"
	case FormDC:
		return s.ContactDC, "steady DC"
	case FormPulsed:
		if part.Hertz >= 10 && part.Hertz <= 200 {
			return s.ContactPulsed, fmt.Sprintf("peak of DC interrupted at %d Hz", part.Hertz)
		}
		return s.ContactPulsed, "peak of interrupted DC; its rate is outside 10 to 200 Hz or not known, and the lowest limit is taken"
	}
	return s.ContactLimit, "RMS of sinusoidal AC"
}

// counted is a tap, given in RMS or DC, in what its limit counts.
func (part SupplyPart) counted(tap int64, ratio float64) float64 {
	v := float64(tap) * ratio
	if part.Form == FormChop {
		v *= float64(part.Crest) / 1000
	}
	return v
}

// inContact says whether a tap stays within the limit at the measured voltage
// of the circuit.
func (c *calc) inContact(part SupplyPart, tap int64, m mains) bool {
	limit, _ := c.set.Supply.contactLimit(part)
	return part.counted(tap, m.rated()) <= float64(limit)
}

// rated is how far the circuit is known to stand above its nominal voltage. A
// listing allows for what a utility may deliver, so only a reading counts.
func (m mains) rated() float64 {
	if !m.measured {
		return 1
	}
	return m.top
}
