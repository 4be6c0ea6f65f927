package desk_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// takeIn reads a file and gives what it came to.
func (h *hands) takeIn(kind jobs.ImportKind, lines ...string) jobs.Import {
	h.Helper()
	out, err := h.Import(ctx, h.office(), desk.ImportFile{BranchID: h.branch, Kind: kind, Name: string(kind) + ".csv", Data: []byte(strings.Join(lines, "\n"))})
	h.must(err)
	im, err := h.ShowImport(ctx, out.NounID)
	h.must(err)
	return im
}

func (h *hands) wantCounts(im jobs.Import, fresh, known, refused int64) {
	h.Helper()
	if im.New != fresh || im.Known != known || im.NotTaken != refused || im.Read != fresh+known+refused {
		h.Errorf("%s: %d new, %d known, %d refused of %d; want %d, %d, %d\n%+v", im.Kind, im.New, im.Known, im.NotTaken, im.Read, fresh, known, refused, im.Refused)
	}
}

func (h *hands) wantRefused(im jobs.Import, want ...jobs.RefusedCell) {
	h.Helper()
	for _, w := range want {
		found := false
		for _, r := range im.Refused {
			found = found || r.Line == w.Line && r.Column == w.Column && r.Value == w.Value && strings.Contains(r.Reason, w.Reason)
		}
		if !found {
			h.Errorf("%s: no %+v in %+v", im.Kind, w, im.Refused)
		}
	}
}

var (
	peopleFile = []string{"key,name,phone,skills,active",
		"p1,Lee,559 555 0111,licensed pull,yes", "p2,Ana,,survey;water,", "p3,Max,12,pull,", "p4,Ida,,juggling,", "p5,Tom,,pull,perhaps"}
	crewFile = []string{"name,home,home_street,home_lat,home_lon,pump_berths,people,shifts,overtime_minutes",
		"North,Yard 1,1 Gravel Ln,33.4,-112.1,2,p1,mon-fri 07:00-16:00,60",
		"South,Yard 1,,,,2,p2,mon-fri 07:00-16:00; sat 08:00-12:00,0",
		"West,Yard 9,,,,1,,mon 07:00-16:00,", "East,Yard 1,,,,1,p9,mon 07:00-16:00,", "Night,Yard 1,,,,1,,mon 16:00-07:00,", "Idle,Yard 1,,,,1,,never,"}
	pumpFile  = []string{"name,home,flow,flow_unit", "P-1,Yard 1,40,gpm", "P-2,Yard 1,150 L/min,", "P-3,Yard 2,40,gpm", "P-4,Yard 1,40,ft", "P-5,Yard 1,40,"}
	partsFile = []string{"code,name,stock_unit,length,length_unit,on_hand,cost,price",
		"L-80,Light 80 ft,piece,80,ft,4,189.00,260", "S-1,Seal,piece,,,100,6.2,12.50", "S-1,Seal again,piece,,,1,1,1", "X,Bad,piece,-3,ft,1,1,1", "Y,Bad,piece,,,1,1.005,1"}
	enquiryFile = []string{"key,customer_key,customer_name,contact_role,contact_name,contact_email,contact_phone,street,city,lat,lon,value,due_day,way_low,work_from,work_to,zone",
		"e1,c1,Pat Doe,payer,Pat,pat@example.com,(559) 555-0123,12 Ocotillo Ln,Dry Fork,33.41,-112.07,5400.50,2026-04-01,customer,07:30,17:00,",
		"e2,c1,,,,,,14 Ocotillo Ln,Dry Fork,,,,,,,,",
		"e3,,Ann,,,,,1 Cholla Ct,Dry Fork,,,,,,,,Mars/Base",
		"e4,,Bob,,,,,1 Cholla Ct,Dry Fork,91,0,,,,,,",
		"e5,,Cy,payer,Cy,cy@nowhere,,1 Cholla Ct,Dry Fork,,,,,,,,",
		"e6,,Di,,,,,1 Cholla Ct,Dry Fork,,,lots,2026-02-30,,,,",
		"e7,nobody,,,,,,1 Cholla Ct,Dry Fork,,,,,,,,",
		"e8,,Ed,,,,,1 Cholla Ct,Dry Fork,,,,,teleport,17:00,07:00,"}
	surveyRows = []string{"job_key,subject,subject_kind,subject_name,of,ends,field,text,unit,known",
		"e1,run,conduit,Run 1,,light-1;supply,length,60,ft,told", // its ends come later
		"e1,pool,body,Pool,,,shape,rectangle,,told",
		"e1,pool,body,,,,length,32,ft,measured_wet",
		"e1,light-1,position,Deep end,pool,,depth,24,in,told",
		"e1,supply,supply,,,,,,,",
		"e1,pool,body,,,,width,-16,ft,told",
		"e1,pool,body,,,,depth_deep,8,gal,told",
		"e1,pool,body,,,,colour,blue,,told",
		"e1,pool,body,,,,salt,no,,guessed",
		"e1,light-2,position,,pond,,depth,24,in,told",
		"e99,pool,body,,,,length,32,ft,told"}
)

