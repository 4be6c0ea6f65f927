package jobs

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var setSizes = map[string]SetSize{"p50": {"colour", 50}, "p80": {"colour", 80}, "p100": {"colour", 100}, "w80": {"white", 80}}

func wantSet(position string, least int64) WantedPart {
	step := int64(100)
	for _, s := range []int64{50, 80} {
		if s >= least {
			step = s
			break
		}
	}
	return WantedPart{LineKey: fmt.Sprintf("colour-%d", step), PartID: fmt.Sprintf("p%d", step), Name: fmt.Sprintf("Light with %d ft", step), Quantity: 1, StockUnit: "set", SubjectID: position, Light: "colour", LeastUM: least}
}

func haveSet(id, position, part string, state PartState) JobPart {
	size := setSizes[part]
	return JobPart{ID: id, Version: 1, JobPartData: JobPartData{PartID: part, Name: fmt.Sprintf("Light with %d ft", size.LengthUM), Quantity: 1, StockUnit: "set", State: state, SubjectID: position, LineKey: fmt.Sprintf("%s-%d", size.Light, size.LengthUM)}}
}

func saysOf(c PartListChange) string {
	var words []string
	for _, e := range c.Edits {
		surplus := ""
		if e.After.Surplus {
			surplus = " surplus"
		}
		words = append(words, fmt.Sprintf("%s[%d %s %s %s%s]", e.Part.ID, e.After.Quantity, e.After.LineKey, e.After.SubjectID, e.After.State, surplus))
	}
	return strings.Join(words, " ")
}

func TestRenewParts(t *testing.T) {
	seal := func(n int64) WantedPart {
		return WantedPart{LineKey: "seal", PartID: "s", Name: "Seal", Quantity: n, StockUnit: "piece"}
	}
	haveSeal := func(id string, n int64, state PartState) JobPart {
		return JobPart{ID: id, Version: 1, JobPartData: JobPartData{PartID: "s", Name: "Seal", Quantity: n, StockUnit: "piece", State: state, LineKey: "seal"}}
	}
	byHand := JobPart{ID: "hand", Version: 1, JobPartData: JobPartData{Name: "Ladder hire", Quantity: 1, StockUnit: "day", State: PartNeeded}}
	legacy := JobPart{ID: "old", Version: 1, JobPartData: JobPartData{PartID: "p80", Name: "Light with 80 ft", Quantity: 3, StockUnit: "set", State: PartReserved}}
	for _, c := range []struct {
		name string
		have []JobPart
		want []WantedPart
		says string
	}{
		{"nothing to do", []JobPart{haveSet("a", "l1", "p80", PartReserved), haveSeal("b", 2, PartUsed), byHand}, []WantedPart{wantSet("l1", 70), seal(2)}, ""},
		{"a longer set serves", []JobPart{haveSet("a", "l1", "p100", PartReserved)}, []WantedPart{wantSet("l1", 70)}, ""},
		{"not bought yet: the usual length", []JobPart{haveSet("a", "l1", "p100", PartNeeded)}, []WantedPart{wantSet("l1", 70)}, "[1 colour-80 l1 needed] a[1 colour-100 l1 not_needed]"},
		{"too short: back on the shelf", []JobPart{haveSet("a", "l1", "p80", PartReserved)}, []WantedPart{wantSet("l1", 95)}, "[1 colour-100 l1 needed] a[1 colour-80 l1 returned]"},
		{"too short and on its way", []JobPart{haveSet("a", "l1", "p80", PartOrdered)}, []WantedPart{wantSet("l1", 95)}, "[1 colour-100 l1 needed] a[1 colour-80 l1 ordered surplus]"},
		{"too short and on the truck", []JobPart{haveSet("a", "l1", "p80", PartOnTruck)}, []WantedPart{wantSet("l1", 95)}, "[1 colour-100 l1 needed] a[1 colour-80 l1 on_truck surplus]"},
		{"another light", []JobPart{haveSet("a", "l1", "w80", PartReceived)}, []WantedPart{wantSet("l1", 70)}, "[1 colour-80 l1 needed] a[1 white-80 l1 returned]"},
		{"the lengths change places", []JobPart{haveSet("a", "l1", "p80", PartReserved), haveSet("b", "l2", "p100", PartReserved)}, []WantedPart{wantSet("l1", 95), wantSet("l2", 70)},
			"[1 colour-100 l1 needed] a[1 colour-80 l1 returned]"}, // the long one serves l2: it stays there
		{"a position gone, its set serves another", []JobPart{haveSet("a", "l9", "p100", PartReserved)}, []WantedPart{wantSet("l1", 95)}, "a[1 colour-100 l1 reserved]"},
		{"more of a plain part", []JobPart{haveSeal("a", 2, PartReserved)}, []WantedPart{seal(5)}, "[3 seal  needed]"},
		{"less of it: what is nearest is kept", []JobPart{haveSeal("a", 2, PartNeeded), haveSeal("b", 3, PartReserved)}, []WantedPart{seal(2)}, "b[2 seal  reserved] [1 seal  returned] a[2 seal  not_needed]"},
		{"surplus is wanted again", []JobPart{{ID: "a", JobPartData: JobPartData{PartID: "s", Name: "Seal", Quantity: 2, StockUnit: "piece", State: PartOrdered, LineKey: "seal", Surplus: true}}}, []WantedPart{seal(2)}, "a[2 seal  ordered]"},
		{"surplus stays marked", []JobPart{{ID: "a", JobPartData: JobPartData{PartID: "s", Name: "Seal", Quantity: 2, StockUnit: "piece", State: PartOrdered, LineKey: "seal", Surplus: true}}}, nil, ""},
		{"a list of before, by name", []JobPart{legacy}, []WantedPart{wantSet("l1", 70), wantSet("l2", 75)}, "old[1 colour-80 l2 reserved] [1 colour-80 l1 reserved] [1 colour-80  returned]"},
	} {
		got := RenewParts(c.have, c.want, setSizes, nil)
		if says := saysOf(got); says != c.says {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, says, c.says)
		}
	}
	if got := RenewParts([]JobPart{haveSet("a", "l1", "p80", PartReserved)}, nil, setSizes, []string{"l1"}); len(got.Edits) > 0 {
		t.Errorf("what the position takes is not known, yet %s", saysOf(got))
	}
	if says := RenewParts([]JobPart{haveSet("a", "l1", "p80", PartReserved)}, []WantedPart{wantSet("l1", 95)}, setSizes, nil).Says(); says != "still needed: 1 × Light with 100 ft; no longer needed: 1 × Light with 80 ft (reserved)" {
		t.Errorf("%s", says)
	}
}

