package server_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/server/servertest"
)

// pool is a conversion with its estimate, approved and put into the first
// crew's Tuesday; the customer was told when to start the drain.
type pool struct {
	id     string
	visits map[jobs.VisitKind]string
	quote  string
	payer  string
	day    string
}

// secret of the links that the tests write.
const secret = "a-secret-of-the-tests-with-length"

func newPool(t *testing.T, w *servertest.World) pool {
	t.Helper()
	ctx, p := context.Background(), pool{visits: map[jobs.VisitKind]string{}, day: "2026-03-03"}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	made := func(out desk.Outcome, err error) string {
		t.Helper()
		must(err)
		return out.NounID
	}
	text, err := os.ReadFile("../testdata/survey/rectangle.json")
	must(err)
	survey, err := jobs.DecodeSurvey(text)
	must(err)
	survey.Zone = "America/Phoenix"
	office := func() desk.Call { return w.Call("dispatcher") }
	p.id = made(w.Desk.CreateEnquiry(ctx, office(), jobs.NewEnquiry{BranchID: w.Branch, Customer: &jobs.CustomerData{Name: "Ann", Note: "pays late"},
		Contacts: []jobs.ContactData{{Role: jobs.ContactPayer, Name: "Ann", Email: "ann@example.com", PhoneText: "(559) 555-0123", MayDecide: true}},
		Site:     &jobs.SiteData{Street: "4 Ocotillo Ln", City: "Dry Fork", Region: "AZ", GateCode: "4711#"}, Survey: &survey}))
	kept := made(w.Desk.MakeEstimate(ctx, office(), p.id, jobs.EstimateWish{}))
	p.quote = made(w.Desk.CreateQuote(ctx, office(), p.id, jobs.NewQuote{EstimateID: kept}))
	made(w.Desk.SendQuote(ctx, office(), p.quote, 1))
	made(w.Desk.AnswerQuote(ctx, office(), p.quote, 2, jobs.QuoteAnswer{Answer: jobs.QuoteApproved, By: "Ann"}))
	j, err := w.Desk.Job(ctx, office().Actor, p.id)
	must(err)
	c, err := w.Desk.Customer(ctx, j.CustomerID)
	must(err)
	p.payer = c.Contacts[0].ID
	start := time.Date(2026, 3, 3, 14, 0, 0, 0, time.UTC) // seven in Phoenix
	plan, tour := w.IDs.New(), w.IDs.New()
	must(w.Store.InTx(ctx, func(tx *store.Tx) error {
		var stops []jobs.Stop
		var windows []jobs.Promise
		for i, v := range j.Visits {
			p.visits[v.Kind] = v.ID
			v.State = jobs.VisitRouted
			if err := tx.UpdateVisit(v); err != nil {
				return err
			}
			at := start.Add(time.Duration(3*i) * time.Hour)
			stops = append(stops, jobs.Stop{ID: w.IDs.New(), PlanID: plan, BranchID: w.Branch, TourID: tour, CrewID: w.Crew, JobID: p.id, VisitID: v.ID,
				Place: int64(i + 1), ArriveAt: at, StartAt: at, EndAt: at.Add(2 * time.Hour), Live: true})
			windows = append(windows, jobs.Promise{ID: w.IDs.New(), BranchID: w.Branch, JobID: p.id, VisitID: v.ID, PlanID: plan, FromAt: at.Add(-time.Hour),
				ToAt: at.Add(time.Hour), Live: true, CreatedAt: w.Clock.Now()})
		}
		for _, do := range []func() error{
			func() error {
				return tx.InsertPlan(jobs.Plan{ID: plan, BranchID: w.Branch, Number: 1, FirstDay: "2026-03-02", Days: 5, Week: "{}", Body: "{}", HandedOutAt: w.Clock.Now()})
			},
			func() error {
				return tx.InsertTours([]jobs.Tour{{ID: tour, PlanID: plan, BranchID: w.Branch, CrewID: w.Crew, Day: jobs.Day(p.day), DepartAt: start.Add(-time.Hour),
					ReturnAt: start.Add(12 * time.Hour), LunchAt: start.Add(5 * time.Hour), LunchSeconds: 1800, MorningPumps: 1, Live: true}})
			},
			func() error { return tx.InsertStops(stops) },
			func() error { return tx.InsertPromises(windows) },
			func() error {
				return tx.InsertDrains([]jobs.Drain{{ID: w.IDs.New(), PlanID: plan, BranchID: w.Branch, JobID: p.id, WayLow: jobs.LowCustomer,
					ToldFrom: start.Add(-24 * time.Hour), ToldTo: start.Add(-22 * time.Hour), LowEarlyAt: start.Add(-8 * time.Hour), LowLateAt: start.Add(-time.Hour),
					CoveredAt: start.Add(20 * time.Hour), LimitAt: start.Add(48 * time.Hour), Live: true}})
			},
			func() error {
				for i, purpose := range []jobs.LinkPurpose{jobs.LinkQuote, jobs.LinkPrep, jobs.LinkWindow, jobs.LinkFill} {
					link := jobs.CustomerLink{ID: w.IDs.New(), Hash: jobs.LinkHash(secret + string(purpose)), Purpose: purpose, BranchID: w.Branch, JobID: p.id,
						ContactID: p.payer, ExpiresAt: w.Clock.Now().AddDate(0, 0, 7), CreatedAt: w.Clock.Now()}
					if i == 0 {
						link.QuoteID = p.quote
					}
					if err := tx.InsertLink(link); err != nil {
						return err
					}
				}
				return nil
			},
		} {
			if err := do(); err != nil {
				return err
			}
		}
		return nil
	}))
	return p
}

