package jobs

import (
	"strconv"
	"strings"
	"time"
)

// Precision says how well a place on the map is known.
type Precision string

// The precisions, best first.
const (
	PrecisionPin      Precision = "pin"      // set by hand on the map
	PrecisionExact    Precision = "exact"    // the house number
	PrecisionStreet   Precision = "street"   // somewhere in the street
	PrecisionPostcode Precision = "postcode" // the middle of the postcode
	PrecisionUnknown  Precision = "unknown"  // not known yet
)

// Precisions lists the precisions, best first.
var Precisions = []Precision{PrecisionPin, PrecisionExact, PrecisionStreet, PrecisionPostcode, PrecisionUnknown}

// Site is a place with water of a customer's.
type Site struct {
	ID         string
	BranchID   string
	CustomerID string
	SiteData
	SurveyVersion int64 // grows with every change of what is known; 0: nothing yet
	Version       int64
	CreatedAt     time.Time
	UpdatedAt     time.Time
}

// SiteData is what people enter and change. Minutes count from local midnight;
// a pointer is nil while nobody knows.
type SiteData struct {
	Name       string
	Street     string
	City       string
	Region     string
	Postcode   string
	Zone       string // IANA; empty on entry: the branch's
	LatE7      *int64 // degrees times ten million, WGS 84
	LonE7      *int64
	Precision  Precision
	GateCode   string
	GateNote   string
	Pets       string
	VendorPass string // what a crew must register for before it may enter
	WorkFrom   *int64
	WorkTo     *int64
}

// NewSite is a site as it is entered.
type NewSite struct {
	CustomerID string
	SiteData
}

// Check refuses what is wrong, all of it at once.
func (n NewSite) Check() error {
	var f Faults
	f.ID("customer_id", n.CustomerID)
	n.SiteData.check(&f, "")
	return f.Err()
}

// Check refuses what is wrong, all of it at once. Whether the zone exists is
// for a caller that may load zones.
func (d SiteData) Check() error {
	var f Faults
	d.check(&f, "")
	return f.Err()
}

func (d SiteData) check(f *Faults, at string) {
	for _, l := range []struct {
		field, text string
		least, most int
	}{
		{"name", d.Name, 0, MaxName}, {"street", d.Street, 1, 200}, {"city", d.City, 1, MaxName},
		{"region", d.Region, 0, MaxName}, {"postcode", d.Postcode, 0, 20}, {"gate_code", d.GateCode, 0, 60},
		{"pets", d.Pets, 0, 300}, {"vendor_pass", d.VendorPass, 0, 300},
	} {
		f.Line(at+l.field, l.text, l.least, l.most)
	}
	f.Note(at+"gate_note", d.GateNote)
	f.Check(ZoneForm(d.Zone), at+"zone", d.Zone, "an IANA zone name like America/Phoenix")
	OneOf(f, at+"precision", d.Precision, Precisions)
	checkDegrees(f, at+"lat_e7", d.LatE7, 90)
	checkDegrees(f, at+"lon_e7", d.LonE7, 180)
	f.Check((d.LatE7 == nil) == (d.LonE7 == nil), at+"lon_e7", "", "both lat_e7 and lon_e7, or neither")
	f.Check(d.LatE7 != nil || d.Precision == PrecisionUnknown, at+"precision", string(d.Precision), "unknown, while there is no lat_e7 and lon_e7")
	f.Check(d.LatE7 == nil || d.Precision != PrecisionUnknown, at+"precision", string(d.Precision), "how well lat_e7 and lon_e7 are known")
	checkSpan(f, at+"work_from_minute", at+"work_to_minute", d.WorkFrom, d.WorkTo)
}

// Label is the site's name, or its street where it has none.
func (d SiteData) Label() string {
	if d.Name != "" {
		return d.Name
	}
	return d.Street
}

// SearchKey is the text by which a site is found: name, street, city and
// postcode, folded.
func (d SiteData) SearchKey() string {
	return FoldKey(strings.Join([]string{d.Name, d.Street, d.City, d.Postcode}, " "))
}

// Clean trims what people typed and fills in what follows from the rest.
func (d SiteData) Clean() SiteData {
	for _, s := range []*string{&d.Name, &d.Street, &d.City, &d.Region, &d.Postcode, &d.Zone, &d.GateCode, &d.Pets, &d.VendorPass} {
		if PlainText(*s, false) {
			*s = CleanLine(*s)
		}
	}
	if d.Precision == "" {
		d.Precision = PrecisionUnknown
		if d.LatE7 != nil {
			d.Precision = PrecisionPin
		}
	}
	return d
}

func checkDegrees(f *Faults, field string, e7 *int64, most int64) {
	if e7 != nil {
		f.Check(*e7 >= -most*1e7 && *e7 <= most*1e7, field, strconv.FormatInt(*e7, 10),
			"degrees times ten million, between -"+strconv.FormatInt(most, 10)+" and "+strconv.FormatInt(most, 10)+" degrees")
	}
}

// checkSpan refuses work hours that are half given or end before they begin.
func checkSpan(f *Faults, fromField, toField string, from, to *int64) {
	switch {
	case from == nil && to == nil:
	case from == nil:
		f.Add(fromField, "", "needed with "+toField)
	case to == nil:
		f.Add(toField, "", "needed with "+fromField)
	default:
		f.Check(*from >= 0 && *from < 24*60, fromField, strconv.FormatInt(*from, 10), "minutes from midnight, 0 to 1439")
		f.Check(*to > *from && *to <= 24*60, toField, strconv.FormatInt(*to, 10), "after "+fromField+" and at most 1440")
	}
}
