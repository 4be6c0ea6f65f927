package desk_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	xlsx "github.com/tealeg/xlsx/v3" // an independent writer and reader of XLSX

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/workbook"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// put is a cell as a person enters it in a spreadsheet program.
type put func(c *xlsx.Cell)

func text(s string) put { return func(c *xlsx.Cell) { c.SetString(s) } }
func number(v float64, format string) put {
	return func(c *xlsx.Cell) { c.SetFloatWithFormat(v, format) }
}
func plain(v float64) put { return number(v, "general") }
func yes(v bool) put      { return func(c *xlsx.Cell) { c.SetBool(v) } }
func day(y int, m time.Month, d int) put {
	return number(xlsx.TimeToExcelTime(time.Date(y, m, d, 0, 0, 0, 0, time.UTC), false), "m/d/yy")
}
func timeOf(h, m float64) put     { return number((h*60+m)/1440, "h:mm AM/PM") }
func heads(names ...string) []put { return texts(names...) }
func texts(list ...string) (row []put) {
	for _, s := range list {
		row = append(row, text(s))
	}
	return row
}

// saved is a workbook as another program saves it.
func (h *hands) saved(sheets map[string][][]put, order ...string) []byte {
	h.Helper()
	f := xlsx.NewFile()
	for _, name := range order {
		s, err := f.AddSheet(name)
		h.must(err)
		for _, cells := range sheets[name] {
			row := s.AddRow()
			for _, set := range cells {
				set(row.AddCell())
			}
		}
	}
	var b bytes.Buffer
	h.must(f.Write(&b))
	return b.Bytes()
}

func (h *hands) takeFile(in desk.ImportFile) jobs.Import {
	h.Helper()
	in.BranchID = h.branch
	out, err := h.Import(ctx, h.office(), in)
	h.must(err)
	im, err := h.ShowImport(ctx, out.NounID)
	h.must(err)
	return im
}

// yardBook is a whole company in one workbook, sheets in an order in which their
// rows could not come in, cells as spreadsheets keep them.
func yardBook(h *hands) []byte {
	return h.saved(map[string][][]put{
		"Survey": {heads("Job key", "Subject", "Subject kind", "Field", "Value", "Unit", "Known"),
			append(texts("e-1", "pool", "body", "length"), plain(32), text("ft"), text("told")),
			append(texts("e-1", "pool", "body", "width"), plain(0.1+0.2+15.7), text("ft"), text("measured_wet")),
			append(texts("e-1", "pool", "body", "shape"), text("rectangle"), text(""), text("told")),
			append(texts("e-1", "pool", "body", "width"), text("wide"), text("ft"), text("told"))},
		"Enquiries 2026": {texts("Spring list"), heads("KEY", "Customer-Name", "Contact phone", "Street", "City", "ZIP", "Value ($)", "Due day", "Can come early", "work from", "Lat", "Lon", "work to"),
			append(texts("e-1", "Rose Alder"), number(5595550123, "(000) 000-0000"), text("12 Ocotillo Ln"), text("Dry Fork"), number(8501, "00000"), number(5400.5, `"$"#,##0.00`), day(2026, 4, 1), yes(true), timeOf(7, 30), plain(33.4151), plain(-112.0743), timeOf(17, 0)),
			append(texts("e-2", "Tom Birch"), text("+1 559 555 0124"), text("14 Ocotillo Ln"), text("Dry Fork"), plain(8501), plain(0.1+0.2), text("4/1/26"), yes(false), plain(7.5), plain(33.4151), plain(-112.0743), timeOf(17, 0))},
		"Crews": {heads("Name", "Home", "Home lat", "Home lon", "People", "Shifts", "Pump berths"),
			append(texts("North", "Yard 1"), plain(33.4), plain(-112.1), text("1; p2"), text("mon-fri 07:00-16:00"), plain(2)),
			append(texts("South", "Yard 1"), text(""), text(""), text(""), text("mon-fri 07:00-16:00"), plain(2.5))},
		"people": {heads("key", "name", "Skills", "active (yes/no)"), append([]put{plain(1), text("Lee")}, text("pull"), yes(true)), append(texts("p2", "Ana", "water"), yes(true))},
		"Pumps":  {heads("name", "home", "Flow (gpm)"), append(texts("P-1", "Yard 1"), plain(40)), append(texts("P-2", "Yard 1"), text("150 L/min"))},
		"Parts":  {heads("code", "name", "stock unit", "length (ft)", "on hand", "cost", "price"), []put{plain(80), text("Light"), text("piece"), plain(80), plain(4), plain(189), number(259.99999999999997, "0.00")}},
		"Prices": {heads("anything", "at all")},
	}, "Survey", "Enquiries 2026", "Crews", "people", "Pumps", "Parts", "Prices")
}

