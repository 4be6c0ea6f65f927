package jobs

import (
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "write the golden files anew")

// letter is one notice as its reader gets it.
type letter struct{ name, subject, body string }

// letters are notices of every kind that is written, in every shape that has
// words of its own, in one language.
func letters(t *testing.T, language string) []letter {
	p := toldPlan(t)
	p.Company.Language, p.Company.License = language, "C-27 0000"
	j := &p.Jobs[0]
	for i := range j.Contacts {
		j.Contacts[i].Language = language
	}
	var out []letter
	add := func(name string, kind NoticeKind, change ChangeKind, f NoticeFacts, w NoticeWords) {
		subject, body := NoticeText(kind, change, f, w)
		out = append(out, letter{name, subject, body})
	}
	for _, w := range PlanNotices(p) {
		if w.Words.Language != language {
			t.Errorf("%s is written in %q", w.Thing, w.Words.Language)
		}
		if w.ContactID == "payer" {
			continue
		}
		add(w.Thing, w.Kind, ChangeNew, w.Facts, w.Words)
		if w.Kind.takenBack() {
			back := takeBack(Notice{Kind: w.Kind, Facts: w.Facts})
			add(w.Thing+" taken back", back.Kind, ChangeWithdrawn, back.Facts, w.Words)
		}
		switch w.Kind {
		case NoticePrep:
			add(w.Thing+" changed", w.Kind, ChangeChanged, w.Facts, w.Words)
			we := w.Facts
			we.WeStart, we.NeedPower, we.To = true, true, we.From+86_400
			w.Words.HasPets = false
			add(w.Thing+" by us", w.Kind, ChangeNew, we, w.Words)
		case NoticeStopChlorine:
			w.Words.Now = w.Facts.From - 1
			for _, hold := range []int64{3600, 36 * 3600} {
				w.Facts.Hold = hold
				add(w.Thing+" held "+itoa(int(hold)), w.Kind, ChangeNew, w.Facts, w.Words)
			}
		case NoticeBooking:
			if w.VisitID == "v1" {
				add("on the way", NoticeOnTheWay, ChangeNew, w.Facts, w.Words)
				late := w.Facts
				late.From = late.To + 45*60
				add("late", NoticeLate, ChangeNew, late, w.Words)
				add("how to use", NoticeHowToUse, ChangeNew, NoticeFacts{}, w.Words)
				for _, kind := range append(slices.Clone(VisitKinds), "other") {
					w.Facts.VisitKind = kind
					add("booking to "+string(kind), w.Kind, ChangeNew, w.Facts, w.Words)
				}
			}
		case NoticeCrewSheet:
			w.Facts.Pumps, w.Facts.Stops = 2, nil
			for _, kind := range append(slices.Clone(VisitKinds), "other") {
				w.Facts.Stops = append(w.Facts.Stops, StopFact{JobNumber: 7, Kind: kind, Site: "4 Ocotillo Lane", Start: w.Facts.From, End: w.Facts.To})
			}
			add(w.Thing+" of all kinds", w.Kind, ChangeNew, w.Facts, w.Words)
		}
	}
	words := NoticeWords{Language: language, To: "Pat", Company: p.Company.Name, Street: "4 Ocotillo Lane", Zone: p.Zone}
	for _, lights := range []int64{1, 4} {
		q, b := quoteOf(lights)
		subject, body := QuoteText(q, b, words)
		out = append(out, letter{"quote " + itoa(int(lights)), subject, body})
	}
	subject, body := BouncedText(language, "4 Ocotillo Lane", "pat@example.com", "550 5.1.1")
	return append(out, letter{"bounced", subject, body}, letter{"answer line", AnswerLine(language), ""})
}

// quoteOf is a quote as it is frozen: in English, with its figures.
func quoteOf(lights int64) (Quote, QuoteBody) {
	return Quote{Total: 5_412_50, Tax: 412_50, Deposit: 1_600_00, ValidUntil: "2026-04-08"},
		QuoteBody{Lines: []QuoteLine{{Name: "Conversion of pool lights", Cents: 5_000_00}}, LightCount: lights, CancelDays: 3,
			Terms: []string{"A deposit is due.", english.SafetyTerm}}
}