func TestTodayHasEverythingPrefilled(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		p, tech := newPool(t, w), w.As("tech")
		body := tech.Do("GET", "/today?day="+p.day, nil).Want(200)
		today := body.JSON()
		stops := today["stops"].([]any)
		if today["crew_id"] != w.Crew || today["zone"] != "America/Phoenix" || len(stops) != len(p.visits) || today["crews"] != nil || today["lunch_to"] == nil {
			t.Fatalf("today %v", today)
		}
		stop := stops[0].(obj)
		if stop["gate_code"] != "4711#" || stop["low_late_at"] == nil || stop["promise_to"] == nil || stop["city"] != "Dry Fork" {
			t.Errorf("stop %v", stop)
		}
		text := string(body.Body)
		for _, want := range []string{"below the tile line", "Light-and-cord", "Where the breaker is", "Must be covered by", "an empty shell can float", "(559) 555-0123"} {
			if !strings.Contains(text, want) && !strings.Contains(text, strings.NewReplacer("(559) 555-0123", "+15595550123").Replace(want)) {
				t.Errorf("the day does not say %q", want)
			}
		}
		for _, hidden := range []string{"total_cents", "price_cents", "value_cents", "pays late"} {
			if strings.Contains(text, hidden) {
				t.Errorf("a tech's day says %q", hidden)
			}
		}
		if n := len(today["load"].([]any)); n < 3 || today["load"].([]any)[0] != "1 pump with its hose" {
			t.Errorf("load %v", today["load"])
		}
		tech.Do("GET", "/today?crew_id="+w.OtherCrew, nil).WantProblem(404, "not_found")
		if other := w.As("other").Do("GET", "/today?day="+p.day, nil).Want(200).JSON(); len(other["stops"].([]any)) != 0 || other["depart_at"] != nil {
			t.Errorf("the other crew's day %v", other)
		}
		office := w.As("dispatcher").Do("GET", "/today?day="+p.day+"&crew_id="+w.Crew, nil).Want(200).JSON()
		if len(office["crews"].([]any)) != 2 || len(office["stops"].([]any)) != len(p.visits) {
			t.Errorf("the office's view %v", office)
		}
		tech.Do("GET", "/today?day=2026-02-30", nil).WantProblem(400, "invalid", "day")

		// The sheet, with prices for the office alone.
		sheet := tech.Do("GET", "/jobs/"+p.id+"/sheet", nil).Want(200)
		for _, hidden := range []string{"price", "_cents\":", "pays late"} {
			if strings.Contains(strings.ReplaceAll(string(sheet.Body), `"amount_cents":`, ""), hidden) {
				t.Errorf("a tech's sheet says %q", hidden)
			}
		}
		if s := sheet.JSON(); s["strip"] == nil || len(s["strip"].(obj)["points"].([]any)) < 4 {
			t.Errorf("strip %v", s["strip"])
		}
		if s := w.As("owner").Do("GET", "/jobs/"+p.id+"/sheet", nil).Want(200).JSON(); s["estimate"] == nil || s["job"].(obj)["value_cents"] == nil {
			t.Errorf("the owner's sheet has no estimate or value")
		}
		w.As("other").Do("GET", "/jobs/"+p.id+"/sheet", nil).WantProblem(404, "not_found")
	})
}

