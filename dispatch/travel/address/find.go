package address

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// gather makes what Find looks into: the words of streets and places, and the
// middle of each postcode.
func (x *Index) gather() {
	x.byWord, x.codes = map[string][]int32{}, map[string]Point{}
	streets, _, places := x.Counts()
	for i := range streets + places {
		for _, w := range words(x.name(i)) {
			if list := x.byWord[w]; len(list) == 0 || list[len(list)-1] != int32(i) {
				x.byWord[w] = append(list, int32(i))
			}
		}
	}
	x.vocabulary = sortedKeys(x.byWord)
	type sum struct{ lat, lon, n int64 }
	sums := map[uint32]sum{}
	for i := range len(x.houses) / houseInts / 4 {
		s, code := sums[x.houseInt(i, 2)], x.houseInt(i, 2)
		sums[code] = sum{s.lat + int64(int32(x.houseInt(i, 3))), s.lon + int64(int32(x.houseInt(i, 4))), s.n + 1}
	}
	for code, s := range sums {
		if text := x.text(code); text != "" {
			x.codes[text] = Point{int32(s.lat / s.n), int32(s.lon / s.n)}
		}
	}
}

// name is that of a street, or of a place, which are numbered behind them.
func (x *Index) name(i int) string {
	if streets, _, _ := x.Counts(); i >= streets {
		return x.text(x.placeInt(i-streets, 0))
	}
	return x.text(x.streetInt(i, 0))
}

// asked is a query taken apart.
type asked struct {
	number   string
	postcode string
	words    []string
	last     string   // the last word as typed: what looks like an abbreviation may go on
	after    []string // behind the first comma: city, region
}

// flats are words behind which no street stands any more.
var flats = map[string]bool{"apt": true, "apartment": true, "unit": true, "suite": true, "ste": true, "lot": true, "no": true, "gate": true}

func isNumber(w string) bool {
	return w != "" && w[0] >= '0' && w[0] <= '9' && !strings.HasSuffix(w, "st") && !strings.HasSuffix(w, "nd") && !strings.HasSuffix(w, "rd") && !strings.HasSuffix(w, "th")
}

func parse(text string) asked {
	var q asked
	front, behind, _ := strings.Cut(text, ",")
	list, after := words(front), words(behind)
	// "12, Oleander Drive": the comma parts nothing yet.
	if len(list) == 1 && isNumber(list[0]) {
		list, after = append(list, after...), nil
	}
	for i, w := range list {
		if flats[w] && i > 0 && i+1 < len(list) && isNumber(list[i+1]) {
			list = append(slices.Clone(list[:i]), list[i+2:]...)
			break
		}
	}
	isCode := func(w string) bool { _, err := strconv.Atoi(w); return err == nil && len(w) == 5 }
	for _, part := range []*[]string{&after, &list} {
		if n := len(*part); n > 0 && isCode((*part)[n-1]) && q.postcode == "" && (part == &after || n > 1 || len(after) == 0) {
			q.postcode, *part = (*part)[n-1], (*part)[:n-1]
		}
	}
	switch n := len(list); {
	case n > 1 && isNumber(list[0]):
		q.number, list = list[0], list[1:]
		if len(list) > 1 && len(list[0]) == 1 && !plainWords[list[1]] { // 12 b Oleander, but not 12 B Street
			q.number, list = q.number+list[0], list[1:]
		}
	case n > 1 && isNumber(list[n-1]):
		q.number, list = list[n-1], list[:n-1]
	}
	q.words, q.after = list, after
	if raw := rawWords(front); len(raw) > 0 && len(list) > 0 && len(after) == 0 && shortWords[raw[len(raw)-1]] == list[len(list)-1] {
		q.last = raw[len(raw)-1]
	}
	return q
}

// Find lists places for a text, the likeliest first. A text without any word
// that is known finds nothing.
func (x *Index) Find(q Query) []Hit {
	limit := q.Limit
	if limit <= 0 {
		limit = 10
	}
	if at, ok := coordinates(q.Text); ok {
		return []Hit{{Name: strings.TrimSpace(q.Text), At: at, Precision: Pin}}
	}
	ask := parse(q.Text)
	var hits []Hit
	if at, ok := x.codes[ask.postcode]; ok && len(ask.words) == 0 {
		hits = append(hits, Hit{Postcode: ask.postcode, At: at, Precision: Postcode})
	}
	streets, _, _ := x.Counts()
	for i, cost := range x.match(ask) {
		if int(i) < streets {
			hits = append(hits, x.onStreet(int(i), cost, ask))
		} else if p := int(i) - streets; ask.number == "" {
			hits = append(hits, Hit{Name: x.text(x.placeInt(p, 0)), At: Point{int32(x.placeInt(p, 2)), int32(x.placeInt(p, 3))}, Precision: Place, Cost: cost})
		}
	}
	slices.SortFunc(hits, func(a, b Hit) int {
		near := 0
		if q.Near != nil {
			near = cmp.Compare(math.Floor(metres(a.At, *q.Near)), math.Floor(metres(b.At, *q.Near)))
		}
		return cmp.Or(cmp.Compare(a.Cost, b.Cost), near, cmp.Compare(rank(a.Precision), rank(b.Precision)), strings.Compare(a.Label(), b.Label()),
			cmp.Compare(a.At.LatE7, b.At.LatE7), cmp.Compare(a.At.LonE7, b.At.LonE7))
	})
	hits = hits[:min(limit, len(hits))]
	for i, h := range hits {
		if h.Cost > hits[0].Cost+costFarther {
			return hits[:i]
		}
	}
	return hits
}

func rank(p Precision) int {
	return slices.Index([]Precision{Pin, Exact, Between, Street, Place, Postcode}, p)
}

