package estimate

import (
	"strings"
	"testing"

	"ebbline/jobs"
)

// atPlace sets values of the supply place, "" for the unit of words and counts.
func atPlace(t *testing.T, s jobs.Survey, values map[string]string) Estimate {
	t.Helper()
	for name, text := range values {
		spec, ok := jobs.FieldOf(jobs.SubjectSupply, name)
		if !ok {
			t.Fatalf("no field %s", name)
		}
		s = with(t, s, "supply", name, text, spec.Unit)
	}
	e := Make(s, DefaultSettings(), Ask{})
	checkForm(t, e)
	return e
}

// Each rule at its edge and just beyond. NEC article 680 (2017 and 2020 text),
// 210.20(A) and 411 (2023).
func TestRulesAtTheirEdges(t *testing.T) {
	s := survey(t, "rectangle")
	for _, c := range []struct {
		key, want string
		values    map[string]string
	}{
		{"supply.distance", Holds, map[string]string{"distance": "4"}},
		{"supply.distance", Short, map[string]string{"distance": "3.99"}},
		{"supply.distance", Holds, map[string]string{"distance": "3", "barrier": "yes"}},
		{"supply.above_deck", Holds, map[string]string{"height_deck": "4"}},
		{"supply.above_deck", Short, map[string]string{"height_deck": "3.9"}},
		{"supply.above_water", Holds, map[string]string{"height_water": "8"}},
		{"supply.above_water", Short, map[string]string{"height_water": "7.9"}},
		{"supply.walkway", Holds, map[string]string{"walkway": "no"}},
		{"supply.walkway", Holds, map[string]string{"walkway": "protected"}},
		{"supply.walkway", Short, map[string]string{"walkway": "unprotected"}},
		{"supply.others", Holds, map[string]string{"others_in_conduit": "no"}},
		{"supply.others", Short, map[string]string{"others_in_conduit": "yes"}},
		{"supply.terminals", Holds, map[string]string{"terminals": "5", "conduits_in": "4"}},
		{"supply.terminals", Short, map[string]string{"terminals": "4", "conduits_in": "4"}},
		{"supply.terminals", Unknown, map[string]string{"terminals": "4", "conduits_in": ""}},
		{"supply.strain_relief", Short, map[string]string{"strain_relief": "no"}},
		{"supply.flex", Holds, map[string]string{"flex_longest": "6"}},
		{"supply.flex", Short, map[string]string{"flex_longest": "6.1"}},
		{"supply.flex_all", Holds, map[string]string{"flex_all": "10"}},
		{"supply.flex_all", Short, map[string]string{"flex_all": "10.1"}},
		{"box", Unknown, map[string]string{"box": ""}},
		{"box", Holds, map[string]string{"box": "none"}},
		{"box", Holds, map[string]string{"box": "flush_potted"}},
		{"box", Short, map[string]string{"box": "flush"}},
		{"box.above_deck", Short, map[string]string{"box": "raised", "box_deck": "3.9"}},
		{"box.above_water", Short, map[string]string{"box": "raised", "box_water": "7.9"}},
		{"box.above_water", Holds, map[string]string{"box": "raised", "box_water": "8"}},
		{"box.distance", Short, map[string]string{"box": "flush_potted", "box_distance": "3.9"}},
		{"box.distance", Holds, map[string]string{"box": "raised", "box_distance": "4"}},
		{"supply.protection", Holds, map[string]string{"protection": "breaker"}},
		{"supply.protection", Short, map[string]string{"protection": "none"}},
		{"supply.protection", Unknown, map[string]string{"protection": ""}},
		{"supply.circuit_volts", Short, map[string]string{"circuit_voltage": "208", "voltage_box": ""}},
		{"supply.branch", Short, map[string]string{"circuit_breaker": "30"}},
		{"supply.circuit", Holds, map[string]string{"circuit_other": "15"}}, // 0.70 A of our own, 16 A may be
		{"supply.circuit", Short, map[string]string{"circuit_other": "15.5"}},
		{"supply.circuit", Holds, map[string]string{"circuit_other": "15.5", "circuit_other_long": "no"}}, // 15.5 + 1.25 × 0.70
		{"supply.circuit", Short, map[string]string{"circuit_other": "19.5", "circuit_other_long": "no"}},
	} {
		if got := result(atPlace(t, s, c.values), c.key); got != c.want {
			t.Errorf("%s with %v: %s, want %s", c.key, c.values, got, c.want)
		}
	}
}