// A tech's whole day over HTTP, and the owner's figures of it.
func TestFieldToFigures(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		p := newPool(t, w)
		w.Later(36 * time.Hour)
		tech, office := w.As("tech"), w.As("dispatcher")
		day := time.Date(2026, 3, 3, 14, 0, 0, 0, time.UTC)
		var ops []obj
		say := func(kind jobs.VisitKind, op string, minute int, more obj) {
			o := obj{"id": w.IDs.New(), "visit_id": p.visits[kind], "kind": op, "at": day.Add(time.Duration(minute) * time.Minute).Format(time.RFC3339)}
			for k, v := range more {
				o[k] = v
			}
			ops = append(ops, o)
		}
		for kind, at := range map[jobs.VisitKind]int{jobs.VisitDrain: 0, jobs.VisitConvert: 180, jobs.VisitConnect: 360, jobs.VisitCommission: 540} {
			if p.visits[kind] == "" {
				continue
			}
			say(kind, "arrived", at, nil)
			for _, s := range stepsOf(t, tech, p, kind) {
				step := obj{"step_id": s["id"]}
				switch s["needs"] {
				case "reading":
					step["value"], step["text"] = s["low_limit"], "at the limit"
				case "choice":
					step["text"] = "go"
				case "text", "photo":
					step["text"] = "seen"
				}
				say(kind, "step", at+10, step)
			}
			if kind == jobs.VisitConvert {
				for _, light := range []string{"l1", "l2", "l3", "l4"} {
					say(kind, "fitted", at+60, obj{"subject_id": light, "serial": "S-" + light, "batch": "B7"})
				}
				say(kind, "extra_work", at+70, obj{"text": "New wall fitting", "amount_cents": 300_00})
			}
			say(kind, "done", at+100, nil)
		}
		for _, r := range tech.Do("POST", "/field-operations", obj{"operations": ops}).Want(200).JSON()["items"].([]any) {
			if r.(obj)["state"] != "applied" {
				t.Errorf("report %v", r)
			}
		}
		j := office.Do("GET", "/jobs/"+p.id, nil).Want(200).JSON()
		if j["state"] != "converted" || j["converted_at"] != "2026-03-03T18:40:00Z" {
			t.Errorf("job %v, converted at %v", j["state"], j["converted_at"])
		}
		extra := tech.Do("GET", "/jobs/"+p.id+"/extra-works", nil).Want(200).JSON()["items"].([]any)[0].(obj)
		if extra["state"] != "agreed" || extra["amount_cents"] != 30000.0 {
			t.Errorf("extra work %v", extra)
		}
		at := "/extra-works/" + extra["id"].(string) + "/answer"
		tech.Do("POST", at, obj{"answer": "approved"}, "If-Match", `"v1"`).WantProblem(403, "forbidden")
		office.Do("POST", at, obj{"answer": "approved"}).WantProblem(428, "precondition")
		if got := office.Do("POST", at, obj{"answer": "approved"}, "If-Match", `"v1"`).Want(200); got.JSON()["state"] != "approved" || got.ETag() != `"v2"` {
			t.Errorf("answered extra work %s", got.Body)
		}

		f := office.Do("GET", "/figures?branch_id="+w.Branch+"&from=2026-03-02&to=2026-03-08", nil).Want(200).JSON()
		week, crew, job := f["weeks"].([]any)[0].(obj), f["crews"].([]any)[0].(obj), f["jobs"].([]any)[0].(obj)
		n := float64(0)
		for _, kind := range []jobs.VisitKind{jobs.VisitDrain, jobs.VisitConvert, jobs.VisitConnect, jobs.VisitCommission} {
			if p.visits[kind] != "" {
				n++
			}
		}
		// 2026-03-02 is the Monday of ISO week 10 (ISO 8601, any calendar with week numbers).
		if week["iso_week"] != "2026-W10" || week["conversions"] != 1.0 || week["lights"] != 4.0 || week["actual_seconds"] != 100*60*n {
			t.Errorf("week %v", week)
		}
		if crew["crew_id"] != w.Crew || crew["conversions"] != 1.0 || crew["visits"] != n || job["converted_day"] != "2026-03-03" || job["planned_seconds"].(float64) <= 0 {
			t.Errorf("crew %v, job %v", crew, job)
		}
		if f["promises_made"] != n || len(f["says"].([]any)) == 0 {
			t.Errorf("figures %v", f)
		}
		tech.Do("GET", "/figures?branch_id="+w.Branch, nil).WantProblem(403, "forbidden")
		office.Do("GET", "/figures?branch_id="+w.Branch+"&from=2026-03-08&to=2026-03-02", nil).WantProblem(400, "invalid", "to")
		w.As("other").Do("POST", "/field-operations", obj{"operations": ops[:1]}).WantProblem(404, "not_found")
	})
}

