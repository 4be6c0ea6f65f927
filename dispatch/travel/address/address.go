// Package address finds places by what people type: a house number and a
// street, a street alone, a place, a postcode. Its index is built while a road
// extract is read, and kept as one run of bytes:
//
//	b := address.NewBuilder()
//	b.House(address.House{Number: "953", Street: "Saltbush Drive", At: at})
//	b.Street("Saltbush Drive", line)
//	data := b.Encode()
//	x, err := address.Open(data)
//	hits := x.Find(address.Query{Text: "953 saltbsh dr"})
//
// Typing is forgiven: beginnings of words, the usual abbreviations, accents, and
// one or two wrong letters in words long enough to stay recognisable. Every hit
// says how exact it is.
package address

// Point is a place on the globe, in degrees times ten million.
type Point struct{ LatE7, LonE7 int32 }

// Precision says how exact a hit is.
type Precision string

// The precisions, best first.
const (
	Pin      Precision = "pin"      // coordinates as they were typed
	Exact    Precision = "house"    // the house number
	Between  Precision = "between"  // between two numbers of that street
	Street   Precision = "street"   // the street; its middle
	Place    Precision = "place"    // a place with a name; wherever its name stands
	Postcode Precision = "postcode" // the middle of the houses with the postcode
)

// House is an address of an extract.
type House struct {
	Number   string // as written: 12, 12A, 12-14
	Street   string
	City     string
	Postcode string
	At       Point
}

// Hit is a place that was found.
type Hit struct {
	Number    string // empty: none was asked for, or the street has no such one
	Street    string
	Name      string // of a place
	City      string
	Postcode  string
	At        Point
	Precision Precision
	// Cost says how far the text is from the name: 0 is as written.
	Cost int
}

// Label is a hit as one line for people.
func (h Hit) Label() string {
	line := h.Street
	if h.Number != "" {
		line = h.Number + " " + line
	}
	for _, part := range []string{h.Name, h.City, h.Postcode} {
		switch {
		case part == "" || part == line:
		case line == "":
			line = part
		default:
			line += ", " + part
		}
	}
	return line
}

// Query is what somebody looks for.
type Query struct {
	Text  string
	Near  *Point // of hits that are equally good, the nearest comes first; nil: none is nearer
	Limit int    // 0: 10
}
