package estimate

import "ebbline/jobs"

// CatalogueOffice is what the office buys, edited by the office. Everything in
// the default is invented and generic; figures of a real item come from the
// item's own sheet.
type CatalogueOffice struct {
	Lights   []Light      `json:"lights"`
	Supplies []SupplyPart `json:"supplies"`
	Parts    []PartRule   `json:"parts"`
}

// Light is a light that comes with its cord fixed to it, in steps of length.
type Light struct {
	Key         string    `json:"key"`
	Name        string    `json:"name"`
	Power       int64     `json:"power"`        // mW
	PowerFactor int64     `json:"power_factor"` // thousandths
	VoltsMin    int64     `json:"volts_min"`    // mV at the light
	VoltsMax    int64     `json:"volts_max"`
	AWG         int       `json:"awg"`                   // of the cord's conductors, stranded copper
	CordOuter   int64     `json:"cord_outer"`            // µm, the larger diameter if not round
	CordWeight  int64     `json:"cord_weight,omitempty"` // mg for each metre; 0: not on its sheet, the settings' weight is taken
	Conductors  int       `json:"conductors,omitempty"`  // of the cord; 0: not on its sheet, two are taken
	LensWidth   int64     `json:"lens_width,omitempty"`  // µm, height of the lens; 0: as the body
	BodyLength  int64     `json:"body_length"`
	BodyWidth   int64     `json:"body_width"`
	Thread      string    `json:"thread"`               // a choice of the survey's fitting_thread
	ListedDepth int64     `json:"listed_depth"`         // µm from level to lens it is listed for; 0: the code's usual depth
	Coated      bool      `json:"coated,omitempty"`     // conductors of the cord are tinned
	Solid       bool      `json:"solid,omitempty"`      // or one wire each, not stranded
	Shell       string    `json:"shell,omitempty"`      // nonmetallic or metal; empty: not looked up
	Ungrounded  string    `json:"ungrounded,omitempty"` // yes: listed as low-voltage that needs no grounding; no; empty: not looked up
	DrySafe     string    `json:"dry_safe,omitempty"`   // yes: protected when run without water; no; empty: not looked up
	Sets        []CordSet `json:"sets"`                 // rising length
}

// CordSet is a factory length of a light-and-cord set.
type CordSet struct {
	Length int64      `json:"length"` // µm
	Cost   jobs.Cents `json:"cost"`
}

// SupplyPart is a listed supply for pool lights.
type SupplyPart struct {
	Key        string     `json:"key"`
	Name       string     `json:"name"`
	Outputs    int        `json:"outputs"`
	Output     int64      `json:"output"`               // mW listed for each output
	Total      int64      `json:"total"`                // mW listed for all
	Taps       []int64    `json:"taps"`                 // mV, rising
	Loss       int64      `json:"loss"`                 // thousandths added at the primary side
	TapsEach   bool       `json:"taps_each,omitempty"`  // each output has a tap of its own
	Form       string     `json:"form,omitempty"`       // of the output: empty is sinusoidal AC; ac_other, dc, dc_interrupted
	Hertz      int64      `json:"hertz,omitempty"`      // of interrupted DC
	Crest      int64      `json:"crest,omitempty"`      // thousandths, peak over RMS of ac_other
	Class2     bool       `json:"class2,omitempty"`     // marked as a Class 2 source
	Listed     string     `json:"listed,omitempty"`     // yes: listed for pools and spas; no; empty: not looked up
	Protection string     `json:"protection,omitempty"` // asked: its instructions ask for ground-fault protection; not_asked; empty: not looked up
	Cost       jobs.Cents `json:"cost"`
}

// PartRule is a part and how many of it a conversion takes.
type PartRule struct {
	Key      string     `json:"key"`
	Name     string     `json:"name"`
	Each     string     `json:"each"`           // light, conduit, zone or job
	Quantity int64      `json:"quantity"`       // thousandths of the stock unit
	Stock    string     `json:"stock"`          // the stock unit: piece, tube, roll, bottle
	Cost     jobs.Cents `json:"cost"`           // of one stock unit
	When     string     `json:"when,omitempty"` // our_pump, neutraliser, adapter, open_up; empty: always
	Tool     bool       `json:"tool,omitempty"` // comes back: on the load list, not in the price
}