func TestImportTwiceChangesNothing(t *testing.T) {
	eachOffice(t, func(h *hands) {
		im := h.takeIn(jobs.ImportPeople, peopleFile...)
		h.wantCounts(im, 2, 0, 3)
		h.wantRefused(im, jobs.RefusedCell{Line: 4, Column: "phone", Value: "12", Reason: "phone number"},
			jobs.RefusedCell{Line: 5, Column: "skills", Value: "juggling", Reason: "one of"},
			jobs.RefusedCell{Line: 6, Column: "active", Value: "perhaps", Reason: "yes or no"})
		im = h.takeIn(jobs.ImportCrews, crewFile...)
		h.wantCounts(im, 2, 0, 4)
		h.wantRefused(im, jobs.RefusedCell{Line: 4, Column: "home", Value: "Yard 9", Reason: "home_lat"},
			jobs.RefusedCell{Line: 5, Column: "people", Value: "p9", Reason: "there is no p9"},
			jobs.RefusedCell{Line: 6, Column: "shifts", Value: "mon 16:00-07:00", Reason: "after from_minute"},
			jobs.RefusedCell{Line: 7, Column: "shifts", Value: "never", Reason: "hours like"})
		im = h.takeIn(jobs.ImportPumps, pumpFile...)
		h.wantCounts(im, 2, 0, 3)
		h.wantRefused(im, jobs.RefusedCell{Line: 4, Column: "home", Value: "Yard 2", Reason: "yard"}, jobs.RefusedCell{Line: 5, Column: "flow", Value: "40", Reason: "not one of"},
			jobs.RefusedCell{Line: 6, Column: "flow", Value: "40", Reason: "unit"})
		im = h.takeIn(jobs.ImportParts, partsFile...)
		h.wantCounts(im, 2, 1, 2)
		h.wantRefused(im, jobs.RefusedCell{Line: 5, Column: "length", Value: "-3", Reason: "above 0"}, jobs.RefusedCell{Line: 6, Column: "cost", Value: "1.005", Reason: "dollars"})
		im = h.takeIn(jobs.ImportEnquiries, enquiryFile...)
		h.wantCounts(im, 2, 0, 6)
		h.wantRefused(im, jobs.RefusedCell{Line: 4, Column: "zone", Value: "Mars/Base", Reason: "IANA"}, jobs.RefusedCell{Line: 5, Column: "lat", Value: "91", Reason: "degrees"},
			jobs.RefusedCell{Line: 6, Column: "contact_email", Value: "cy@nowhere", Reason: "e-mail"}, jobs.RefusedCell{Line: 7, Column: "value", Value: "lots", Reason: "dollars"},
			jobs.RefusedCell{Line: 7, Column: "due_day", Value: "2026-02-30", Reason: "a day"}, jobs.RefusedCell{Line: 8, Column: "customer_key", Value: "nobody", Reason: "came in before"},
			jobs.RefusedCell{Line: 9, Column: "way_low", Value: "teleport", Reason: "one of"}, jobs.RefusedCell{Line: 9, Column: "work_to", Value: "07:00", Reason: "after"})
		im = h.takeIn(jobs.ImportSurvey, surveyRows...)
		h.wantCounts(im, 5, 0, 6)
		h.wantRefused(im, jobs.RefusedCell{Line: 7, Column: "text", Value: "-16 ft", Reason: "between"}, jobs.RefusedCell{Line: 8, Column: "text", Value: "8 gal", Reason: "not one of"},
			jobs.RefusedCell{Line: 9, Column: "field", Value: "colour", Reason: "a field of a body"}, jobs.RefusedCell{Line: 10, Column: "known", Value: "guessed", Reason: "one of"},
			jobs.RefusedCell{Line: 11, Column: "of", Value: "pond", Reason: "id of a body"}, jobs.RefusedCell{Line: 12, Column: "job_key", Value: "e99", Reason: "enquiry"})

		list, err := h.Jobs(ctx, h.office().Actor, store.JobFilter{}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 2 || list.Items[0].CustomerID != list.Items[1].CustomerID {
			h.Fatalf("%+v", list.Items)
		}
		first := list.Items[1]
		if *first.Value != 540050 || first.WayLow != jobs.LowCustomer || first.DueDay != "2026-04-01" || first.CustomerName != "Pat Doe" {
			h.Errorf("%+v", first.Job)
		}
		s, err := h.Survey(ctx, h.office().Actor, first.SiteID)
		h.must(err)
		if len(s.Survey.Subjects) != 4 || s.Survey.Subjects[0].ID != "pool" && len(s.Survey.OfKind(jobs.SubjectConduit)[0].Ends) != 2 {
			h.Errorf("%+v", s.Survey)
		}

		// Somebody in the office corrects a value; the file again does not undo it.
		next := s.Survey
		for i := range next.Subjects {
			if next.Subjects[i].ID == "pool" {
				next.Subjects[i].Values["length"] = jobs.Value{Text: "31", Unit: "ft", Known: jobs.KnownMeasuredDry}
			}
		}
		_, err = h.ChangeSurvey(ctx, h.office(), first.SiteID, s.Site.SurveyVersion, next)
		h.must(err)
		for _, again := range []struct {
			kind           jobs.ImportKind
			lines          []string
			known, refused int64
		}{{jobs.ImportPeople, peopleFile, 2, 3}, {jobs.ImportCrews, crewFile, 2, 4}, {jobs.ImportPumps, pumpFile, 2, 3}, {jobs.ImportParts, partsFile, 3, 2},
			{jobs.ImportEnquiries, enquiryFile, 2, 6}, {jobs.ImportSurvey, surveyRows, 5, 6}} {
			h.wantCounts(h.takeIn(again.kind, again.lines...), 0, again.known, again.refused)
		}
		s2, err := h.Survey(ctx, h.office().Actor, first.SiteID)
		h.must(err)
		if v := subject(s2.Survey, "pool").Values["length"]; v.Text != "31" || s2.Site.SurveyVersion != 2 {
			h.Errorf("%+v at version %d", v, s2.Site.SurveyVersion)
		}
		crews, err := h.Crews(ctx, h.branch)
		h.must(err)
		pumps, err := h.Pumps(ctx, h.branch)
		h.must(err)
		if len(crews) != 2 || len(crews[1].Shifts) != 6 || len(pumps) != 2 || pumps[0].FlowMLPS != 2524 || pumps[1].FlowMLPS != 2500 {
			h.Errorf("%+v %+v", crews, pumps)
		}
		// A bad row that was mended comes in alone.
		mended := append([]string{}, enquiryFile...)
		mended[3] = strings.Replace(mended[3], "Mars/Base", "America/Denver", 1)
		h.wantCounts(h.takeIn(jobs.ImportEnquiries, mended...), 1, 2, 5)
	})
}

func subject(s jobs.Survey, id string) jobs.Subject {
	sub, _ := s.Subject(id)
	return sub
}

func TestImportHistory(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.takeIn(jobs.ImportPeople, peopleFile...)
		h.takeIn(jobs.ImportCrews, crewFile...)
		file := []string{"key,customer_name,street,city,value,visit,day,start,end,crew,planned_minutes,median_minutes,outcome,lights,promised_from,promised_to",
			"h1,Kim,3 Agave St,Dry Fork,4800,drain,2026-02-16,08:00,08:40,North,40,35,,,,",
			"h1,Kim,3 Agave St,Dry Fork,4800,convert,2026-02-17,08:05,12:50,North,240,220,done,3,08:00,10:00",
			"h1,Kim,3 Agave St,Dry Fork,4800,commission,2026-02-19,09:00,08:00,North,,,,,,",      // ends before it starts
			"h1,Kim,3 Agave St,Dry Fork,4800,commission,2026-03-19,09:00,10:00,North,,,,,,",      // has not been
			"h1,Kim,3 Agave St,Dry Fork,4800,commission,2026-02-19,09:00,10:00,Nobody,,,,,,",     // no such crew
			"h1,Kim,3 Agave St,Dry Fork,4800,dance,2026-02-19,09:00,10:00,North,,,,,,",           // no such visit
			"h1,Kim,3 Agave St,Dry Fork,4800,commission,2026-02-19,09:00,10:00,North,,,,,10:00,", // half a promise
			"h2,Sam,4 Agave St,Dry Fork,,convert,2026-02-18,08:00,09:00,South,,,wasted,,,"}
		im := h.takeIn(jobs.ImportHistory, file...)
		h.wantCounts(im, 3, 0, 5)
		h.wantRefused(im, jobs.RefusedCell{Line: 4, Column: "end", Value: "08:00", Reason: "after start"}, jobs.RefusedCell{Line: 5, Column: "day", Value: "2026-03-19", Reason: "has been"},
			jobs.RefusedCell{Line: 6, Column: "crew", Value: "Nobody", Reason: "crew"}, jobs.RefusedCell{Line: 7, Column: "visit", Value: "dance", Reason: "one of"},
			jobs.RefusedCell{Line: 8, Column: "promised_to", Value: "", Reason: "both"})
		h.wantCounts(h.takeIn(jobs.ImportHistory, file...), 0, 3, 5)
		list, err := h.Jobs(ctx, h.office().Actor, store.JobFilter{States: []jobs.State{jobs.StateClosed}}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 2 {
			h.Fatalf("%d closed jobs", len(list.Items))
		}
		j := list.Items[1]
		// 12:50 in Phoenix, which is UTC-7 all year (IANA).
		if want := time.Date(2026, 2, 17, 19, 50, 0, 0, time.UTC); !j.ConvertedAt.Equal(want) || !j.ClosedAt.Equal(want) {
			h.Errorf("converted %s, closed %s", j.ConvertedAt, j.ClosedAt)
		}
		if list.Items[0].ConvertedAt != (time.Time{}) {
			h.Errorf("a wasted trip converted: %s", list.Items[0].ConvertedAt)
		}
		h.must(h.store.View(ctx, func(tx *store.Tx) error {
			records, err := tx.JobRecords(j.ID)
			if len(records) != 2 || records[1].PlannedSeconds != 240*60 || records[1].Lights != 3 || !records[1].Kept() {
				h.Errorf("%+v", records)
			}
			return err
		}))
	})
}