func TestNoticesAsTheyAreRead(t *testing.T) {
	for _, language := range Languages {
		var b strings.Builder
		for _, l := range letters(t, language) {
			b.WriteString("=== " + l.name + "\n" + l.subject + "\n\n" + l.body + "\n")
		}
		file := filepath.Join("testdata", "notices_"+language+".txt")
		if *update {
			if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if b.String() != string(want) {
			t.Errorf("notices in %q differ from %s; read them, then go test -update ./jobs", language, file)
		}
	}
}

// Every kind that somebody is told has words; those that nobody writes yet are
// named here, so that a new kind is not forgotten.
func TestEveryKindHasWords(t *testing.T) {
	zone := loadZone(t, "America/Phoenix")
	for _, kind := range append(slices.Clone(PlanKinds), NoticeOnTheWay, NoticeLate, NoticeHowToUse) {
		for _, language := range Languages {
			if subject, body := NoticeText(kind, ChangeNew, NoticeFacts{Day: "2026-03-11"}, NoticeWords{Language: language, Zone: zone}); subject == "" || body == "" {
				t.Errorf("%s has no words in %q", kind, language)
			}
		}
	}
	for _, kind := range []NoticeKind{NoticeFillOpen, NoticeLowNoCrew} {
		if subject, _ := NoticeText(kind, ChangeNew, NoticeFacts{}, NoticeWords{Zone: zone}); subject != "" {
			t.Errorf("%s has words: test it with the others", kind)
		}
	}
}

// says lists all strings of a table.
func says(p *phrases) map[string]string {
	out := map[string]string{}
	v := reflect.ValueOf(*p)
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		if f := v.Field(i); f.Kind() == reflect.Map {
			for _, k := range f.MapKeys() {
				out[name+"/"+k.String()+itoa(int(keyOf(k)))] = f.MapIndex(k).String()
			}
		} else {
			out[name] = f.String()
		}
	}
	return out
}

func keyOf(k reflect.Value) int64 {
	if k.CanInt() {
		return k.Int()
	}
	return 0
}

var (
	verb = regexp.MustCompile(`%(\[\d+\])?[-0-9]*[a-z]`)
	word = regexp.MustCompile(`\pL+`)
)

// Each language says everything, with as many values in each phrase.
func TestLanguagesSayTheSame(t *testing.T) {
	en := says(&english)
	for _, language := range Languages {
		p := languages[language]
		if p == nil {
			t.Fatalf("no words in %q", language)
		}
		have := says(p)
		if len(have) != len(en) {
			t.Errorf("%q has %d phrases, English %d", language, len(have), len(en))
		}
		for name, says := range have {
			if says == "" || en[name] == "" {
				t.Errorf("%s is empty", name)
			}
			if len(verb.FindAllString(says, -1)) != len(verb.FindAllString(en[name], -1)) {
				t.Errorf("%s in %q says %q, English %q", name, language, says, en[name])
			}
		}
	}
}

// sameInBoth are words that both languages write alike, and the only ones.
var sameInBoth = []string{"a", "inspector", "LED", "local", "no", "pH"}

func wordsOf(text string) []string {
	var out []string
	for _, w := range word.FindAllString(verb.ReplaceAllString(text, " "), -1) {
		out = append(out, strings.ToLower(w))
	}
	return out
}

// No word of the English table stands in a Spanish notice.
func TestSpanishNoticesAreSpanish(t *testing.T) {
	en := map[string]bool{}
	for _, phrase := range says(&english) {
		for _, w := range wordsOf(phrase) {
			en[w] = true
		}
	}
	for _, w := range sameInBoth {
		delete(en, strings.ToLower(w))
	}
	names := strings.NewReplacer("Dry Wash Lights", "", "Pat", "", "Crew 1", "", "4 Ocotillo Lane", "", "C-27", "", "pat@example.com", "", "Sam", "", "occ", "", "care", "")
	for _, l := range letters(t, "es") {
		for _, w := range wordsOf(names.Replace(l.subject + "\n" + l.body)) {
			if en[w] {
				t.Errorf("%s: %q in\n%s\n%s", l.name, w, l.subject, l.body)
			}
		}
	}
}

// What touches water, electricity or chemistry says its line of caution.
func TestNoticesCarryTheirCautions(t *testing.T) {
	for _, language := range Languages {
		p := languages[language]
		cautions := map[string]string{
			"prep/": p.WaterCaution, "stop_chlorine/j/occ": p.WaterCaution, "halfway/": p.WaterCaution, "open_fill/": p.WaterCaution,
			"close_fill/": p.OverflowCaution, "look_after/": p.PowerCaution, "leave_alone/j/care": p.WaterCaution,
			"back_to_you/": p.ChemistryCaution, "crew_sheet/c/2026-03-11/p1": p.CrewCaution, "office_unconfirmed/": p.WaterCaution,
			"booking/": p.PowerCaution, "on the way": p.PowerCaution, "how to use": p.UseNever, "quote": p.SafetyTerm,
			"booking to circuit": p.PowerCaution, "booking to connect": p.PowerCaution, "booking to commission": p.PowerCaution,
			"booking to call_back": p.PowerCaution,
		}
		for start, caution := range cautions {
			found := false
			for _, l := range letters(t, language) {
				if !strings.HasPrefix(l.name, start) || strings.HasSuffix(l.name, "taken back") && start != "prep/" {
					continue
				}
				found = true
				if !strings.Contains(l.body, caution) {
					t.Errorf("%s in %q without %q:\n%s", l.name, language, caution, l.body)
				}
			}
			if !found {
				t.Errorf("no notice %q", start)
			}
		}
	}
}

