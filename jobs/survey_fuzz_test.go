package jobs

import (
	"bytes"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

// hostile are numbers as no person means them, or in two ways.
var hostile = []string{
	"NaN", "nan", "Inf", "-Inf", "+Infinity", "∞", "1e999", "1e3", "1E-3", "0x1p-2", "0x10", "0b11", "1_000", "١٢", "３２", "五", "½½", "1½½",
	"1,5", "0,500", "1.200,5", "1,20,30", "12,3456", "1 000", "--5", "+-5", "5-", "5/0", "1/2/3", "3 4/3", "5 6", ".", "", " ", "-", "−", "1⁄2",
	"5 ft 6", "6 in 5 ft", "5 ft 5 ft", "1..2", "1.2.3", "5 cubits", "5 ft³³", "ft", "'5", `5""`, "5'6''", "\x00", "\xff", "5\u202e ft", "5 ft\u0000",
	strings.Repeat("9", 40), strings.Repeat("9", 1<<16), strings.Repeat("½", 1000), strings.Repeat("5 ft ", 500), "9223372036854775808", "999999999999999",
}

// Whatever is no plain number is a named error. Those that stand for one, say ½
// or 5 ft 6 in, are in TestParseMeasure.
func TestHostileNumbers(t *testing.T) {
	fine := map[string]bool{"999999999999999": true} // fifteen digits: large, and a number
	for _, text := range hostile {
		for _, u := range units {
			got, _, err := ParseMeasure(u.Quantity, text, u.Name)
			if err == nil && !fine[text] {
				t.Errorf("%s %q in %s is %d", u.Quantity, Short(text), u.Name, got)
			}
			if err != nil && (err.Error() == "" || len(err.Error()) > 600) {
				t.Errorf("%q: an error of %d bytes", Short(text), len(err.Error()))
			}
		}
	}
}

func TestLengthsThatCanBeReadTwice(t *testing.T) {
	for text, want := range map[string]string{
		"1,200 2,400": "two ways", "9,12,110": "two ways", "5 1/2 6": "5-1/2", "5 ½": "5-½", `5' 6"`: "one unit", "9 ft 12 ft": "plain number",
		strings.Repeat("1 ", 201): "2 to 200", ";,;": "2 to 200", strings.Repeat("1", 1<<20): "2 to 200",
	} {
		if got, err := ParseLengths(text, "ft"); err == nil || !strings.Contains(err.Error(), want) {
			if got2, err2 := ParseLengths(text, ""); err2 == nil || !strings.Contains(err2.Error(), want) {
				t.Errorf("%q: %v %v %v %v, want %q", Short(text), got, err, got2, err2, want)
			}
		}
	}
	for text, n := range map[string]int{"0 9 12 11 0": 5, "0,9,12": 3, "5-1/2 6": 2, "5, 1/2, 6": 3, "0;9;12": 3, "½ 1½": 2} {
		if got, err := ParseLengths(text, "ft"); err != nil || len(got) != n {
			t.Errorf("%q: %v %v", text, got, err)
		}
	}
}

// asWritten reads a plain decimal with big numbers of its own: an independent
// reading to hold ParseMeasure against.
func asWritten(text string) (*big.Rat, bool) {
	for _, r := range text {
		if (r < '0' || r > '9') && r != '.' && r != '-' {
			return nil, false
		}
	}
	return new(big.Rat).SetString(text)
}

func FuzzParseMeasure(f *testing.F) {
	for i, text := range append([]string{"32", "1.5", "3/4 in", "5 1/2", `5' 6 1/2"`, "5 ft 6 in", "1,200", "½", "-40 °F"}, hostile...) {
		f.Add(text, "", uint8(i))
		f.Add(text, units[i%len(units)].Name, uint8(i%len(units)))
	}
	f.Fuzz(func(t *testing.T, text, unit string, which uint8) {
		q := units[int(which)%len(units)].Quantity
		base, used, err := ParseMeasure(q, text, unit)
		if err != nil {
			if err.Error() == "" || used != "" || base != 0 {
				t.Fatalf("%q %q: %d %s %v", text, unit, base, used, err)
			}
			return
		}
		u, ok := UnitNamed(q, used)
		if !ok {
			t.Fatalf("%q %q: read in %q, which is no unit of %s", text, unit, used, q)
		}
		if !strings.ContainsFunc(text, func(r rune) bool { return unicode.IsDigit(r) || vulgar[r] != nil }) {
			t.Fatalf("%q holds no digit and is %d", text, base)
		}
		// There and back.
		back, err := FormatMeasure(q, base, used, 12)
		if err != nil {
			t.Fatal(err)
		}
		if len(back) < 28 {
			again, _, err := ParseMeasure(q, back, used)
			if digits := strings.TrimLeft(strings.SplitN(strings.TrimPrefix(back, "-"), ".", 2)[0], "0"); len(digits) <= maxDigits && (err != nil || again != base) {
				t.Fatalf("%q is %d, written %q, read back as %d %v", text, base, back, again, err)
			}
		}
		// Against an independent reading of what is a plain decimal.
		if n, plain := asWritten(strings.TrimSpace(text)); plain {
			n.Add(n, new(big.Rat).SetInt64(u.offset)).Mul(n, big.NewRat(u.num, u.den))
			n.Sub(n, new(big.Rat).SetInt64(base))
			if n.Abs(n).Cmp(big.NewRat(1, 2)) > 0 {
				t.Fatalf("%q %s is %d, off by %s", text, used, base, n.FloatString(3))
			}
		}
	})
}

func FuzzParseLengths(f *testing.F) {
	for _, text := range append([]string{"0 9 12 11 0", "0,9,12", "5-1/2 6", "1,200 2,400"}, hostile...) {
		f.Add(text, "ft")
		f.Add(text, "")
	}
	f.Fuzz(func(t *testing.T, text, unit string) {
		list, err := ParseLengths(text, unit)
		if err != nil {
			if list != nil || err.Error() == "" {
				t.Fatalf("%q: %v %v", text, list, err)
			}
			return
		}
		if len(list) == 0 || len(list) > 200 || len(list) > len(text) {
			t.Fatalf("%q: %d lengths", text, len(list))
		}
	})
}

func FuzzDecodeSurvey(f *testing.F) {
	files, err := filepath.Glob("../testdata/survey/*.json")
	if err != nil || len(files) == 0 {
		f.Fatal("no surveys to begin with")
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(smallSurvey))
	f.Add([]byte(`{"version":1,"zone":"UTC","subjects":[{"id":"a","kind":"body","values":{"widths":{"text":"0 9 12","unit":"ft","known":"told"}}}]}`))
	value := func(v string) []byte {
		return []byte(`{"version":1,"zone":"America/Phoenix","subjects":[{"id":"p","kind":"body","values":{"length":` + v + `}}]}`)
	}
	for _, text := range hostile {
		quoted, _ := jsonText{}.of(text)
		f.Add(value(`{"text":` + quoted + `,"unit":"ft","known":"told"}`))
	}
	for _, v := range []string{`{"text":"1","unit":"ft","known":"told","base":1e999}`, `{"text":"1","unit":"ft","known":"told","base":1.5}`, `{"text":"1","unit":"ft","known":"told","at":-1}`,
		`{"text":1,"known":"told"}`, `null`, `[]`, `{"text":"1","text":"2","known":"told"}`, `{"Text":"1","known":"told"}`, `{"text":"\ud800","known":"told"}`, strings.Repeat("[", 10_000)} {
		f.Add(value(v))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := DecodeSurvey(data)
		if err != nil {
			if c := CodeOf(err); c != CodeInvalid && c != CodeTooLarge || err.Error() == "" {
				t.Fatalf("%s: %v", c, err)
			}
			return
		}
		s.Missing()
		first, err := EncodeSurvey(s)
		if err != nil {
			t.Fatal(err)
		}
		if len(first) > MaxSurveyBytes { // indenting made it too long to read back
			return
		}
		again, err := DecodeSurvey(first)
		if err != nil {
			t.Fatalf("%v\n%s", err, first)
		}
		second, err := EncodeSurvey(again)
		if err != nil || !bytes.Equal(first, second) {
			t.Fatalf("%v\n%s\n%s", err, first, second)
		}
		for _, sub := range s.Subjects {
			for name, v := range sub.Values {
				spec, ok := FieldOf(sub.Kind, name)
				if !ok {
					t.Fatalf("%s has no %s", sub.Kind, name)
				}
				if v.Known != KnownNot && spec.Quantity.Measured() && (spec.Min != 0 || spec.Max != 0) && (v.Base < spec.Min || v.Base > spec.Max) {
					t.Fatalf("%s %q is %d, out of its limits", spec.Key(), v.Text, v.Base)
				}
			}
		}
	})
}