func defaultCatalogue() CatalogueOffice {
	return CatalogueOffice{
		Lights: []Light{
			{
				Key: "small-colour", Name: "Small colour light, 1-1/2 in fitting", Power: 15_000, PowerFactor: 900,
				VoltsMin: 10_500, VoltsMax: 15_000, AWG: 16, CordOuter: 9_000, CordWeight: 120_000, Conductors: 2, LensWidth: 63_500, BodyLength: 75_000, BodyWidth: 38_000,
				Thread: "threaded_1_1/2", ListedDepth: 101_600, Shell: ShellPlastic, Ungrounded: Yes, DrySafe: Yes, Sets: cordSets(189_00, 90),
			},
			{
				Key: "small-white", Name: "Small white light, 1-1/2 in fitting", Power: 12_000, PowerFactor: 900,
				VoltsMin: 10_500, VoltsMax: 15_000, AWG: 16, CordOuter: 9_000, CordWeight: 120_000, Conductors: 2, LensWidth: 63_500, BodyLength: 75_000, BodyWidth: 38_000,
				Thread: "threaded_1_1/2", ListedDepth: 101_600, Shell: ShellPlastic, Ungrounded: Yes, DrySafe: Yes, Sets: cordSets(149_00, 90),
			},
			{
				Key: "long-run", Name: "Small colour light, heavy cord", Power: 15_000, PowerFactor: 900,
				VoltsMin: 10_500, VoltsMax: 15_000, AWG: 12, CordOuter: 11_500, CordWeight: 220_000, Conductors: 2, LensWidth: 63_500, BodyLength: 75_000, BodyWidth: 38_000,
				Thread: "threaded_1_1/2", ListedDepth: 101_600, Shell: ShellPlastic, Ungrounded: Yes, DrySafe: Yes, Sets: cordSets(209_00, 140),
			},
		},
		Supplies: []SupplyPart{
			{Key: "supply-60", Name: "Supply 60 W, one output", Outputs: 1, Output: 60_000, Total: 60_000, Taps: []int64{12_000, 13_000, 14_000}, Loss: 150, Listed: Yes, Protection: Asked, Cost: 165_00},
			{Key: "supply-100", Name: "Supply 100 W, two outputs", Outputs: 2, Output: 100_000, Total: 100_000, Taps: []int64{12_000, 13_000, 14_000}, Loss: 150, Listed: Yes, Protection: Asked, Cost: 229_00},
			{Key: "supply-300", Name: "Supply 300 W, two outputs", Outputs: 2, Output: 300_000, Total: 300_000, Taps: []int64{12_000, 13_000, 14_000, 15_000}, TapsEach: true, Loss: 150, Listed: Yes, Protection: Asked, Cost: 365_00},
			{Key: "supply-600", Name: "Supply 600 W, four outputs", Outputs: 4, Output: 300_000, Total: 600_000, Taps: []int64{12_000, 13_000, 14_000, 15_000}, TapsEach: true, Loss: 150, Listed: Yes, Protection: Asked, Cost: 690_00},
		},
		Parts: []PartRule{
			{Key: "adapter", Name: "Wall-fitting adapter", Each: "light", Quantity: 1000, Stock: "piece", Cost: 18_50, When: adapterRule},
			{Key: "wall-seal", Name: "Seal for the wall fitting", Each: "light", Quantity: 1000, Stock: "piece", Cost: 6_20},
			{Key: "duct-seal", Name: "Duct seal", Each: "conduit", Quantity: 500, Stock: "block", Cost: 9_80},
			{Key: "lubricant", Name: "Pulling lubricant, water based", Each: "conduit", Quantity: 250, Stock: "bottle", Cost: 14_00},
			{Key: "pull-line", Name: "Pull line", Each: "conduit", Quantity: 100, Stock: "roll", Cost: 22_00},
			{Key: "cord-marks", Name: "Cord marks", Each: "zone", Quantity: 1000, Stock: "piece", Cost: 3_10},
			{Key: "strain-relief", Name: "Strain relief", Each: "light", Quantity: 1000, Stock: "piece", Cost: 4_40},
			{Key: "dechlorine", Name: "Chlorine neutraliser", Each: "job", Quantity: 1000, Stock: "bag", Cost: 12_50, When: "neutraliser"},
			{Key: "pump", Name: "Pump with hose", Each: "job", Quantity: 1000, Stock: "piece", When: "our_pump", Tool: true},
			{Key: "meter", Name: "Voltage meter and proving unit", Each: "job", Quantity: 1000, Stock: "piece", Tool: true},
			{Key: "lock-tag", Name: "Lock and tag", Each: "job", Quantity: 1000, Stock: "piece", Tool: true},
			{Key: "fish-tape", Name: "Fish tape and line blower", Each: "job", Quantity: 1000, Stock: "piece", Tool: true},
			{Key: "open-up", Name: "Saw, spade, couplings and a length of conduit for opening up", Each: "job", Quantity: 1000, Stock: "set", When: "open_up", Tool: true},
			{Key: "barrier", Name: "Barrier for a partly empty pool", Each: "job", Quantity: 1000, Stock: "piece", Tool: true},
		},
	}
}

// cordSets makes the usual steps of cord length: a base cost and a cost for
// every foot.
func cordSets(base, perFoot jobs.Cents) []CordSet {
	var sets []CordSet
	for _, feet := range []int64{30, 50, 80, 100, 150, 200, 250} {
		sets = append(sets, CordSet{Length: feet * 304_800, Cost: base + perFoot*jobs.Cents(feet)})
	}
	return sets
}

// light is the light asked for; the first when none is named; false when the
// catalogue has no such light.
func (c CatalogueOffice) light(key string) (Light, bool) {
	for i, l := range c.Lights {
		if l.Key == key || key == "" && i == 0 {
			return l, true
		}
	}
	return Light{}, false
}