func TestWorkbookOfAnotherWriter(t *testing.T) {
	eachOffice(t, func(h *hands) {
		file := desk.ImportFile{Kind: jobs.ImportWorkbook, Name: "yard.xlsx", Data: yardBook(h)}

		// First a look: it says the same and keeps nothing.
		in := file
		in.BranchID = h.branch
		look, err := h.LookAtImport(ctx, h.office(), in)
		h.must(err)
		if got := fmt.Sprint(look.New, look.Known, look.NotTaken, len(look.Pages)); got != "9 0 4 6" {
			h.Errorf("the look says %s: %+v", got, look.Refused)
		}
		people, err := h.Persons(ctx, h.branch)
		h.must(err)
		crews, err := h.Crews(ctx, h.branch)
		h.must(err)
		if len(people)+len(crews) != 0 {
			h.Errorf("a look kept something")
		}

		im := h.takeFile(file)
		// A P-2 under (gpm) that says L/min contradicts its header.
		h.wantCounts(im, 9, 0, 4)
		h.wantRefused(im,
			jobs.RefusedCell{Line: 4, Column: "postcode", Value: "8501", Reason: "kept as text"},
			jobs.RefusedCell{Line: 3, Column: "pump_berths", Value: "2.5", Reason: "whole number"},
			jobs.RefusedCell{Line: 3, Column: "flow", Value: "150 L/min", Reason: "one of them"},
			jobs.RefusedCell{Line: 5, Column: "text", Value: "wide ft", Reason: "plain number"})
		for _, r := range im.Refused {
			if r.Sheet == "" {
				h.Errorf("no sheet in %+v", r)
			}
		}
		if notes := strings.Join(im.Notes, "\n"); !strings.Contains(notes, "Sheet Prices was not read: its name is no kind of rows") || !strings.Contains(notes, "row 1 stands above the header") {
			h.Errorf("%s", notes)
		}
		list, err := h.Jobs(ctx, h.office().Actor, store.JobFilter{}, jobs.Page{})
		h.must(err)
		if len(list.Items) != 1 {
			h.Fatalf("%d jobs", len(list.Items))
		}
		j := list.Items[0]
		site, err := h.Survey(ctx, h.office().Actor, j.SiteID)
		h.must(err)
		c, err := h.Customer(ctx, j.CustomerID)
		h.must(err)
		if *j.Value != 540050 || j.DueDay != "2026-04-01" || !j.CanComeEarly || site.Site.Postcode != "08501" || *site.Site.WorkFrom != 450 || *site.Site.LonE7 != -1120743000 ||
			c.Contacts[0].Phone != "+15595550123" || c.Contacts[0].PhoneText != "(559) 555-0123" {
			h.Errorf("%+v %+v %+v", j.Job, site.Site, c.Contacts)
		}
		pool := subject(site.Survey, "pool")
		// 32 ft are 9 753 600 µm, 16 ft 4 876 800 (NIST Handbook 44, appendix C: 1 ft = 0.3048 m exactly).
		if pool.Values["length"].Base != 9_753_600 || pool.Values["width"].Base != 4_876_800 || pool.Values["width"].Text != "16" {
			h.Errorf("%+v", pool.Values)
		}
		parts, err := h.Parts(ctx, store.PartFilter{BranchID: h.branch}, jobs.Page{})
		h.must(err)
		if p := parts.Items[0]; p.Code != "80" || *p.LengthUM != 24_384_000 || p.Price != 26_000 {
			h.Errorf("%+v", p.PartData)
		}

		// The same again, and the same content as CSV: nothing is new.
		h.wantCounts(h.takeFile(file), 0, 9, 4)
		h.wantCounts(h.takeIn(jobs.ImportPeople, "key,name", "1,Lee", "p2,Ana"), 0, 2, 0)
		h.wantCounts(h.takeIn(jobs.ImportSurvey, "job_key,subject,subject_kind,field,text,unit,known", "e-1,pool,body,length,32.0 ft,,told", "e-1,pool,body,width,16,ft,measured_wet"), 0, 2, 0)
	})
}

