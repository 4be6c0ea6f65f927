package estimate

import (
	"ebbline/jobs"
)

// Settings are the office's own numbers: margins, rules of the branch, the
// catalogue, times and rates. They are stored with a version, and an estimate
// can always be made again from survey, settings and question.
type Settings struct {
	Version   int             `json:"version"`
	Bands     Bands           `json:"bands"`
	Water     WaterSettings   `json:"water"`
	Cord      CordSettings    `json:"cord"`
	Supply    SupplySettings  `json:"supply"`
	Labour    LabourSettings  `json:"labour"`
	Price     PriceSettings   `json:"price"`
	Energy    EnergySettings  `json:"energy"`
	Catalogue CatalogueOffice `json:"catalogue"`
	Conduit   ConduitSettings `json:"conduit"`
	Orders    OrderSettings   `json:"orders"`
}

// Bands say how far a value may be off, by how it is known: the part above the
// median at the 90 % quantile, in thousandths (120: up to 12 % more).
type Bands struct {
	Length map[jobs.Known]int64 `json:"length"`
	Flow   map[jobs.Known]int64 `json:"flow"`
	Kidney int64                `json:"kidney"` // of the kidney formula itself
	Free   int64                `json:"free"`   // of widths at even steps
	Pump   int64                `json:"pump"`   // of a flow computed from pump, hose and rise
}

// WaterSettings are the branch's habits and rules about pool water.
type WaterSettings struct {
	BelowFitting int64            `json:"below_fitting"` // µm of water below the fitting's lower edge
	Cover        int64            `json:"cover"`         // µm of water above the fitting that count as covered
	FaceAssumed  int64            `json:"face_assumed"`  // µm, height of a fitting's face nobody measured
	RateByPlace  map[string]int64 `json:"rate_by_place"` // mL/min allowed where the survey has no limit; 0: the place is not allowed
	Pump         PumpCurve        `json:"pump"`
	HoseLength   int64            `json:"hose_length"` // µm
	HoseInside   int64            `json:"hose_inside"` // µm
	HoseSmooth   int64            `json:"hose_smooth"` // Hazen-Williams C
	RiseAssumed  int64            `json:"rise_assumed"`
	LowLimit     map[string]int64 `json:"low_limit"`      // seconds a body may stay low, by finish
	LowLimitElse int64            `json:"low_limit_else"` // seconds for finishes not named
	Hold         int64            `json:"hold"`           // seconds without chlorine before pumping

	ChlorineLimit int64 `json:"chlorine_limit"` // µg/L that may go where the survey has no limit
	PHLow         int64 `json:"ph_low"`         // thousandths of a pH unit, likewise
	PHHigh        int64 `json:"ph_high"`
	Evaporation   int64 `json:"evaporation"` // µm in a day, an allowance
	Rain          int64 `json:"rain"`        // µm, an allowance
}

// PumpCurve is a pump's head over its flow: H = Head * (1 - (q/Flow)²).
type PumpCurve struct {
	Name string `json:"name"`
	Head int64  `json:"head"` // µm at no flow
	Flow int64  `json:"flow"` // mL/min at no head
}

// CordSettings are the lengths added to a conduit's run.
type CordSettings struct {
	Wall          int64 `json:"wall"`            // µm left at the wall fitting, least
	Supply        int64 `json:"supply"`          // µm to the supply's terminals
	Spare         int64 `json:"spare"`           // thousandths of the run
	DeckAboveTile int64 `json:"deck_above_tile"` // µm from the tile line up to the deck
	OnDeck        int64 `json:"on_deck"`         // µm that lie on the deck when a light is lifted out
}

