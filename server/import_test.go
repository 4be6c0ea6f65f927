package server_test

import (
	"bytes"
	"strings"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/workbook"
	"ebbline/jobs"
	"ebbline/server/servertest"
)

func TestImportOverHTTP(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		at := "/imports?branch_id=" + w.Branch + "&kind=customers&file_name=old%20list.csv"
		file := "key,name,contact_email\nc1,Ann,ann@example.com\nc2,Bo,nowhere\n"
		send := func(file string, headers ...string) *servertest.Answer {
			return c.Do("POST", at, strings.NewReader(file), append([]string{"Content-Type", "text/csv"}, headers...)...)
		}
		key := w.IDs.New()
		first := send(file, "Idempotency-Key", key).Want(201)
		im := first.JSON()
		if im["rows_new"] != 1.0 || im["rows_refused"] != 1.0 || im["file_name"] != "old list.csv" {
			t.Errorf("%s", first.Body)
		}
		refused := im["refused"].([]any)[0].(obj)
		if refused["line"] != 3.0 || refused["column"] != "contact_email" || refused["value"] != "nowhere" {
			t.Errorf("%v", refused)
		}
		if again := send(file, "Idempotency-Key", key).Want(201); string(again.Body) != string(first.Body) {
			t.Errorf("%s\n%s", again.Body, first.Body)
		}
		send(file+"c3,Cy,\n", "Idempotency-Key", key).WantProblem(422, "key_reused")
		im = send(strings.Replace(file, "nowhere", "bo@example.com", 1)).Want(201).JSON()
		if im["rows_new"] != 1.0 || im["rows_known"] != 1.0 {
			t.Errorf("%v", im)
		}
		c.Do("GET", "/imports/"+text(im["id"]), nil).Want(200)
		c.Do("GET", "/imports/"+w.Branch, nil).WantProblem(404, "not_found")
		if got := c.Do("GET", "/customers", nil).JSON()["items"].([]any); len(got) != 2 {
			t.Errorf("%d customers", len(got))
		}

		send("name,horse\nAnn,Bella\n").WantProblem(400, "invalid", "column 2", "key")
		send("").WantProblem(400, "invalid")
		c.Do("POST", at, strings.NewReader(file)).WantProblem(415, "media_type")
		c.Do("POST", "/imports?branch_id="+w.Branch+"&kind=horses", strings.NewReader(file), "Content-Type", "text/csv").WantProblem(400, "invalid", "kind")
		c.Do("POST", "/imports?kind=customers", strings.NewReader(file), "Content-Type", "text/csv").WantProblem(400, "invalid", "branch_id")
		send(strings.Repeat("x", 11<<20)).WantProblem(413, "too_large")
		w.As("tech").Do("POST", at, strings.NewReader(file), "Content-Type", "text/csv").WantProblem(403, "forbidden")

		template := c.Do("GET", "/import-templates/survey", nil).Want(200)
		if !strings.HasPrefix(string(template.Body), "job_key,subject,subject_kind,") || !strings.HasPrefix(template.Header.Get("Content-Type"), "text/csv") {
			t.Errorf("%v %s", template.Header, template.Body)
		}
		c.Do("GET", "/import-templates/horses", nil).WantProblem(400, "invalid", "kind")
		c.Do("GET", "/import-templates/people?form=pdf", nil).WantProblem(400, "invalid", "form")
	})
}

// A workbook goes by the same road: looked at, taken in, taken out again.
func TestWorkbookOverHTTP(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		at := "?branch_id=" + w.Branch + "&kind=workbook&file_name=all.xlsx"
		template := c.Do("GET", "/import-templates/workbook", nil).Want(200)
		if template.Header.Get("Content-Type") != desk.TypeXLSX || template.Header.Get("Content-Disposition") != `attachment; filename="ebbline-workbook-form.xlsx"` {
			t.Errorf("%v", template.Header)
		}
		book, err := workbook.Write([]workbook.Page{{Name: "customers", Columns: jobs.Columns(jobs.ImportCustomers)[:2], Rows: [][]string{{"c1", "Ann"}, {"c2", ""}}}})
		if err != nil {
			t.Fatal(err)
		}
		send := func(path string, data []byte) *servertest.Answer {
			return c.Do("POST", path, bytes.NewReader(data), "Content-Type", desk.TypeXLSX)
		}
		look := send("/import-looks"+at, book).Want(200).JSON()
		if look["rows_new"] != 1.0 || look["rows_refused"] != 1.0 || len(look["pages"].([]any)) != 1 {
			t.Errorf("%v", look)
		}
		if got := c.Do("GET", "/customers", nil).JSON()["items"].([]any); len(got) != 0 {
			t.Errorf("a look kept %d customers", len(got))
		}
		im := send("/imports"+at, book).Want(201).JSON()
		refused := im["refused"].([]any)[0].(obj)
		if im["rows_new"] != 1.0 || refused["sheet"] != "customers" || refused["line"] != 3.0 || refused["column"] != "name" {
			t.Errorf("%v", im)
		}
		if im := send("/imports"+at, template.Body).Want(201).JSON(); im["rows_read"] != 0.0 || len(im["notes"].([]any)) == 0 {
			t.Errorf("%v", im)
		}
		if got := c.Do("GET", "/imports?branch_id="+w.Branch, nil).Want(200).JSON()["items"].([]any); len(got) != 2 {
			t.Errorf("%d imports", len(got))
		}
		out := c.Do("GET", "/exports/customers?form=xlsx&branch_id="+w.Branch, nil).Want(200)
		if im := send("/imports"+at, out.Body).Want(201).JSON(); im["rows_known"] != 1.0 || im["rows_new"] != 0.0 {
			t.Errorf("%v", im)
		}
		csv := c.Do("GET", "/exports/customers?branch_id="+w.Branch, nil).Want(200)
		if !strings.Contains(string(csv.Body), "c1,Ann") {
			t.Errorf("%s", csv.Body)
		}
		send("/imports"+at, []byte("PK no archive")).WantProblem(400, "invalid")
		send("/imports"+at+"&most=0", book).WantProblem(400, "invalid", "most")
		c.Do("GET", "/exports/history?branch_id="+w.Branch, nil).WantProblem(400, "invalid", "kind")
		c.Do("POST", "/imports"+at, bytes.NewReader(book), "Content-Type", "application/octet-stream").WantProblem(415, "media_type")
		for _, path := range []string{"/exports/customers?branch_id=" + w.Branch, "/imports"} {
			w.As("tech").Do("GET", path, nil).WantProblem(403, "forbidden")
		}
	})
}