func TestFilesThatCannotBeRead(t *testing.T) {
	eachOffice(t, func(h *hands) {
		for data, says := range map[string]string{"": "first line", "key,horse\n1,2": "one of", "name\nx": "key"} {
			_, err := h.Import(ctx, h.office(), desk.ImportFile{BranchID: h.branch, Kind: jobs.ImportCustomers, Data: []byte(data)})
			h.wants(err, jobs.CodeInvalid, says)
		}
		_, err := h.Import(ctx, h.office(), desk.ImportFile{BranchID: h.branch, Kind: "horses", Data: []byte("key\n")})
		h.wants(err, jobs.CodeInvalid, "kind")
		_, err = h.Import(ctx, h.office(), desk.ImportFile{BranchID: "nowhere", Kind: jobs.ImportCustomers, Data: []byte("key,name\n1,A")})
		h.wants(err, jobs.CodeNotFound, "")
		list, err := h.Customers(ctx, store.CustomerFilter{}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 0 {
			h.Error("something was kept")
		}
	})
}

// Two people take in the same file at once: each row comes in once.
func TestSameFileTwiceAtOnce(t *testing.T) {
	eachOffice(t, func(h *hands) {
		lines := []string{"key,name"}
		for i := range 20 {
			lines = append(lines, fmt.Sprintf("c%d,Customer %d", i, i))
		}
		data := []byte(strings.Join(lines, "\n"))
		done := make(chan error, 2)
		for range 2 {
			go func() {
				_, err := h.Import(ctx, h.office(), desk.ImportFile{BranchID: h.branch, Kind: jobs.ImportCustomers, Data: data})
				done <- err
			}()
		}
		h.must(<-done)
		h.must(<-done)
		list, err := h.Customers(ctx, store.CustomerFilter{}, jobs.Page{Limit: 200})
		h.must(err)
		if len(list.Items) != 20 {
			h.Errorf("%d customers", len(list.Items))
		}
	})
}

// A row that a database cannot keep or find again is named like any other bad
// row; the good ones around it come in.
func TestRowsThatNoDatabaseKeeps(t *testing.T) {
	eachOffice(t, func(h *hands) {
		file := "key,name\nc1,Ann\nc\x002,Bo\nc3,C\x01y\n" + strings.Repeat("k", 4000) + ",Di\nc5,Ed\n"
		out, err := h.Import(ctx, h.office(), desk.ImportFile{BranchID: h.branch, Kind: jobs.ImportCustomers, Data: []byte(file)})
		h.must(err)
		im, err := h.ShowImport(ctx, out.NounID)
		h.must(err)
		says := ""
		for _, r := range im.Refused {
			says += fmt.Sprintf("%d %s %q; ", r.Line, r.Column, r.Value)
		}
		if want := `3 key "c?2"; 4 name "C?y"; 5 key "` + strings.Repeat("k", 40) + `..."; `; im.New != 2 || im.NotTaken != 3 || says != want {
			h.Errorf("%d new, %d refused: %s", im.New, im.NotTaken, says)
		}
	})
}