// What was taken in as CSV first is known when it comes as a sheet.
func TestSheetAfterCSV(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.takeIn(jobs.ImportPeople, peopleFile...)
		h.takeIn(jobs.ImportCrews, crewFile...)
		h.takeIn(jobs.ImportHistory, "key,customer_name,street,city,visit,day,start,end,crew", "h1,Kim,3 Agave St,Dry Fork,convert,2026-02-17,8:05,12:50,North")
		data := h.saved(map[string][][]put{"Sheet1": {heads("Key", "Customer name", "Street", "City", "Visit", "Day", "Start", "End", "Crew"),
			append(texts("h1", "Kim", "3 Agave St", "Dry Fork", "convert"), day(2026, 2, 17), timeOf(8, 5), timeOf(12, 50), text("North")),
			append(texts("h1", "Kim", "3 Agave St", "Dry Fork", "commission"), day(2026, 2, 19), timeOf(8, 5), timeOf(9, 0), text("North"))}}, "Sheet1")
		im := h.takeFile(desk.ImportFile{Kind: jobs.ImportHistory, Name: "done.xlsx", Data: data})
		h.wantCounts(im, 1, 1, 0)
	})
}

func TestWhichSheets(t *testing.T) {
	eachOffice(t, func(h *hands) {
		rows := [][]put{heads("key", "name"), texts("a", "Ann")}
		both := map[string][][]put{"Customers": rows, "Notes": {texts("hello")}, "Blatt 1": rows, "Blatt 2": rows, "Empty": nil}
		h.wantCounts(h.takeFile(desk.ImportFile{Kind: jobs.ImportCustomers, Data: h.saved(both, "Customers", "Notes")}), 1, 0, 0)
		h.wantCounts(h.takeFile(desk.ImportFile{Kind: jobs.ImportCustomers, Data: h.saved(both, "Blatt 1", "Empty")}), 0, 1, 0)
		for _, c := range []struct {
			kind jobs.ImportKind
			data []byte
			says string
		}{
			{jobs.ImportCustomers, h.saved(both, "Blatt 1", "Blatt 2"), "a sheet named customers"},
			{jobs.ImportWorkbook, h.saved(both, "Blatt 1", "Blatt 2"), "named after what its rows are"},
			{jobs.ImportWorkbook, []byte("key,name\na,Ann\n"), "no workbook"},
			{jobs.ImportWorkbook, h.saved(map[string][][]put{"crews": rows}, "crews"), "crews, column A: \"key\" is not right"},
			{jobs.ImportCustomers, h.saved(map[string][][]put{"x": {heads("key", "Name", "NAME "), texts("a", "b", "c")}}, "x"), "each column once"},
			{jobs.ImportPumps, h.saved(map[string][][]put{"x": {heads("name", "home", "flow (furlongs)"), texts("a", "b", "c")}}, "x"), "a unit of flow in the brackets"},
			{jobs.ImportCustomers, []byte("PK\x03\x04 and no more"), "no workbook that can be read"},
		} {
			_, err := h.Import(ctx, h.office(), desk.ImportFile{BranchID: h.branch, Kind: c.kind, Data: c.data})
			h.wants(err, jobs.CodeInvalid, c.says)
		}
	})
}

// A long file comes in by parts; each takes up where the one before ended.
func TestImportByParts(t *testing.T) {
	eachOffice(t, func(h *hands) {
		lines := []string{"key,name"}
		for i := range 25 {
			lines = append(lines, fmt.Sprintf("c%d,Customer %d", i, i))
		}
		lines[4] = "c3," // refused
		file := desk.ImportFile{Kind: jobs.ImportCustomers, Data: []byte(strings.Join(lines, "\n")), Most: 10}
		left := []int64{}
		for {
			im := h.takeFile(file)
			left = append(left, im.Left)
			if im.New+im.Known+im.NotTaken+im.Left != 25 {
				h.Fatalf("%+v", im)
			}
			if im.Left == 0 {
				h.wantCounts(im, 4, 20, 1)
				break
			}
		}
		if fmt.Sprint(left) != "[14 4 0]" {
			h.Errorf("%v", left)
		}
		past, err := h.Imports(ctx, h.branch)
		h.must(err)
		if len(past) != 3 {
			h.Errorf("%d imports", len(past))
		}
	})
}

