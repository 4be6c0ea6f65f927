package estimate

import (
	"strings"
	"testing"

	"ebbline/jobs"
)

// told is a value as somebody enters it.
func entered(known jobs.Known, text, unit string) jobs.Value {
	return jobs.Value{Text: text, Unit: unit, Known: known}
}

// pool is a survey with a light for each conduit's end, made of the values
// given for its conduit.
func oneConduit(t testing.TB, lights int, values map[string]jobs.Value) jobs.Survey {
	t.Helper()
	s := jobs.Survey{Version: 1, Zone: "UTC", Subjects: []jobs.Subject{
		{ID: "pool", Kind: jobs.SubjectBody}, {ID: "supply", Kind: jobs.SubjectSupply},
	}}
	run := jobs.Subject{ID: "c", Kind: jobs.SubjectConduit, Name: "North run", Ends: []string{"supply"}, Values: values}
	for _, id := range []string{"l1", "l2", "l3", "l4"}[:lights] {
		s.Subjects = append(s.Subjects, jobs.Subject{ID: id, Kind: jobs.SubjectPosition, Of: "pool"})
		run.Ends = append(run.Ends, id)
	}
	s.Subjects = append(s.Subjects, run)
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func dry(list ...string) map[string]jobs.Value {
	values := map[string]jobs.Value{}
	for _, item := range list {
		name, rest, _ := strings.Cut(item, "=")
		text, unit, _ := strings.Cut(rest, "|")
		values[name] = entered(jobs.KnownMeasuredDry, text, unit)
	}
	return values
}

func judged(t testing.TB, lights int, list ...string) Conduit {
	t.Helper()
	e := Make(oneConduit(t, lights, dry(list...)), DefaultSettings(), Ask{})
	checkForm(t, e)
	if len(e.Conduits) != 1 {
		t.Fatalf("%d conduits", len(e.Conduits))
	}
	return e.Conduits[0]
}

func TestVerdicts(t *testing.T) {
	pipe := []string{"material=pvc_40", "size_supply=1", "size_water=1"}
	for _, c := range []struct {
		name    string
		lights  int
		list    []string
		verdict string
		text    string
	}{
		{"moves", 1, []string{"tug=moves"}, VerdictPull, "the bundle moves"},
		{"moves hard", 1, []string{"tug=moves_hard"}, VerdictHelp, "moves hard"},
		{"stuck", 1, []string{"tug=stuck"}, VerdictOpen, "is stuck"},
		{"broken", 1, []string{"tug=broken"}, VerdictOpen, "is broken"},
		{"no tug test", 1, nil, VerdictUnknown, "no tug test"},
		{"a shared run", 3, []string{"tug=moves"}, VerdictPull, "all of its cords at once or none"},
		{"a hidden tee", 1, []string{"tug=moves", "tee=yes"}, VerdictPull, "all of its cords at once or none"},
		{"moves, but long, wet, bent and old", 1, []string{"tug=moves", "water_found=yes", "tee=yes", "years=30", "length=200|ft", "bend_total=450|°"}, VerdictHelp, "Against it: water was found inside"},
		{"moves, but a heavy dry pull", 1, append(pipe, "tug=moves", "run=60 ft; 90; 60 ft; 90; 30 ft; 90; 30 ft"), VerdictHelp, "over the 41.3 lb that one person may pull"},
		{"moves, but more than can be borne", 1, append(pipe, "tug=moves", "run=300 ft; 90; 300 ft; 90; 100 ft; 90; 100 ft; 90; 20 ft; 90; 10 ft"), VerdictOpen, "more than cord, joint or two people bear"},
		{"a pull that no lubricant saves", 1, append(pipe, "tug=moves", "run=900 ft; 180; 180; 180; 180; 180; 180; 20 ft"), VerdictOpen, "even lubricated it takes at least"},
		{"more cord than inside", 3, []string{"material=pvc_80", "size_supply=1/2", "size_water=1/2", "tug=moves"}, VerdictOpen, "more than the whole inside"},
		{"over the fill limit", 1, []string{"material=pvc_80", "size_supply=1/2", "size_water=2", "jumper=yes", "tug=moves"}, VerdictHelp, "allowed"},
	} {
		got := judged(t, c.lights, c.list...)
		if got.Verdict != c.verdict || !strings.Contains(got.Text, c.text) {
			t.Errorf("%s: %s, %q; want %s with %q", c.name, got.Verdict, got.Text, c.verdict, c.text)
		}
		if sum := got.Chances.Pull + got.Chances.Help + got.Chances.Open; sum != 1000 {
			t.Errorf("%s: chances add up to %d", c.name, sum)
		}
		if (got.Verdict == VerdictOpen) && got.Hint == "" {
			t.Errorf("%s: opening up and nothing to allow for", c.name)
		}
	}
}

// What is said twice and does not agree is named, never silently settled.
func TestContradictionsAreNamed(t *testing.T) {
	for _, c := range []struct {
		lights int
		list   []string
		want   string
	}{
		{2, []string{"shared=no"}, "not to be shared"},
		{1, []string{"bends=0", "bend_total=180|°"}, "no bends, yet 180°"},
		{1, []string{"bends=2", "bend_total=0|°"}, "2 bends, yet 0°"},
		{1, []string{"bends=1", "bend_total=270|°"}, "270° in 1 bend"},
		{1, []string{"length=60|ft", "run=40 ft; 90; 40 ft"}, "the length says 60'"},
		{1, []string{"bend_total=180|°", "run=40 ft; 90; 40 ft"}, "their sum says 180°"},
		{1, []string{"bends=2", "run=40 ft; 90; 40 ft"}, "their number says 2"},
	} {
		e := Make(oneConduit(t, c.lights, dry(c.list...)), DefaultSettings(), Ask{})
		found := false
		for _, check := range e.Checks {
			found = found || check.Key == "conduit.agrees" && check.Result == Short && strings.Contains(check.Text, c.want)
		}
		if !found || !strings.Contains(e.Conduits[0].Text, c.want) {
			t.Errorf("%v: %q, want %q named", c.list, e.Conduits[0].Text, c.want)
		}
	}
	if got := judged(t, 1, "length=80|ft", "bends=1", "bend_total=90|°", "run=40 ft; 90; 40 ft"); len(got.Doubts) > 0 {
		t.Errorf("all agrees, yet %v", got.Doubts)
	}
}

// EMT and ENT raise a question: NEC 680.23(B)(2) names rigid and intermediate
// metal, liquidtight nonmetallic and rigid nonmetallic conduit.
func TestKindsOfConduit(t *testing.T) {
	for material, want := range map[string]string{"pvc_40": Holds, "pvc_80": Holds, "hdpe": Holds, "rmc": Holds, "imc": Holds, "lfnc": Holds, "emt": Short, "ent": Short, "soft_hose": Short} {
		run := jobs.Subject{ID: "c", Kind: jobs.SubjectConduit, Values: dry("material=" + material)}
		if got := materialCheck(run).Result; got != want {
			t.Errorf("%s: %s, want %s", material, got, want)
		}
	}
	if f := judged(t, 1, "material=soft_hose", "size_supply=1", "size_water=1").Fill; f.Known || len(f.Missing) == 0 {
		t.Errorf("a hose that no table lists: %+v", f)
	}
}

// Nobody settled this survey: a 10-mile conduit, sizes of nothing, nonsense in
// every field. No panic, no number from nothing.
func TestNonsenseIsNotANumber(t *testing.T) {
	run := jobs.Subject{ID: "c", Kind: jobs.SubjectConduit, Ends: []string{"supply", "l1", "nobody"}, Values: map[string]jobs.Value{
		"length": {Text: "10", Unit: "mi", Base: 16_093_440_000, Known: jobs.KnownTold}, "run": {Text: "NaN; -; 1e999 ft", Known: jobs.KnownTold},
		"bend_total": {Base: 1 << 62, Known: jobs.KnownTold}, "bends": {Base: -1 << 62, Known: jobs.KnownTold},
		"size_supply": {Text: "0", Known: jobs.KnownTold}, "size_water": {Text: "", Known: jobs.KnownTold}, "material": {Text: "clay", Known: jobs.KnownTold},
		"tug": {Text: "sings", Known: jobs.KnownTold}, "years": {Base: 1 << 62, Known: jobs.KnownTold},
	}}
	s := jobs.Survey{Version: 1, Zone: "UTC", Subjects: []jobs.Subject{{ID: "pool", Kind: jobs.SubjectBody}, {ID: "supply", Kind: jobs.SubjectSupply}, run}}
	for range 1000 {
		s.Subjects = append(s.Subjects, jobs.Subject{ID: "l1", Kind: jobs.SubjectPosition, Of: "pool", Values: map[string]jobs.Value{
			"fitting_inside": {Base: 0, Known: jobs.KnownMeasuredDry}, "elbow_depth": {Base: -1 << 62, Known: jobs.KnownTold}, "depth": {Base: 1 << 62, Known: jobs.KnownTold}, "fitting_thread": {Text: "none", Known: jobs.KnownTold}}})
	}
	e := Make(s, DefaultSettings(), Ask{})
	checkForm(t, e)
	for _, f := range e.Conduits[0].Figures() {
		if f.Known && strings.HasPrefix(f.Key, "conduit.pull") || f.Key == "conduit.fill" && f.Known {
			t.Errorf("%s is %s", f.Key, f.Text)
		}
	}
	for text, field := range map[string]string{"10 mi": "length", "0 ft": "length"} {
		bad := s
		run.Values = map[string]jobs.Value{field: entered(jobs.KnownTold, text, "")}
		bad.Subjects = []jobs.Subject{{ID: "supply", Kind: jobs.SubjectSupply}, {ID: "c", Kind: jobs.SubjectConduit, Values: run.Values}}
		if _, err := bad.Settle(); err == nil || !strings.Contains(err.Error(), "c."+field) {
			t.Errorf("%s: %v", text, err)
		}
	}
}
