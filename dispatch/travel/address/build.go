package address

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Builder gathers what an extract says. One name may stand for several streets
// far apart: they are told apart by distance.
type Builder struct {
	houses  []House
	pieces  map[string][]piece // by folded name
	places  []placeEntry
	display map[string]string // folded name -> as written first
}

// piece is a way of a street: three of its places stand for it.
type piece struct{ at [3]Point }

type placeEntry struct {
	name, kind string
	at         Point
}

// NewBuilder begins an index.
func NewBuilder() *Builder {
	return &Builder{pieces: map[string][]piece{}, display: map[string]string{}}
}

// House adds an address; one without number or street is passed over.
func (b *Builder) House(h House) {
	if h.Number == "" || fold(h.Street) == "" {
		return
	}
	b.houses = append(b.houses, h)
}

// Street adds a way with a name.
func (b *Builder) Street(name string, line []Point) {
	key := fold(name)
	if key == "" || len(line) == 0 {
		return
	}
	if b.display[key] == "" {
		b.display[key] = name
	}
	b.pieces[key] = append(b.pieces[key], piece{[3]Point{line[0], line[len(line)/2], line[len(line)-1]}})
}

// Place adds a place with a name; kind is the value of its place tag.
func (b *Builder) Place(name, kind string, at Point) {
	if fold(name) != "" {
		b.places = append(b.places, placeEntry{name, kind, at})
	}
}

// Ways of one name closer than this are one street, and houses as close belong
// to it.
const (
	oneStreetMetres = 1500
	houseMetres     = 3000
	cityMetres      = 30_000
)

// entry is a street as it is kept.
type entry struct {
	name, city, postcode string
	at                   Point
	houses               []House
	ends                 []Point
}

// metres is the distance between places that are not far apart: a plane that
// touches the globe between them.
func metres(a, b Point) float64 {
	const perE7 = math.Pi / 180 / 1e7 * 6_371_008.8 // mean radius of the IUGG
	mid := (float64(a.LatE7) + float64(b.LatE7)) / 2 / 1e7 * math.Pi / 180
	return math.Hypot(float64(a.LatE7-b.LatE7)*perE7, (float64(a.LonE7)-float64(b.LonE7))*perE7*math.Cos(mid))
}

// streets tells the streets apart and gives them their houses.
func (b *Builder) streets() []*entry {
	var all []*entry
	of := map[string][]*entry{}
	for _, key := range sortedKeys(b.pieces) {
		for _, group := range clusters(b.pieces[key]) {
			e := &entry{name: b.display[key]}
			for _, p := range group {
				e.ends = append(e.ends, p.at[:]...)
			}
			all, of[key] = append(all, e), append(of[key], e)
		}
	}
	for _, h := range b.houses {
		key := fold(h.Street)
		var best *entry
		far := float64(houseMetres)
		for _, e := range of[key] {
			for _, at := range e.ends {
				if d := metres(at, h.At); d < far {
					best, far = e, d
				}
			}
		}
		if best == nil {
			best = &entry{name: h.Street, ends: []Point{h.At}}
			all, of[key] = append(all, best), append(of[key], best)
		}
		best.houses = append(best.houses, h)
	}
	for _, e := range all {
		b.finish(e)
	}
	slices.SortStableFunc(all, func(x, y *entry) int {
		return cmp.Or(strings.Compare(fold(x.name), fold(y.name)), strings.Compare(x.postcode, y.postcode), cmp.Compare(x.at.LatE7, y.at.LatE7),
			cmp.Compare(x.at.LonE7, y.at.LonE7))
	})
	return all
}

// finish gives a street its middle, its city and postcode, and its houses their
// order.
func (b *Builder) finish(e *entry) {
	e.at = middle(e.ends)
	cities, codes := map[string]int{}, map[string]int{}
	for _, h := range e.houses {
		cities[h.City]++
		codes[h.Postcode]++
	}
	e.city, e.postcode = most(cities), most(codes)
	if e.city == "" {
		e.city = b.cityNear(e.at)
	}
	slices.SortStableFunc(e.houses, func(x, y House) int {
		nx, sx := readNumber(x.Number)
		ny, sy := readNumber(y.Number)
		return cmp.Or(cmp.Compare(nx, ny), strings.Compare(sx, sy), cmp.Compare(x.At.LatE7, y.At.LatE7), cmp.Compare(x.At.LonE7, y.At.LonE7))
	})
	e.houses = slices.CompactFunc(e.houses, func(x, y House) bool {
		return strings.EqualFold(x.Number, y.Number) && x.Postcode == y.Postcode && metres(x.At, y.At) < 100
	})
}

// cityNear is the nearest city, town or village.
func (b *Builder) cityNear(at Point) string {
	best, far := "", float64(cityMetres)
	for _, p := range b.places {
		switch p.kind {
		case "city", "town", "village", "hamlet":
			if d := metres(p.at, at); d < far {
				best, far = p.name, d
			}
		}
	}
	return best
}

// clusters parts ways of one name into streets.
func clusters(list []piece) [][]piece {
	root := make([]int, len(list))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for i := range list {
		for k := range i {
			if find(i) != find(k) && near(list[i], list[k]) {
				root[find(i)] = find(k)
			}
		}
	}
	at := map[int]int{}
	var out [][]piece
	for i, p := range list {
		r := find(i)
		if _, ok := at[r]; !ok {
			at[r] = len(out)
			out = append(out, nil)
		}
		out[at[r]] = append(out[at[r]], p)
	}
	return out
}

func near(a, b piece) bool {
	for _, p := range a.at {
		for _, q := range b.at {
			if metres(p, q) <= oneStreetMetres {
				return true
			}
		}
	}
	return false
}

// middle is that of the places which lies nearest to their mean.
func middle(list []Point) Point {
	var lat, lon int64
	for _, p := range list {
		lat, lon = lat+int64(p.LatE7), lon+int64(p.LonE7)
	}
	n := int64(len(list))
	mean := Point{int32(lat / n), int32(lon / n)}
	best := list[0]
	for _, p := range list {
		if metres(p, mean) < metres(best, mean) {
			best = p
		}
	}
	return best
}

// most is the text that was counted most often, but an empty one only alone.
func most(counts map[string]int) string {
	best := ""
	for _, text := range sortedKeys(counts) {
		if text != "" && (best == "" || counts[text] > counts[best]) {
			best = text
		}
	}
	return best
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// readNumber takes a house number apart: 12A is 12 and "a", 12-14 is 12 and
// "-14". One without a number in front is 0 and all of it.
func readNumber(text string) (n uint32, rest string) {
	text = strings.ToLower(strings.ReplaceAll(text, " ", ""))
	i := 0
	for i < len(text) && text[i] >= '0' && text[i] <= '9' && i < 9 {
		i++
	}
	if i == 0 {
		return 0, text
	}
	v, _ := strconv.ParseUint(text[:i], 10, 32) // nine digits at most
	return uint32(v), text[i:]
}