// SupplySettings are the limits of the low-voltage side.
type SupplySettings struct {
	Loading      int64  `json:"loading"`       // thousandths of a listed rating that are planned
	ContactLimit int64  `json:"contact_limit"` // mV RMS that count as safe to touch under water
	Continuous   int64  `json:"continuous"`    // thousandths of a breaker for loads of 3 h and more
	Distance     int64  `json:"distance"`      // µm from the water, least
	AboveDeck    int64  `json:"above_deck"`    // µm, least
	AboveWater   int64  `json:"above_water"`   // µm, least
	LensDepth    int64  `json:"lens_depth"`    // µm from normal level to the top of the lens, least
	LensListed   int64  `json:"lens_listed"`   // µm, least for a light listed for less
	Edition      string `json:"edition"`

	ContactPeak     int64 `json:"contact_peak"`     // mV peak, AC that is no sine
	ContactDC       int64 `json:"contact_dc"`       // mV, steady DC
	ContactPulsed   int64 `json:"contact_pulsed"`   // mV peak, DC interrupted at 10 to 200 Hz
	MainsLow        int64 `json:"mains_low"`        // thousandths of nominal that a circuit may fall to
	MainsHigh       int64 `json:"mains_high"`       // and rise to, while nobody measured it
	Cool            int64 `json:"cool"`             // thousandths of °C, copper in a cool wet conduit
	CircuitVolts    int64 `json:"circuit_volts"`    // mV between conductors of the lights' circuit, most
	BranchAmps      int64 `json:"branch_amps"`      // mA, breaker of a circuit for low-voltage lights, most
	OutputAmps      int64 `json:"output_amps"`      // mA of a low-voltage output, most
	DistanceElse    int64 `json:"distance_else"`    // µm from the water, least, for a supply not listed for pools
	FlexOne         int64 `json:"flex_one"`         // µm, one piece of flexible metal conduit, most
	FlexAll         int64 `json:"flex_all"`         // µm, all of it, most
	ReceptacleLeast int64 `json:"receptacle_least"` // µm from the water, least
	ReceptacleMost  int64 `json:"receptacle_most"`  // µm within which a receptacle must be protected
	ExemptPower     int64 `json:"exempt_power"`     // mW that a supply may be capable of where low energy needs no permit
}

// PriceSettings are rates and margins. Money in cents; parts in thousandths,
// the tax in hundred-thousandths (8 250 is 8.25 %).
type PriceSettings struct {
	CrewHour     jobs.Cents `json:"crew_hour"`     // one person, one hour
	LicensedHour jobs.Cents `json:"licensed_hour"` // one licensed person, one hour
	Trip         jobs.Cents `json:"trip"`          // one visit's way there and back
	Permit       jobs.Cents `json:"permit"`
	Materials    int64      `json:"materials"` // added on material cost
	Overhead     int64      `json:"overhead"`  // added on labour, trips and permit
	Margin       int64      `json:"margin"`    // added on everything
	Tax          int64      `json:"tax"`       // on materials as sold
	Deposit      int64      `json:"deposit"`   // of the total
	// Allowances are the usual surprises that are priced beforehand.
	Allowances []AllowanceRule `json:"allowances"`
}

// EnergySettings are what the customer pays for power and lamps.
type EnergySettings struct {
	KWh       int64      `json:"kwh"`        // hundredths of a cent for a kilowatt-hour
	Ballast   int64      `json:"ballast"`    // thousandths: input over lamp watts of a halide lamp
	Extras    int64      `json:"extras"`     // mW of fan and colour wheel
	Lamp      jobs.Cents `json:"lamp"`       // a replacement lamp, fitted
	LampHours int64      `json:"lamp_hours"` // hours a lamp lasts
	// Halogen lamps cost less and last less.
	HalogenLamp  jobs.Cents `json:"halogen_lamp"`
	HalogenHours int64      `json:"halogen_hours"`

	BallastBand int64 `json:"ballast_band"` // thousandths that the ballast's part may be off
	LampBand    int64 `json:"lamp_band"`    // thousandths that a lamp's hours may be off
	LightHours  int64 `json:"light_hours"`  // hours a new light lasts
}