// Our pump's outlet: at least 6 ft from the water, protected within 20 ft. NEC
// 680.22(A) (2017 and 2020 text).
func TestOutletOfOurPump(t *testing.T) {
	s := with(t, survey(t, "rectangle"), "pool", "becomes_low", jobs.LowByCrewPump, "")
	for key, values := range map[string]map[string]string{
		"outlet.distance":   {"outlet_water": "5.9"},
		"outlet.protection": {"outlet_water": "20", "outlet_protected": "no"},
	} {
		if got := result(atPlace(t, s, values), key); got != Short {
			t.Errorf("%s with %v: %s", key, values, got)
		}
	}
	e := atPlace(t, s, map[string]string{"outlet_water": "6", "outlet_protected": "yes"})
	if result(e, "outlet.distance") != Holds || result(e, "outlet.protection") != Holds {
		t.Error("6 ft, protected")
	}
	theirs := with(t, s, "pool", "becomes_low", jobs.LowByCustomer, "")
	if got := result(atPlace(t, theirs, nil), "outlet.distance"); got != "" {
		t.Errorf("no pump of ours runs: %s", got)
	}
}

// The protection asked for follows the supply's own sheet, and bonding the
// light's: NEC 680.23(A)(3), 680.22(A)(4), 680.26 (2017 and 2020 text).
func TestRulesThatTheSheetsDecide(t *testing.T) {
	none := with(t, survey(t, "rectangle"), "supply", "protection", "none", "")
	plug := with(t, none, "supply", "switched", "plug", "")
	unbonded := with(t, none, "supply", "bonding", "no", "")
	for _, c := range []struct {
		key, want string
		survey    jobs.Survey
		change    func(*SupplyPart, *Light)
	}{
		{"supply.protection", Holds, none, func(p *SupplyPart, _ *Light) { p.Protection = "not_asked" }},
		{"supply.protection", Unknown, none, func(p *SupplyPart, _ *Light) { p.Protection = "" }},
		{"supply.protection", Unknown, none, func(p *SupplyPart, _ *Light) { p.Protection, p.Listed = "not_asked", "" }},
		{"supply.protection", Short, plug, func(p *SupplyPart, _ *Light) { p.Protection = "not_asked" }},
		{"supply.listing", Holds, none, func(*SupplyPart, *Light) {}},
		{"supply.listing", Short, none, func(p *SupplyPart, _ *Light) { p.Listed = Not }},
		{"supply.listing", Unknown, none, func(p *SupplyPart, _ *Light) { p.Listed = "" }},
		{"supply.distance", Short, with(t, none, "supply", "distance", "9.9", "ft"), func(p *SupplyPart, _ *Light) { p.Listed = Not }},
		{"supply.bonding", Holds, unbonded, func(*SupplyPart, *Light) {}},
		{"supply.bonding", Short, unbonded, func(_ *SupplyPart, l *Light) { l.Shell = ShellMetal }},
		{"supply.bonding", Unknown, unbonded, func(_ *SupplyPart, l *Light) { l.Shell = "" }},
		{"supply.bonding", Holds, none, func(_ *SupplyPart, l *Light) { l.Shell = ShellMetal }}, // seen
		{"light.dry", Holds, none, func(*SupplyPart, *Light) {}},
		{"light.dry", Short, none, func(_ *SupplyPart, l *Light) { l.DrySafe = Not }},
		{"light.dry", Unknown, none, func(_ *SupplyPart, l *Light) { l.DrySafe = "" }},
		{"light.jumper", Holds, none, func(*SupplyPart, *Light) {}},
		{"light.jumper", Unknown, none, func(_ *SupplyPart, l *Light) { l.Ungrounded = Not }},
		{"permit", Holds, none, func(*SupplyPart, *Light) {}},
	} {
		set := DefaultSettings()
		for i := range set.Catalogue.Supplies {
			c.change(&set.Catalogue.Supplies[i], &set.Catalogue.Lights[0])
		}
		e := Make(c.survey, set, Ask{})
		checkForm(t, e)
		if got := result(e, c.key); got != c.want {
			t.Errorf("%s: %s, want %s", c.key, got, c.want)
		}
	}
	// at most 50 W and under 25 V: only the authority says that it is exempt
	set := DefaultSettings()
	set.Catalogue.Supplies = []SupplyPart{{Key: "s", Name: "Small", Outputs: 1, Output: 50_000, Total: 50_000, Taps: []int64{13_000}}}
	set.Catalogue.Lights[0].Power = 10_000
	if got := result(Make(none, set, Ask{}), "permit"); got != Unknown {
		t.Errorf("50 W: %s", got)
	}
	if got := result(Make(none, DefaultSettings(), Ask{NoPermit: true}), "permit"); got != Holds {
		t.Errorf("the authority said none: %s", got)
	}
}

// The disconnect for maintenance is for equipment other than lighting (NEC
// 680.13, 2017 and 2020 text): no check may flag it for lights.
func TestNoDisconnectIsAskedForLights(t *testing.T) {
	for _, name := range surveys {
		for _, c := range Make(survey(t, name), DefaultSettings(), Ask{}).Checks {
			if strings.Contains(c.Source+c.Text, "680.13") || strings.Contains(strings.ToLower(c.Name+c.Text), "disconnect") {
				t.Errorf("%s: %+v", name, c)
			}
		}
	}
}
