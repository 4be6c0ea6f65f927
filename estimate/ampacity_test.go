package estimate

import "testing"

// Flexible cords, three and two current-carrying conductors: NEC table
// 400.5(A)(1) (2023).
func TestCordAmpacity(t *testing.T) {
	for awg, want := range map[int][2]int64{18: {7, 10}, 16: {10, 13}, 14: {15, 18}, 12: {20, 25}, 10: {25, 30}, 8: {35, 40}} {
		three, n := Light{AWG: awg, Conductors: 3}.ampacity()
		two, m := Light{AWG: awg, Conductors: 2}.ampacity()
		open, _ := Light{AWG: awg}.ampacity()
		if three != want[0]*1000 || two != want[1]*1000 || open != three || n != 3 || m != 2 {
			t.Errorf("%d AWG: %d and %d mA", awg, three, two)
		}
	}
	set := DefaultSettings()
	for i := range set.Catalogue.Supplies {
		set.Catalogue.Supplies[i].Output, set.Catalogue.Supplies[i].Total = 2_000_000, 2_000_000
	}
	set.Catalogue.Lights[0].AWG, set.Catalogue.Lights[0].Conductors = 8, 3
	s := with(t, survey(t, "rectangle"), "l1", "watts", "150", "W")
	if got := result(Make(s, set, Ask{}), "cord.amps"); got != Holds {
		t.Errorf("150 W on 8 AWG: %s", got)
	}
	// 500 W / 0.9 at no more than 15 V are over 37 A, and 35 A may be
	s = with(t, with(t, s, "l1", "watts", "500", "W"), "c1", "length", "4", "ft")
	e := Make(s, set, Ask{})
	if got := result(e, "cord.amps"); got != Short {
		t.Errorf("500 W: %s", got)
	}
	// and a low-voltage output may carry 25 A: NEC 411.4 (2023)
	if got := result(e, "output.amps"); got != Short {
		t.Errorf("output of %s: %s", e.Supply.Amps.Text, got)
	}
	if got := result(Make(survey(t, "rectangle"), DefaultSettings(), Ask{}), "output.amps"); got != Holds {
		t.Errorf("60 W: %s", got)
	}
}

// A Class 2 source of up to 20 V AC is named for at most 5 V VA and 5 A, so 60 VA
// at 12 V: NEC chapter 9, table 11(A) (2017).
func TestClass2Source(t *testing.T) {
	if power, amps := class2(12_000); power != 60_000 || amps != 5_000 {
		t.Errorf("%d mVA, %d mA", power, amps)
	}
	set := DefaultSettings()
	set.Catalogue.Supplies = []SupplyPart{{Key: "c", Name: "Class 2", Outputs: 1, Output: 200_000, Total: 200_000, Taps: []int64{13_000}, Class2: true}}
	for watts, want := range map[string]string{"12": Holds, "15": Short, "30": Short} { // 57, 60 and 75 W with 0.9: 63.3, 66.7 and 83.3 VA; 65 VA at 13 V
		e := Make(with(t, survey(t, "rectangle"), "l1", "watts", watts, "W"), set, Ask{})
		if got := result(e, "output.class2"); got != want {
			t.Errorf("%s W: %s", watts, got)
		}
		if got := result(e, "output.amps"); got != Short { // over 5 A with the power factor
			t.Errorf("%s: %s", e.Supply.Amps.Text, got)
		}
	}
}