func stepsOf(t *testing.T, tech *servertest.Client, p pool, kind jobs.VisitKind) (list []obj) {
	t.Helper()
	for _, s := range tech.Do("GET", "/today?day="+p.day, nil).Want(200).JSON()["stops"].([]any) {
		if s.(obj)["visit_id"] == p.visits[kind] {
			for _, step := range s.(obj)["steps"].([]any) {
				list = append(list, step.(obj))
			}
		}
	}
	return list
}

func TestPhotos(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		p, tech := newPool(t, w), w.As("tech")
		// Two by three pixels, red at the top left, said to lie on its side
		// (orientation 6), with a place noted in it.
		img := image.NewRGBA(image.Rect(0, 0, 64, 96))
		for x := range 32 {
			for y := range 32 {
				img.Set(x, y, color.RGBA{R: 255, A: 255})
			}
		}
		var plain bytes.Buffer
		if err := jpeg.Encode(&plain, img, nil); err != nil {
			t.Fatal(err)
		}
		exif := "Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00GPS 33.4N 112.0W"
		turned := append([]byte("\xff\xd8\xff\xe1"), byte((len(exif)+2)>>8), byte(len(exif)+2))
		turned = append(append(turned, exif...), plain.Bytes()[2:]...)
		add := func(c *servertest.Client, content []byte) *servertest.Answer {
			return c.Do("POST", "/photos?job_id="+p.id+"&visit_id="+p.visits[jobs.VisitConvert]+"&caption=line", bytes.NewReader(content), "Content-Type", "application/octet-stream")
		}
		first := add(tech, turned).Want(201).JSON()
		if first["width"] != 96.0 || first["height"] != 64.0 || first["media_type"] != "image/jpeg" {
			t.Errorf("photo %v; want it upright", first)
		}
		if again := add(tech, turned).Want(201).JSON(); again["id"] != first["id"] {
			t.Error("the same photo is kept twice")
		}
		shown := tech.Do("GET", "/photos/"+first["id"].(string), nil).Want(200)
		if bytes.Contains(shown.Body, []byte("GPS")) || bytes.Contains(shown.Body, []byte("Exif")) {
			t.Error("the place is still in the photo")
		}
		got, err := jpeg.Decode(bytes.NewReader(shown.Body))
		if err != nil {
			t.Fatal(err)
		}
		if r, _, _, _ := got.At(80, 10).RGBA(); r < 0x8000 { // turned right: its top left is now its top right
			t.Errorf("the photo does not stand upright")
		}
		if h := shown.Header; !strings.HasPrefix(h.Get("Content-Disposition"), "attachment") || h.Get("X-Content-Type-Options") != "nosniff" ||
			!strings.Contains(h.Get("Content-Security-Policy"), "sandbox") {
			t.Errorf("headers %v", h)
		}
		var clear bytes.Buffer
		if err := png.Encode(&clear, image.NewRGBA(image.Rect(0, 0, 5, 5))); err != nil {
			t.Fatal(err)
		}
		add(w.As("dispatcher"), clear.Bytes()).Want(201)
		if list := tech.Do("GET", "/jobs/"+p.id+"/photos", nil).Want(200).JSON()["items"].([]any); len(list) != 2 {
			t.Errorf("%d photos", len(list))
		}
		for name, content := range map[string][]byte{
			"script":    []byte("<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"),
			"half":      plain.Bytes()[:plain.Len()/2],
			"name only": []byte("\xff\xd8\xff<html>"),
			"other":     []byte("GIF89a\x01\x00\x01\x00"),
		} {
			if add(tech, content).WantProblem(400, "invalid", "photo"); t.Failed() {
				t.Log(name)
			}
		}
		// A picture of 10 000 x 10 000 pixels in a few bytes.
		huge := append([]byte(nil), clear.Bytes()...)
		copy(huge[16:], []byte{0, 0, 0x27, 0x10, 0, 0, 0x27, 0x10})
		copy(huge[29:], crcOf(huge[12:29]))
		add(tech, huge).WantProblem(413, "too_large")
		add(tech, append([]byte("\xff\xd8\xff"), make([]byte, jobs.MaxPhotoBytes)...)).WantProblem(413, "too_large")
		add(w.As("other"), turned).WantProblem(404, "not_found")
		w.As("other").Do("GET", "/photos/"+first["id"].(string), nil).WantProblem(404, "not_found")
		w.As("other").Do("GET", "/jobs/"+p.id+"/photos", nil).WantProblem(404, "not_found")
		w.As("").Do("GET", "/photos/"+first["id"].(string), nil).WantProblem(401, "unauthenticated")
	})
}