// jsonText writes a text as JSON, bytes that are no UTF-8 as they are.
type jsonText struct{}

func (jsonText) of(text string) (string, bool) {
	var b strings.Builder
	b.WriteByte('"')
	for i := range len(text) {
		switch c := text[i]; {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteByte(c)
		case c < ' ':
			b.WriteString(`\u00` + string("0123456789abcdef"[c>>4]) + string("0123456789abcdef"[c&15]))
		default:
			b.WriteByte(c)
		}
	}
	b.WriteByte('"')
	return b.String(), true
}

// A value in one unit, said in another of the same quantity, is the same value:
// off by no more than half a step of what is written, in base units.
func TestUnitsAgreeAmongThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		other := rapid.SampledFrom(UnitsOf(u.Quantity)).Draw(t, "other")
		base := rapid.Int64Range(-1e12, 1e12).Draw(t, "base")
		one, err := FormatMeasure(u.Quantity, base, u.Name, 12)
		if err != nil {
			t.Fatal(err)
		}
		two, err := FormatMeasure(u.Quantity, base, other.Name, 12)
		if err != nil {
			t.Fatal(err)
		}
		a, _, errA := ParseMeasure(u.Quantity, one, u.Name)
		b, _, errB := ParseMeasure(u.Quantity, two, other.Name)
		if errA != nil || errB != nil || a != b {
			t.Fatalf("%s %s is %d %v, %s %s is %d %v", one, u.Name, a, errA, two, other.Name, b, errB)
		}
	})
}