// Ask is what is asked of an estimate. The zero Ask is one zone with the
// catalogue's first light, a permit as the branch usually needs.
type Ask struct {
	Zones    int    `json:"zones"`               // 1 or 2; 0 means 1
	Light    string `json:"light,omitempty"`     // key in the catalogue; empty: the first
	NoPermit bool   `json:"no_permit,omitempty"` // the authority has said that none is needed
	// Later are ids of bodies of water, or of single light positions, whose
	// lights are left for a job of their own.
	Later []string `json:"later,omitempty"`
}

// DefaultSettings is a full set of invented but sensible numbers. Sources, as
// far as there are any, are named in the working of the figures that use them.
func DefaultSettings() Settings {
	const in, ft, hour, day = 25_400, 304_800, 3_600, 86_400
	return Settings{
		Version: 1,
		Bands: Bands{
			Length: map[jobs.Known]int64{jobs.KnownTold: 120, jobs.KnownRead: 60, jobs.KnownMeasuredWet: 30, jobs.KnownMeasuredDry: 10},
			Flow:   map[jobs.Known]int64{jobs.KnownTold: 300, jobs.KnownRead: 200, jobs.KnownMeasuredWet: 100, jobs.KnownMeasuredDry: 80},
			Kidney: 120, Free: 50, Pump: 250,
		},
		Water: WaterSettings{
			BelowFitting: 6 * in, Cover: 6 * in, FaceAssumed: 8 * in,
			RateByPlace: map[string]int64{
				jobs.DischargeCleanout: 45_425, jobs.DischargeLandscape: 189_271, // 12 and 50 gpm
				"dry_well": 45_425, "tank_truck": 189_271, jobs.DischargeStreet: 0,
			},
			Pump:       PumpCurve{Name: "1/3 hp sump pump", Head: 7_281_672, Flow: 248_223}, // 23.89 ft, 65.574 gpm
			HoseLength: 50 * ft, HoseInside: 38_100, HoseSmooth: 140, RiseAssumed: 4 * ft,
			LowLimit:     map[string]int64{jobs.FinishVinyl: 24 * hour, jobs.FinishFibreglass: 24 * hour, "plaster": 48 * hour, "aggregate": 48 * hour},
			LowLimitElse: 48 * hour, Hold: 10 * day,
			ChlorineLimit: 100, PHLow: 6_500, PHHigh: 8_500, Evaporation: 6_350, Rain: in,
		},
		Cord: CordSettings{Wall: 1 * ft, Supply: 4 * ft, Spare: 50, DeckAboveTile: 6 * in, OnDeck: 2 * ft},
		Supply: SupplySettings{Loading: 800, ContactLimit: 15_000, Continuous: 800, Distance: 4 * ft, AboveDeck: 4 * in, AboveWater: 8 * in, LensDepth: 18 * in, LensListed: 4 * in, Edition: "NEC 2017 and 2020 text",
			ContactPeak: 21_200, ContactDC: 30_000, ContactPulsed: 12_400, MainsLow: 950, MainsHigh: 1050, Cool: 30_000,
			CircuitVolts: 150_000, BranchAmps: 20_000, OutputAmps: 25_000, DistanceElse: 10 * ft,
			FlexOne: 6 * ft, FlexAll: 10 * ft, ReceptacleLeast: 6 * ft, ReceptacleMost: 20 * ft, ExemptPower: 50_000},
		Labour: defaultLabour(),
		Price: PriceSettings{
			CrewHour: 62_00, LicensedHour: 98_00, Trip: 45_00, Permit: 120_00,
			Materials: 350, Overhead: 120, Margin: 150, Tax: 7_800, Deposit: 300, Allowances: defaultAllowances(),
		},
		Energy:    EnergySettings{KWh: 1_700, Ballast: 1_180, Extras: 15_000, Lamp: 85_00, LampHours: 6_000, HalogenLamp: 45_00, HalogenHours: 2_000, BallastBand: 85, LampBand: 300, LightHours: 30_000},
		Catalogue: defaultCatalogue(),
		Orders:    defaultOrders(),
		Conduit:   defaultConduit(),
	}
}
