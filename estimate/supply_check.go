package estimate

import "ebbline/jobs"

// check looks the limits of the low-voltage side through. What the code sets may
// be stricter here, never looser.
func (s SupplySettings) check(within func(field string, v, least, most int64)) {
	const far = int64(1e9)
	within("supply.contact_peak", s.ContactPeak, 1, 21_200)
	within("supply.contact_dc", s.ContactDC, 1, 30_000)
	within("supply.contact_pulsed", s.ContactPulsed, 1, 12_400)
	within("supply.mains_low", s.MainsLow, 800, 1000)
	within("supply.mains_high", s.MainsHigh, 1000, 1200)
	within("supply.cool", s.Cool, -20_000, 75_000)
	within("supply.circuit_volts", s.CircuitVolts, 1, 150_000)
	within("supply.branch_amps", s.BranchAmps, 1, 20_000)
	within("supply.output_amps", s.OutputAmps, 1, 25_000)
	within("supply.distance", s.Distance, 0, far)
	within("supply.distance_else", s.DistanceElse, 0, far)
	within("supply.above_deck", s.AboveDeck, 0, far)
	within("supply.above_water", s.AboveWater, 0, far)
	within("supply.flex_one", s.FlexOne, 0, far)
	within("supply.flex_all", s.FlexAll, 0, far)
	within("supply.receptacle_least", s.ReceptacleLeast, 0, far)
	within("supply.receptacle_most", s.ReceptacleMost, s.ReceptacleLeast, far)
	within("supply.exempt_power", s.ExemptPower, 0, 10_000_000)
}

// check looks the words of a supply part through.
func (part SupplyPart) check(f *jobs.Faults, within func(field string, v, least, most int64), at string) {
	oneOf(f, at+"form", part.Form, FormSine, FormChop, FormDC, FormPulsed)
	oneOf(f, at+"listed", part.Listed, "", Yes, Not)
	oneOf(f, at+"protection", part.Protection, "", Asked, "not_asked")
	within(at+"hertz", part.Hertz, 0, 1_000_000)
	least := int64(0)
	if part.Form == FormChop { // without it, nobody can say what its taps peak at
		least = 1000
	}
	within(at+"crest", part.Crest, least, 10_000)
}

// checkSheet looks the words of a light's sheet through.
func (l Light) checkSheet(f *jobs.Faults, at string) {
	oneOf(f, at+"shell", l.Shell, "", ShellPlastic, ShellMetal)
	oneOf(f, at+"ungrounded", l.Ungrounded, "", Yes, Not)
	oneOf(f, at+"dry_safe", l.DrySafe, "", Yes, Not)
}

func oneOf(f *jobs.Faults, field, v string, words ...string) {
	want := ""
	for _, word := range words {
		if v == word {
			return
		}
		if word == "" {
			word = "nothing"
		}
		if want != "" {
			want += ", "
		}
		want += word
	}
	f.Add(field, v, want)
}