// match answers the streets and places that a query may mean, with what each
// costs.
func (x *Index) match(ask asked) map[int32]int {
	type score struct{ cost, known, words int }
	scores := map[int32]*score{}
	for n, typed := range ask.words {
		best := map[int32]int{}
		for _, w := range x.vocabulary {
			c := wordCost(typed, w)
			if c < 0 && n == len(ask.words)-1 && ask.last != "" && strings.HasPrefix(w, ask.last) {
				c = costStart
			}
			if c < 0 {
				continue
			}
			for _, i := range x.byWord[w] {
				if had, ok := best[i]; !ok || c < had {
					best[i] = c
				}
			}
		}
		for i, c := range best {
			s := scores[i]
			if s == nil {
				s = &score{}
				scores[i] = s
			}
			s.cost += c
			s.words |= 1 << min(n, 30)
			if !plainWords[typed] || ask.last != "" && n == len(ask.words)-1 {
				s.known++
			}
		}
	}
	out := map[int32]int{}
	for i, s := range scores {
		ok := s.known > 0 || !slices.ContainsFunc(ask.words, func(w string) bool { return !plainWords[w] })
		for n, typed := range ask.words {
			if s.words&(1<<min(n, 30)) != 0 {
				continue
			}
			in := -1
			for _, w := range x.around(int(i)) { // the city, typed without a comma
				if c := wordCost(typed, w); c >= 0 && (in < 0 || c < in) {
					in = c
				}
			}
			switch {
			case in >= 0:
				s.cost += in
			case plainWords[typed]:
				s.cost += costPlain
			default:
				ok = false
			}
		}
		for _, typed := range ask.after {
			if !slices.ContainsFunc(x.around(int(i)), func(w string) bool { return wordCost(typed, w) >= 0 }) {
				s.cost += costAfter
			}
		}
		if ok && len(words(x.name(int(i)))) > len(ask.words) {
			s.cost++ // a name that goes on
		}
		if ok && s.cost <= mostCost {
			out[i] = s.cost
		}
	}
	return out
}

// around are the words of a street's city.
func (x *Index) around(i int) []string {
	if streets, _, _ := x.Counts(); i >= streets {
		return nil
	}
	return words(x.text(x.streetInt(i, 1)))
}

// onStreet finds a number in a street: itself, or between its neighbours on the
// same side, or else the street's middle.
func (x *Index) onStreet(i, cost int, ask asked) Hit {
	h := Hit{Street: x.text(x.streetInt(i, 0)), City: x.text(x.streetInt(i, 1)), Postcode: x.text(x.streetInt(i, 2)),
		At: Point{int32(x.streetInt(i, 3)), int32(x.streetInt(i, 4))}, Precision: Street, Cost: cost}
	if ask.postcode != "" && h.Postcode != ask.postcode {
		h.Cost += costPlain
	}
	if ask.number == "" {
		return h
	}
	n, rest := readNumber(ask.number)
	first, count := int(x.streetInt(i, 5)), int(x.streetInt(i, 6))
	below, above, bare := -1, -1, -1
	for k := first; k < first+count; k++ {
		v := x.houseInt(k, 0)
		switch {
		case v == n && x.text(x.houseInt(k, 1)) == rest:
			h.Number, h.At, h.Precision = x.numberOf(k), x.houseAt(k), Exact
			if code := x.text(x.houseInt(k, 2)); code != "" {
				h.Postcode = code
			}
			return h
		case v == n && bare < 0:
			bare = k
		case v < n && v%2 == n%2 && v > 0:
			below = k
		case v > n && v%2 == n%2 && above < 0:
			above = k
		}
	}
	switch {
	case bare >= 0: // 12 for 12A: the same house, or the one beside it
		h.Number, h.At, h.Precision, h.Cost = x.numberOf(bare), x.houseAt(bare), Between, h.Cost+1
	case below >= 0 && above >= 0 && x.houseInt(above, 0)-x.houseInt(below, 0) <= mostGap:
		h.Number, h.Precision, h.Cost = ask.number, Between, h.Cost+1
		h.At = part(x.houseAt(below), x.houseAt(above), int64(n-x.houseInt(below, 0)), int64(x.houseInt(above, 0)-x.houseInt(below, 0)))
	default:
		h.Cost += costPlain
	}
	return h
}

// mostGap is how far apart two numbers may be for a third to lie between them.
const mostGap = 200

func (x *Index) houseAt(k int) Point { return Point{int32(x.houseInt(k, 3)), int32(x.houseInt(k, 4))} }

func (x *Index) numberOf(k int) string {
	n, rest := x.houseInt(k, 0), strings.ToUpper(x.text(x.houseInt(k, 1)))
	if n == 0 {
		return rest
	}
	return strconv.FormatUint(uint64(n), 10) + rest
}

// part is the place k of n on the way from a to b.
func part(a, b Point, k, n int64) Point {
	between := func(p, q int32) int32 { return int32(int64(p) + (int64(q)-int64(p))*k/n) }
	return Point{between(a.LatE7, b.LatE7), between(a.LonE7, b.LonE7)}
}

// coordinates reads "33.2235, -113.778".
func coordinates(text string) (Point, bool) {
	list := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
	if len(list) != 2 || !strings.Contains(list[0], ".") || !strings.Contains(list[1], ".") {
		return Point{}, false
	}
	lat, err1 := strconv.ParseFloat(list[0], 64)
	lon, err2 := strconv.ParseFloat(list[1], 64)
	if err1 != nil || err2 != nil || !(math.Abs(lat) <= 90) || !(math.Abs(lon) <= 180) {
		return Point{}, false
	}
	return Point{int32(math.Round(lat * 1e7)), int32(math.Round(lon * 1e7))}, true
}
