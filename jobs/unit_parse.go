package jobs

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxDigits bounds each run of digits, so that no text can make a number that
// takes long to compute with.
const maxDigits = 15

// ParseMeasure reads a number as people write it into whole base units of q,
// exactly until one final rounding (half away from zero): "32", "1.5",
// "3/4 in", "5 1/2", "5' 6 1/2\"", "5 ft 6 in", "1,200". The unit may stand in
// the text, in unit, or in both when they agree; what is used comes back in
// its table name (the first of several). The error says what would be right.
func ParseMeasure(q Quantity, text, unit string) (base int64, used string, err error) {
	if !q.Measured() || q.counts() {
		return 0, "", fmt.Errorf("%s is not a measure", q)
	}
	given, err := givenUnit(q, unit)
	if err != nil {
		return 0, "", err
	}
	terms, negative, err := scanTerms(text)
	if err != nil {
		return 0, "", err
	}
	sum := new(big.Rat)
	matched := given == nil
	var last *Unit
	for i, t := range terms {
		u, err := termUnit(q, t.unit, given, len(terms) > 1)
		if err != nil {
			return 0, "", err
		}
		if given != nil && u.Name == given.Name {
			matched = true
		}
		if i > 0 {
			if q != QuantityLength && q != QuantityDuration {
				return 0, "", fmt.Errorf("one number with one unit, like %s", example(q))
			}
			if !smaller(u, last) {
				return 0, "", fmt.Errorf("larger unit first, each once, like %s", example(q))
			}
		}
		if i == 0 {
			used = u.Name
		}
		last = u
		n := t.number
		if negative {
			n.Neg(n)
		}
		n.Add(n, new(big.Rat).SetInt64(u.offset))
		sum.Add(sum, n.Mul(n, big.NewRat(u.num, u.den)))
	}
	if !matched {
		return 0, "", fmt.Errorf("the text says %s but the unit says %s; give one of them", used, given.Name)
	}
	base, ok := roundRat(sum)
	if !ok {
		return 0, "", fmt.Errorf("a number of a size that can be real, like %s", example(q))
	}
	return base, used, nil
}

// ParseLengths reads a list of lengths in one unit, parted by commas,
// semicolons or white space: "0 9 12 11". What could be read in two ways is
// refused: a comma before three digits, a fraction that may belong to the number
// before it, two units in one list.
func ParseLengths(text, unit string) ([]int64, error) {
	want := fmt.Errorf("2 to 200 lengths in one unit, like 0 9 12 11 0")
	if len(text) > 200*60 {
		return nil, want
	}
	if grouped(text) {
		return nil, fmt.Errorf("lengths parted by blanks or semicolons; a comma before three digits can be read in two ways")
	}
	var list []int64
	in := ""
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		items := strings.Fields(part)
		for i, item := range items {
			if i > 0 && allDigits(items[i-1]) && startsFraction(item) {
				return nil, fmt.Errorf("%s-%s for a whole with a fraction, or a comma between two lengths", items[i-1], item)
			}
			base, used, err := ParseMeasure(QuantityLength, item, unit)
			if err != nil {
				return nil, err
			}
			if in != "" && used != in {
				return nil, fmt.Errorf("one unit for the whole list, not %s and %s", in, used)
			}
			in = used
			list = append(list, base)
		}
	}
	if len(list) == 0 || len(list) > 200 {
		return nil, want
	}
	return list, nil
}

// grouped says that a comma stands between a digit and exactly three digits, as
// in 1,200.
func grouped(text string) bool {
	digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	for i := range len(text) {
		if text[i] == ',' && digit(i-1) && digit(i+1) && digit(i+2) && digit(i+3) && !digit(i+4) {
			return true
		}
	}
	return false
}

// startsFraction says that an item reads 1/2 or ½.
func startsFraction(item string) bool {
	r, _ := utf8.DecodeRuneInString(item)
	i := strings.IndexFunc(item, func(r rune) bool { return r < '0' || r > '9' })
	return vulgar[r] != nil || i > 0 && item[i] == '/'
}

func givenUnit(q Quantity, name string) (*Unit, error) {
	if name == "" {
		return nil, nil
	}
	u, ok := UnitNamed(q, name)
	if !ok {
		return nil, fmt.Errorf("unit %q is not one of %s", name, strings.Join(UnitNames(q), ", "))
	}
	return &u, nil
}

func termUnit(q Quantity, name string, given *Unit, several bool) (*Unit, error) {
	if name != "" {
		return givenUnit(q, name)
	}
	switch {
	case several:
		return nil, fmt.Errorf("a unit behind every number, like %s", example(q))
	case given != nil:
		return given, nil
	case q.bare():
		u := UnitsOf(q)[0]
		return &u, nil
	}
	return nil, fmt.Errorf("a unit, one of %s", strings.Join(UnitNames(q), ", "))
}

// smaller says that one a is less than one b.
func smaller(a, b *Unit) bool {
	return big.NewRat(a.num, a.den).Cmp(big.NewRat(b.num, b.den)) < 0
}

func example(q Quantity) string {
	switch q {
	case QuantityLength:
		return `5' 6 1/2" or 1.5 m`
	case QuantityDuration:
		return "1 h 30 min"
	case QuantityCount:
		return "4"
	}
	return "12 " + UnitsOf(q)[0].Name
}

func roundRat(r *big.Rat) (int64, bool) {
	num := new(big.Int).Mul(r.Num(), big.NewInt(2))
	den := r.Denom()
	if num.Sign() >= 0 {
		num.Add(num, den)
	} else {
		num.Sub(num, den)
	}
	num.Quo(num, new(big.Int).Mul(den, big.NewInt(2)))
	return num.Int64(), num.IsInt64()
}

