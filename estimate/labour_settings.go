package estimate

// LabourSettings are the office's times. Seconds; parts in thousandths.
type LabourSettings struct {
	Quantile  int64            `json:"quantile"`   // the planning quantile: 800 plans a time that 8 of 10 visits keep
	DayFactor int64            `json:"day_factor"` // log spread that all work of one day shares: weather, access
	Visits    []VisitRule      `json:"visits"`
	Tasks     []TaskRule       `json:"tasks"`
	Factors   []Factor         `json:"factors"`
	Again     int64            `json:"again"`                // seconds to set up again when a visit is done in parts
	Learned   map[string]int64 `json:"learned,omitempty"`    // visit kind -> real over estimated time, from what was done
	LearnedAt int64            `json:"learned_at,omitempty"` // unix seconds at which Learned was taken over: only visits after it say more
}

// VisitRule is a kind of visit and who goes.
type VisitRule struct {
	Kind   string   `json:"kind"`
	Name   string   `json:"name"`
	Water  string   `json:"water"` // nothing, low or covered
	People int      `json:"people"`
	Skills []string `json:"skills"`
	When   string   `json:"when,omitempty"` // a condition; empty: always
}

// TaskRule is a task with its best, usual and worst seconds.
type TaskRule struct {
	Visit string `json:"visit"`
	Key   string `json:"key"`
	Name  string `json:"name"`
	Best  int64  `json:"best"`
	Usual int64  `json:"usual"`
	Worst int64  `json:"worst"`
	Each  string `json:"each"`           // job, light, zone or body
	When  string `json:"when,omitempty"` // a condition of the job, or tug=… of the light's conduit
	Dry   bool   `json:"dry,omitempty"`  // needs no low water: may be done while it still falls
}

// Factor makes tasks longer under a condition.
type Factor struct {
	When string `json:"when"`
	Task string `json:"task"` // key
	Part int64  `json:"part"` // thousandths: 1 300 is three tenths longer
	Why  string `json:"why"`
}

// defaultLabour: priors marked by the trade as common practice, without a
// published source; they are meant to be learned from what was really done.
func defaultLabour() LabourSettings {
	h := func(hours float64) int64 { return int64(hours * 3600) }
	return LabourSettings{
		Quantile: 800, DayFactor: 80, Again: 1_200,
		Visits: []VisitRule{
			{Kind: "survey", Name: "Survey", Water: "nothing", People: 1, Skills: []string{"survey"}},
			{Kind: "prepare", Name: "Prepare", Water: "nothing", People: 2, Skills: []string{"dig"}, When: "soil"},
			{Kind: "circuit", Name: "Circuit", Water: "nothing", People: 1, Skills: []string{"licensed"}, When: "circuit"},
			{Kind: "drain", Name: "Drain", Water: "nothing", People: 1, Skills: []string{"water"}, When: "drain"},
			{Kind: "convert", Name: "Convert", Water: "low", People: 2, Skills: []string{"pull"}},
			{Kind: "connect", Name: "Connect", Water: "nothing", People: 1, Skills: []string{"licensed"}},
			{Kind: "inspect", Name: "Inspect", Water: "nothing", People: 1, When: "permit"},
			{Kind: "commission", Name: "Commission", Water: "covered", People: 1, Skills: []string{"pull"}},
			{Kind: "collect", Name: "Collect", Water: "nothing", People: 1, When: "never"},
			{Kind: "call_back", Name: "Call-back", Water: "nothing", People: 1, Skills: []string{"pull"}, When: "never"},
		},
		Tasks: []TaskRule{
			{Visit: "survey", Key: "survey", Name: "Look, measure, tug test", Best: h(.5), Usual: h(.75), Worst: h(1.5), Each: "job"},
			{Visit: "prepare", Key: "base", Name: "Open soil, set the base", Best: h(1), Usual: h(2), Worst: h(4), Each: "job"},
			{Visit: "circuit", Key: "circuit", Name: "Put circuit and protection right", Best: h(1), Usual: h(1.75), Worst: h(3), Each: "job"},
			{Visit: "drain", Key: "drain", Name: "Equipment off and tagged, chemistry read, pump and hose set", Best: h(.3), Usual: h(.45), Worst: h(.9), Each: "job"},
			{Visit: "drain", Key: "drain-body", Name: "Each further body of water", Best: h(.1), Usual: h(.2), Worst: h(.5), Each: "body"},
			{Visit: "convert", Key: "off", Name: "Breaker off, tagged, verified dead; old illuminator out", Best: h(.4), Usual: h(.6), Worst: h(1.2), Each: "job", Dry: true},
			{Visit: "convert", Key: "measure", Name: "Measure dry, go or no-go", Best: h(.08), Usual: h(.12), Worst: h(.3), Each: "light"},
			{Visit: "convert", Key: "pull", Name: "Pull the cord", Best: h(.2), Usual: h(.45), Worst: h(1.2), Each: "light", When: "tug=moves"},
			{Visit: "convert", Key: "pull", Name: "Pull the cord, bundle moves hard", Best: h(.4), Usual: h(.9), Worst: h(2.5), Each: "light", When: "tug=moves_hard"},
			{Visit: "convert", Key: "pull", Name: "Pull the cord, bundle stuck or broken", Best: h(.75), Usual: h(2), Worst: h(5), Each: "light", When: "tug=stuck"},
			{Visit: "convert", Key: "pull", Name: "Pull the cord, no tug test yet", Best: h(.25), Usual: h(.75), Worst: h(3), Each: "light", When: "tug=unknown"},
			{Visit: "convert", Key: "fit", Name: "Fit and seal the light", Best: h(.2), Usual: h(.35), Worst: h(.75), Each: "light"},
			{Visit: "convert", Key: "marks", Name: "Mark the zone's cords", Best: h(.05), Usual: h(.1), Worst: h(.25), Each: "zone"},
			{Visit: "convert", Key: "leave", Name: "Clean up, guard the low pool, start the fill", Best: h(.4), Usual: h(.6), Worst: h(1.2), Each: "job"},
			{Visit: "connect", Key: "swap", Name: "Supply in, connect, trip test", Best: h(1), Usual: h(1.5), Worst: h(3), Each: "job"},
			{Visit: "connect", Key: "zone", Name: "Connect a zone", Best: h(.15), Usual: h(.25), Worst: h(.5), Each: "zone"},
			{Visit: "inspect", Key: "inspect", Name: "Meet the inspector", Best: h(.25), Usual: h(.5), Worst: h(1.5), Each: "job"},
			{Visit: "commission", Key: "test", Name: "Test under water, equipment restored, show the customer", Best: h(.5), Usual: h(.75), Worst: h(1.5), Each: "job"},
			{Visit: "collect", Key: "collect", Name: "Collect pump and hose", Best: h(.15), Usual: h(.25), Worst: h(.5), Each: "job"},
			{Visit: "call_back", Key: "call-back", Name: "Find and mend", Best: h(.5), Usual: h(1), Worst: h(3), Each: "job"},
		},
		Factors: []Factor{
			{When: "tee", Task: "pull", Part: 1300, Why: "the run is shared or a hidden tee is suspected"},
			{When: "long", Task: "pull", Part: 1200, Why: "the run is over 100 ft"},
			{When: "bends", Task: "pull", Part: 1250, Why: "bends of more than 270° in all"},
		},
	}
}
