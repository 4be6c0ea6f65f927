package check

import (
	"bytes"
	"encoding/json"
	"testing"

	"pgregory.net/rapid"

	"ebbline/dispatch/week"
)

// TestDamagedPlans: any plan that can be read is checked without a panic, whatever it
// names and whenever it is.
func TestDamagedPlans(t *testing.T) {
	w, p := readExample(t)
	whole, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	read, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		data := bytes.Clone(whole)
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			i := rapid.IntRange(0, len(data)-1).Draw(t, "at")
			if '0' <= data[i] && data[i] <= '9' || 'a' <= data[i] && data[i] <= 'z' {
				data[i] = rapid.SampledFrom([]byte("0123456789abcdehilnoqrtuvwxy-.")).Draw(t, "char")
			}
		}
		damaged, err := week.DecodePlan(bytes.NewReader(data))
		if err != nil {
			return
		}
		read++
		if r := Plan(w, damaged); !r.OK() {
			refused++
		}
	})
	// Damage to what is only told, such as the seed, is no fault: among few plans there may be no other.
	if !testing.Short() && (read == 0 || refused == 0) {
		t.Errorf("of %d plans read %d were refused; the damage shows nothing", read, refused)
	}
}