type term struct {
	number *big.Rat
	unit   string
}

// scanTerms splits "-5 ft 6 1/2 in" into its sign and its numbers with units.
func scanTerms(text string) (terms []term, negative bool, err error) {
	wrong := fmt.Errorf(`a plain number, with a unit if it has one, like 12, 5 1/2 or 5' 6"`)
	if len(text) > 4*60 || utf8.RuneCountInString(text) > 60 {
		return nil, false, wrong
	}
	s := scanner{strings.TrimSpace(text)}
	switch {
	case s.take("-"), s.take("−"):
		negative = true
	default:
		s.take("+")
	}
	for s.rest != "" {
		n, ok := s.number()
		if !ok || len(terms) == 3 {
			return nil, false, wrong
		}
		terms = append(terms, term{n, s.word()})
		s.space()
		if s.take("-") { // 5'-6"
			s.space()
			if s.rest == "" {
				return nil, false, wrong
			}
		}
	}
	if len(terms) == 0 {
		return nil, false, wrong
	}
	return terms, negative, nil
}

type scanner struct{ rest string }

func (s *scanner) space() { s.rest = strings.TrimLeftFunc(s.rest, unicode.IsSpace) }

func (s *scanner) take(p string) bool {
	var ok bool
	s.rest, ok = strings.CutPrefix(s.rest, p)
	return ok
}

// digits takes a run of digits, with comma groups of three when grouped. What
// begins with 0 is no thousands: 0,500 may be half of one.
func (s *scanner) digits(grouped bool) string {
	i := 0
	for i < len(s.rest) && s.rest[i] >= '0' && s.rest[i] <= '9' {
		i++
	}
	run := s.rest[:i]
	s.rest = s.rest[i:]
	for grouped && run != "" && run[0] != '0' && i <= 3 && len(s.rest) >= 4 && s.rest[0] == ',' && allDigits(s.rest[1:4]) {
		run += s.rest[1:4]
		s.rest = s.rest[4:]
	}
	return run
}

func allDigits(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

var vulgar = map[rune]*big.Rat{
	'½': big.NewRat(1, 2), '¼': big.NewRat(1, 4), '¾': big.NewRat(3, 4),
	'⅛': big.NewRat(1, 8), '⅜': big.NewRat(3, 8), '⅝': big.NewRat(5, 8), '⅞': big.NewRat(7, 8),
}

// number takes 12, 1,200, 1.5, .5, 3/4, 5 1/2, 5-1/2 or 5½.
func (s *scanner) number() (*big.Rat, bool) {
	s.space()
	if f, ok := s.vulgar(); ok {
		return f, true
	}
	whole := s.digits(true)
	if len(whole) > maxDigits {
		return nil, false
	}
	if s.take(".") {
		frac := s.digits(false)
		if (whole == "" && frac == "") || len(frac) > maxDigits {
			return nil, false
		}
		return new(big.Rat).SetString("0" + whole + "." + frac + "0")
	}
	if whole == "" {
		return nil, false
	}
	n, _ := new(big.Rat).SetString(whole)
	if s.take("/") {
		den := s.digits(false)
		return over(n, den)
	}
	before := s.rest
	s.space()
	if before == s.rest {
		s.take("-")
	}
	if f, ok := s.vulgar(); ok {
		return n.Add(n, f), true
	}
	if num := s.digits(false); num != "" && len(num) <= 4 && s.take("/") {
		top, _ := new(big.Rat).SetString(num)
		f, ok := over(top, s.digits(false))
		if !ok || f.Cmp(big.NewRat(1, 1)) >= 0 {
			return nil, false
		}
		return n.Add(n, f), true
	}
	s.rest = before
	return n, true
}

func (s *scanner) vulgar() (*big.Rat, bool) {
	r, size := utf8.DecodeRuneInString(s.rest)
	f, ok := vulgar[r]
	if !ok {
		return nil, false
	}
	s.rest = s.rest[size:]
	return new(big.Rat).Set(f), true
}

func over(n *big.Rat, den string) (*big.Rat, bool) {
	if den == "" || len(den) > 4 {
		return nil, false
	}
	d, _ := new(big.Rat).SetString(den)
	if d.Sign() == 0 {
		return nil, false
	}
	return n.Quo(n, d), true
}

// word takes the unit behind a number: letters, marks and signs up to the next
// digit. Blanks inside ("sq ft") belong to it.
func (s *scanner) word() string {
	s.space()
	i := strings.IndexFunc(s.rest, func(r rune) bool { return r >= '0' && r <= '9' || r == '.' || vulgar[r] != nil || r == '-' })
	word := s.rest
	if i >= 0 {
		// the 2 and 3 of ft2, m3/h belong to the unit
		if i > 0 && (s.rest[i] == '2' || s.rest[i] == '3') && unicode.IsLetter(rune(s.rest[i-1])) {
			rest := s.rest[i+1:]
			if j := strings.IndexAny(rest, " 0123456789"); j < 0 {
				i = len(s.rest)
			} else {
				i += 1 + j
			}
		}
		word = s.rest[:i]
	}
	s.rest = s.rest[len(word):]
	if next := strings.TrimPrefix(s.rest, "."); next != s.rest && (next == "" || !allDigits(next[:1])) {
		s.rest = next // the full stop of "5 ft. 6 in."
	}
	return strings.TrimSpace(word)
}
