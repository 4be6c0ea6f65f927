package estimate

import "ebbline/jobs"

// ConduitSettings are what the office holds of pulling cords through old
// conduits. The chances and what shifts them are common practice without a
// published source, meant to be learned from what was really done. Parts and
// log-odds in thousandths.
type ConduitSettings struct {
	DryFriction      int64            `json:"dry_friction"`       // planned with, where nothing is lubricated
	DryFrictionLeast int64            `json:"dry_friction_least"` // the good end
	WetFriction      int64            `json:"wet_friction"`       // planned with, lubricated
	WetFrictionLeast int64            `json:"wet_friction_least"`
	Feed             int64            `json:"feed"`         // mN of tension in the cord as it is fed in
	Joint            int64            `json:"joint"`        // mN that cord jacket and splice to the pull line bear
	OnePerson        int64            `json:"one_person"`   // mN of steady pull by hand
	TwoPeople        int64            `json:"two_people"`   // mN
	SideWall         int64            `json:"side_wall"`    // mN for each metre of bend radius
	CordWeight       int64            `json:"cord_weight"`  // mg for each metre, of a cord whose sheet gives none
	HiddenBends      int64            `json:"hidden_bends"` // thousandths of a degree that a plan from above does not show
	LeastChance      int64            `json:"least_chance"` // thousandths asked of a way to plan on it
	Priors           map[string]Prior `json:"priors"`       // by tug result; "unknown" before any
	Evidence         map[string]int64 `json:"evidence"`     // log-odds towards the harder outcome, by what is found
	FitWidth         int64            `json:"fit_width"`    // µm of play that a light's body needs in the fitting
	FitLength        int64            `json:"fit_length"`   // µm that the cord needs between the body and the elbow
}

// Prior is what a tug result alone says, in thousandths; what is left of 1 000
// must be opened up first.
type Prior struct {
	Pull int64 `json:"pull"` // one person pulls it
	Help int64 `json:"help"` // with lubricant and a second person
}

// What shifts the chances.
const (
	evidenceWater    = "water"
	evidenceDry      = "dry"
	evidenceTee      = "tee"
	evidenceLine     = "pull_line"
	evidenceMaterial = "material"
	evidenceBends    = "bends"  // for each 90° over 180°
	evidenceLength   = "length" // for each 50 ft over 50 ft
	evidenceYears    = "years"  // for each 10 years over 10
	evidenceFill     = "fill"   // more cord than the code allows
	evidenceJam      = "jam"
	evidenceHeavy    = "heavy"  // the lubricated pull is more than one person's
	evidenceBeyond   = "beyond" // more than two people, cord or joint bear
)

func defaultConduit() ConduitSettings {
	return ConduitSettings{
		DryFriction: 500, DryFrictionLeast: 300, WetFriction: 200, WetFrictionLeast: 100,
		Feed: 8_896, Joint: 266_893, OnePerson: 222_411, TwoPeople: 444_822, // 2, 60, 50 and 100 lb
		SideWall:    4_378_171, // 300 lb for each foot of radius
		CordWeight:  178_580,   // 0.12 lb/ft
		HiddenBends: 180_000, LeastChance: 600,
		Priors: map[string]Prior{
			jobs.TugMoves: {850, 120}, jobs.TugMovesHard: {250, 600}, jobs.TugStuck: {40, 260}, jobs.TugBroken: {20, 180},
			tugUnknown: {450, 350},
		},
		Evidence: map[string]int64{
			evidenceWater: 400, evidenceDry: -200, evidenceTee: 600, evidenceLine: -500, evidenceMaterial: 400,
			evidenceBends: 250, evidenceLength: 150, evidenceYears: 120,
			evidenceFill: 600, evidenceJam: 500, evidenceHeavy: 800, evidenceBeyond: 3_000,
		},
		FitWidth: 500, FitLength: 12_700,
	}
}

const tugUnknown = "unknown"

// conduits are the conduit settings in force: those of settings that were kept
// before there were any are the defaults.
func (s Settings) conduits() ConduitSettings {
	if s.Conduit.DryFriction == 0 {
		return defaultConduit()
	}
	return s.Conduit
}

func (s ConduitSettings) check(f *jobs.Faults, within func(field string, v, least, most int64)) {
	within("conduit.dry_friction", s.DryFriction, 1, 2_000)
	within("conduit.dry_friction_least", s.DryFrictionLeast, 1, max(s.DryFriction, 1))
	within("conduit.wet_friction", s.WetFriction, 1, max(s.DryFriction, 1))
	within("conduit.wet_friction_least", s.WetFrictionLeast, 1, max(s.WetFriction, 1))
	const heavy = 100_000_000 // mN, about 22 000 lb
	within("conduit.feed", s.Feed, 0, heavy)
	within("conduit.joint", s.Joint, 1, heavy)
	within("conduit.one_person", s.OnePerson, 1, heavy)
	within("conduit.two_people", s.TwoPeople, max(s.OnePerson, 1), heavy)
	within("conduit.side_wall", s.SideWall, 1, heavy)
	within("conduit.cord_weight", s.CordWeight, 1, 100_000_000)
	within("conduit.hidden_bends", s.HiddenBends, 0, 360_000)
	within("conduit.least_chance", s.LeastChance, 1, 1000)
	within("conduit.fit_width", s.FitWidth, 0, 100_000)
	within("conduit.fit_length", s.FitLength, 0, 1_000_000)
	last := Prior{Pull: 998, Help: 998}
	for _, tug := range []string{jobs.TugMoves, jobs.TugMovesHard, jobs.TugStuck, jobs.TugBroken, tugUnknown} {
		p, at := s.Priors[tug], "conduit.priors."+tug
		if tug == tugUnknown {
			last = Prior{Pull: 998, Help: 998}
		}
		// A worse tug result promises no more than a better one.
		within(at+".pull", p.Pull, 1, max(last.Pull, 1))
		within(at+".help", p.Help, 0, max(min(999, last.Pull+last.Help)-p.Pull, 0))
		last = p
	}
	f.Check(len(s.Priors) == 5, "conduit.priors", "", "moves, moves_hard, stuck, broken and unknown")
	known := defaultConduit().Evidence
	for key, shift := range s.Evidence {
		_, ok := known[key]
		f.Check(ok, "conduit.evidence", key, "one of the kinds of the defaults")
		least := int64(0)
		if key == evidenceDry || key == evidenceLine {
			least = -5_000
		}
		within("conduit.evidence."+key, shift, least, 5_000)
	}
}