// Whatever the lists, after the renewal every wanted line is covered, nothing
// that was had or ordered has vanished, and a second renewal finds nothing.
func TestRenewedListsAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		positions := []string{"l1", "l2", "l3", "l4"}
		var have []JobPart
		for i := range rapid.IntRange(0, 6).Draw(t, "have") {
			state := rapid.SampledFrom(PartStates).Draw(t, "state")
			id := fmt.Sprint("h", i)
			if rapid.Bool().Draw(t, "set") {
				have = append(have, haveSet(id, rapid.SampledFrom(positions).Draw(t, "at"), rapid.SampledFrom([]string{"p50", "p80", "p100", "w80"}).Draw(t, "part"), state))
			} else {
				have = append(have, JobPart{ID: id, Version: 1, JobPartData: JobPartData{PartID: "s", Name: "Seal", Quantity: rapid.Int64Range(1, 4).Draw(t, "n"), StockUnit: "piece", State: state, LineKey: "seal", Surplus: state.Awaited() && rapid.Bool().Draw(t, "surplus")}})
			}
		}
		var want []WantedPart
		for _, at := range positions {
			if rapid.Bool().Draw(t, "wanted") {
				want = append(want, wantSet(at, rapid.Int64Range(10, 100).Draw(t, "least")))
			}
		}
		seals := rapid.Int64Range(0, 6).Draw(t, "seals")
		if seals > 0 {
			want = append(want, WantedPart{LineKey: "seal", PartID: "s", Name: "Seal", Quantity: seals, StockUnit: "piece"})
		}
		change := RenewParts(have, want, setSizes, nil)
		after := slices.Clone(have)
		for i, e := range change.Edits {
			if e.Part.ID == "" {
				after = append(after, JobPart{ID: fmt.Sprint("new", i), Version: 1, JobPartData: e.After})
				continue
			}
			at := slices.IndexFunc(after, func(p JobPart) bool { return p.ID == e.Part.ID })
			after[at].JobPartData = e.After
		}
		// had or ordered: the same number of each part before and after
		count := func(list []JobPart) map[string]int64 {
			n := map[string]int64{}
			for _, p := range list {
				if p.State != PartNeeded && p.State != PartNotNeeded {
					n[p.PartID] += p.Quantity
				}
			}
			return n
		}
		if a, b := fmt.Sprint(count(have)), fmt.Sprint(count(after)); a != b {
			t.Fatalf("had %s, after the renewal %s\n%s", a, b, saysOf(change))
		}
		for _, w := range want {
			covered := int64(0)
			for _, p := range after {
				serves := p.LineKey == w.LineKey
				if size, ok := setSizes[p.PartID]; ok && w.set() {
					serves = size.Light == w.Light && size.LengthUM >= w.LeastUM
				}
				if serves && p.SubjectID == w.SubjectID && !p.Surplus && (p.State.Open() || p.State == PartUsed) {
					covered += p.Quantity
				}
			}
			if covered < w.Quantity {
				t.Fatalf("%+v is covered by %d\n%s", w, covered, saysOf(change))
			}
		}
		if again := RenewParts(after, want, setSizes, nil); len(again.Edits) > 0 {
			t.Fatalf("renewed, and then again %s\nfirst %s", saysOf(again), saysOf(change))
		}
	})
}