func TestPrepAndLinks(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		p, nobody := newPool(t, w), w.As("")
		row := func() obj {
			t.Helper()
			return w.As("dispatcher").Do("GET", "/prep?branch_id="+w.Branch, nil).Want(200).JSON()["items"].([]any)[0].(obj)
		}
		// Told to start from now (8:00 on Monday less an hour) until two hours later.
		if r := row(); r["state"] != "waiting" || r["needed_at"] == nil || r["phone"] == nil {
			t.Errorf("prep %v", r)
		}
		w.Later(3 * time.Hour)
		if r := row(); r["state"] != "unconfirmed" || !strings.Contains(r["says"].(string), "Call +15595550123") {
			t.Errorf("prep after the cut-off %v", r)
		}
		at := "/links/" + secret
		before := nobody.Do("GET", at+"prep", nil).Want(200)
		if v := before.JSON(); v["purpose"] != "prep" || v["told_to"] == nil || v["quote"] != nil || !strings.Contains(v["caution"].(string), "Stop when the water stands") {
			t.Errorf("prep link %v", v)
		}
		for range 3 {
			if again := nobody.Do("GET", at+"prep", nil).Want(200); !bytes.Equal(again.Body, before.Body) {
				t.Error("opening a link changes something")
			}
		}
		if row()["state"] != "unconfirmed" {
			t.Error("opening a link counts as an answer")
		}
		nobody.Do("GET", "/links/"+strings.Repeat("x", 32), nil).WantProblem(404, "not_found")
		nobody.Do("POST", at+"window/answers", obj{"kind": "started"}).WantProblem(409, "conflict")
		nobody.Do("POST", at+"prep/answers", obj{"kind": "reading"}).WantProblem(400, "invalid", "reading")
		nobody.Do("POST", at+"prep/answers", obj{"kind": "reading", "reading": obj{"text": "wet", "unit": "in"}}).WantProblem(400, "invalid", "text")
		v := nobody.Do("POST", at+"prep/answers", obj{"kind": "started", "note": "at breakfast"}, "Idempotency-Key", "s1").Want(200).JSON()
		nobody.Do("POST", at+"prep/answers", obj{"kind": "started", "note": "at breakfast"}, "Idempotency-Key", "s1").Want(200)
		if list := v["answers"].([]any); len(list) != 1 || list[0].(obj)["by"] != "Ann" {
			t.Errorf("answers %v", list)
		}
		if r := row(); r["state"] != "started" || len(r["answers"].([]any)) != 1 {
			t.Errorf("prep %v", r)
		}
		// 2 inches in the first hour, 2 more in the second.
		for range 2 {
			w.Later(time.Hour)
			text := map[bool]string{true: "4", false: "2"}[row()["state"] == "reading"]
			nobody.Do("POST", at+"prep/answers", obj{"kind": "reading", "reading": obj{"text": text, "unit": "in"}}).Want(200)
		}
		if r := row(); r["low_at"] == nil || r["state"] != "reading" && r["state"] != "late" {
			t.Errorf("prep with readings %v", r)
		}
		if r := row(); r["low_earliest_at"] == nil || r["low_latest_at"] == nil || r["doubt"] != nil {
			t.Errorf("no band around the prediction: %v", r)
		}
		// A reading that can't be so soon after is put aside; the next day's is not.
		w.As("dispatcher").Do("POST", "/jobs/"+p.id+"/readings", obj{"text": "9' 6\"", "unit": "in"}).Want(201)
		if r := row(); r["state"] == "reached" || r["doubt"] == nil {
			t.Errorf("prep after a slip %v", r)
		}
		w.Later(24 * time.Hour)
		w.As("dispatcher").Do("POST", "/jobs/"+p.id+"/readings", obj{"text": "2' 10\"", "unit": "in"}).Want(201)
		if r := row(); r["state"] != "reached" {
			t.Errorf("prep after a low reading %v", r)
		}
		w.As("dispatcher").Do("POST", "/jobs/"+p.id+"/readings", obj{"text": "12 ft", "unit": "ft"}).WantProblem(400, "invalid", "text")
		w.As("dispatcher").Do("POST", "/jobs/"+p.id+"/answers", obj{"kind": "note"}).WantProblem(400, "invalid", "note")
		w.As("dispatcher").Do("POST", "/jobs/"+p.id+"/answers", obj{"kind": "note", "note": "dog is away"}).Want(201)
		w.As("other").Do("POST", "/jobs/"+p.id+"/readings", obj{"text": "3", "unit": "in"}).WantProblem(404, "not_found")
		w.As("tech").Do("POST", "/jobs/"+p.id+"/answers", obj{"kind": "reached"}).WantProblem(403, "forbidden")

		nobody.Do("POST", at+"window/answers", obj{"kind": "window_accepted"}).Want(200)
		nobody.Do("POST", at+"fill/answers", obj{"kind": "fill_opened"}).Want(200)
		// A quote that is approved can be taken back while it may be cancelled.
		if q := nobody.Do("GET", at+"quote", nil).Want(200).JSON(); q["quote"].(obj)["state"] != "approved" || strings.Contains(mustJSON(t, q["may"]), "approved") {
			t.Errorf("quote link %v", q)
		}
		nobody.Do("POST", at+"quote/answers", obj{"kind": "approved"}).WantProblem(409, "conflict")
		nobody.Do("POST", at+"quote/answers", obj{"kind": "declined", "by": "Ann B."}, "Idempotency-Key", "d1").Want(200)
		nobody.Do("POST", at+"quote/answers", obj{"kind": "declined", "by": "Ann B."}, "Idempotency-Key", "d1").Want(200)
		if j := w.As("dispatcher").Do("GET", "/jobs/"+p.id, nil).Want(200).JSON(); j["state"] != "declined" {
			t.Errorf("job %v", j["state"])
		}
		stop := nobody.Do("POST", at+"fill/answers", obj{"kind": "stop_messages"}).Want(200).JSON()
		if strings.Contains(mustJSON(t, stop["may"]), "stop_messages") {
			t.Errorf("may %v", stop["may"])
		}
		w.Later(8 * 24 * time.Hour)
		nobody.Do("GET", at+"prep", nil).WantProblem(404, "not_found")
		nobody.Do("POST", at+"prep/answers", obj{"kind": "reached"}).WantProblem(404, "not_found")
	})
}

// crcOf is a PNG chunk's check sum (ISO 3309, as the PNG specification has it).
func crcOf(chunk []byte) []byte { return binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE(chunk)) }

func TestLinksAreNotGuessed(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		newPool(t, w)
		nobody, last := w.As(""), 0
		for range 30 {
			last = nobody.Do("GET", "/links/"+w.IDs.New(), nil).Status
		}
		if last != 429 {
			t.Errorf("the 30th guess gets %d, want 429", last)
		}
		nobody.Do("GET", "/links/"+secret+"prep", nil).Want(200)
		for range 10 {
			nobody.Do("POST", "/links/"+secret+"prep/answers", obj{"kind": "started"}).Want(200)
		}
		if a := nobody.Do("POST", "/links/"+secret+"prep/answers", obj{"kind": "started"}).WantProblem(429, "too_many"); a.Header.Get("Retry-After") == "" {
			t.Error("no Retry-After")
		}
	})
}

func mustJSON(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