// Spanish days and hours, as a calendar of 2026 has them.
func TestSpanishDaysAndHours(t *testing.T) {
	zone := loadZone(t, "America/Phoenix")
	at := func(day, hour, minute int) int64 { return time.Date(2026, 3, day, hour, minute, 0, 0, zone).Unix() }
	x := texting{phrases: &spanish, w: NoticeWords{Zone: zone}}
	for want, have := range map[string]string{
		"martes 10 de marzo, 3:00 p. m.":                                                  x.at(at(10, 15, 0)),
		"domingo 1 de marzo, 12:05 a. m.":                                                 x.at(at(1, 0, 5)),
		"sábado 14 de marzo, 12:00 p. m.":                                                 x.at(at(14, 12, 0)),
		"miércoles 11 de marzo, de 8:00 a. m. a 12:30 p. m.":                              x.window(at(11, 8, 0), at(11, 12, 30)),
		"entre el martes 10 de marzo, 9:00 p. m., y el miércoles 11 de marzo, 6:00 a. m.": x.window(at(10, 21, 0), at(11, 6, 0)),
		"jueves 31 de diciembre":                                                          x.civil("2026-12-31"),
		"1 hora":                                                                          x.span(3600),
		"10 días":                                                                         x.span(864_000),
	} {
		if have != want {
			t.Errorf("%q, want %q", have, want)
		}
	}
}

// Halfway down is halfway between the earliest told start and the latest low;
// asked once, though readings move what is predicted, and never of a pool that
// somebody else lowers or so late that nobody could help.
func TestHalfwayReading(t *testing.T) {
	halfway := func(p ToldPlan) *WantedNotice {
		for _, w := range PlanNotices(p) {
			if w.Kind == NoticeHalfway {
				return &w
			}
		}
		return nil
	}
	change := func(f func(d *Drain)) ToldPlan {
		p := toldPlan(t)
		d := *p.Jobs[0].Drain
		f(&d)
		p.Jobs = []ToldJob{p.Jobs[0]}
		p.Jobs[0].Drain = &d
		return p
	}
	p := change(func(d *Drain) { d.LowLateAt = d.ToldFrom.Add(4 * time.Hour) })
	w := halfway(p)
	if w == nil || !w.DueAt.Equal(p.Jobs[0].Drain.ToldFrom.Add(2*time.Hour)) {
		t.Fatalf("asked %+v", w)
	}
	told := written(nil, DiffNotices(nil, PlanNotices(p), p.Now), NoticeSent)
	slower := change(func(d *Drain) { d.LowLateAt = d.ToldFrom.Add(6 * time.Hour) })
	for _, s := range DiffNotices(told, PlanNotices(slower), p.Now) {
		if s.thing() == w.Thing {
			t.Errorf("asked again: %+v", s)
		}
	}
	moved := change(func(d *Drain) { d.ToldFrom = d.ToldFrom.Add(time.Hour) })
	asked := false
	for _, s := range DiffNotices(told, PlanNotices(moved), p.Now) {
		asked = asked || s.thing() == w.Thing && s.Change == ChangeChanged && s.Revision == 2
	}
	if !asked {
		t.Error("another drain, and nobody asks how it goes")
	}
	for _, s := range DiffNotices(told, nil, p.Now) {
		if s.thing() == w.Thing {
			t.Errorf("takes a question back: %+v", s)
		}
	}
	for says, p := range map[string]ToldPlan{
		"no low known": change(func(d *Drain) { d.LowLateAt = time.Time{} }),
		"a crew pumps": change(func(d *Drain) { d.WayLow = LowCrewPump }),
		"own outlet":   change(func(d *Drain) { d.WayLow = LowOwnOutlet }),
		"low at dawn":  change(func(d *Drain) { d.LowLateAt = d.ToldFrom.Add(15 * time.Hour) }), // half at 22:30, low at 6
	} {
		if w := halfway(p); w != nil {
			t.Errorf("%s: asked at %s", says, w.DueAt)
		}
	}
}