// A template is taken in with its example left out; filled in, it comes in whole.
func TestTemplatesRoundTrip(t *testing.T) {
	eachOffice(t, func(h *hands) {
		all, err := desk.ImportTemplate(jobs.ImportWorkbook, desk.FormXLSX)
		h.must(err)
		im := h.takeFile(desk.ImportFile{Kind: jobs.ImportWorkbook, Data: all})
		h.wantCounts(im, 0, 0, 0)
		if n := strings.Count(strings.Join(im.Notes, "\n"), "marked as an example"); n != len(jobs.ImportKinds) || len(im.Sheets) != len(jobs.ImportKinds) {
			h.Errorf("%d examples left out: %v", n, im.Notes)
		}
		if _, err := xlsx.OpenBinary(all); err != nil {
			h.Errorf("the independent reader: %v", err)
		}
		// The examples themselves are right: without their mark they come in, all but
		// finished work that names a crew of its own.
		pages := []workbook.Page{}
		for _, kind := range jobs.ImportOrder {
			row := jobs.ExampleRow(kind)
			row[0] = strings.TrimPrefix(row[0], jobs.ExampleMark+" ")
			pages = append(pages, workbook.Page{Name: string(kind), Columns: jobs.Columns(kind), Rows: [][]string{row}})
		}
		filled, err := workbook.Write(pages)
		h.must(err)
		im = h.takeFile(desk.ImportFile{Kind: jobs.ImportWorkbook, Data: filled})
		h.wantCounts(im, 7, 0, 1) // the finished work is of 2026-03-08, which the test's clock has not reached
		h.wantRefused(im, jobs.RefusedCell{Line: 2, Column: "day", Value: "2026-03-08", Reason: "has been"})
		for _, kind := range jobs.ImportKinds {
			csv, err := desk.ImportTemplate(kind, desk.FormCSV)
			h.must(err)
			h.wantCounts(h.takeFile(desk.ImportFile{Kind: kind, Data: csv}), 0, 0, 0)
		}
		_, err = desk.ImportTemplate(jobs.ImportWorkbook, desk.FormCSV)
		h.wants(err, jobs.CodeInvalid, "form")
		_, err = desk.ImportTemplate("horses", desk.FormCSV)
		h.wants(err, jobs.CodeInvalid, "kind")
	})
}

// What is taken out comes in again as known, in either form, also what never came
// in by a file; and nothing in it can run.
func TestTakeOutComesInAgain(t *testing.T) {
	eachOffice(t, func(h *hands) {
		h.takeFile(desk.ImportFile{Kind: jobs.ImportWorkbook, Name: "yard.xlsx", Data: yardBook(h)})
		_, err := h.CreateCustomer(ctx, h.office(), jobs.NewCustomer{BranchID: h.branch, CustomerData: jobs.CustomerData{Name: "=HYPERLINK(\"x\")", Note: "+1"}})
		h.must(err)
		all, err := h.TakeOut(ctx, h.branch, jobs.ImportWorkbook, desk.FormXLSX)
		h.must(err)
		im := h.takeFile(desk.ImportFile{Kind: jobs.ImportWorkbook, Data: all})
		if im.New != 0 || im.NotTaken != 0 || im.Known < 10 {
			h.Errorf("%d new, %d known, %d refused: %+v", im.New, im.Known, im.NotTaken, im.Refused)
		}
		for _, kind := range desk.TakeOutKinds {
			csv, err := h.TakeOut(ctx, h.branch, kind, desk.FormCSV)
			h.must(err)
			im := h.takeFile(desk.ImportFile{Kind: kind, Data: csv})
			if im.New != 0 || im.NotTaken != 0 || im.Known == 0 {
				h.Errorf("%s: %d new, %d known, %d refused: %+v\n%s", kind, im.New, im.Known, im.NotTaken, im.Refused, csv)
			}
			for _, line := range strings.Split(string(csv), "\n") {
				for _, cell := range strings.Split(line, ",") {
					if cell = strings.Trim(cell, `"`); cell != "" && strings.ContainsRune("=+@", rune(cell[0])) {
						h.Errorf("%s: %q could run", kind, cell)
					}
				}
			}
		}
		_, err = h.TakeOut(ctx, "nowhere", jobs.ImportPeople, desk.FormCSV)
		h.wants(err, jobs.CodeNotFound, "")
		_, err = h.TakeOut(ctx, h.branch, jobs.ImportHistory, desk.FormCSV)
		h.wants(err, jobs.CodeInvalid, "kind")
	})
}
