package server_test

import (
	"bytes"
	"testing"

	"ebbline/server/servertest"
)

// The office and nobody else gets a quote on paper; asked twice it is the same
// paper, and a sheet of the other size is another.
func TestQuoteOnPaper(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		_, q := approvedJob(t, w, c)
		at := "/quotes/" + text(q["id"]) + "/paper"
		one, two, a4 := c.Do("GET", at, nil).Want(200), c.Do("GET", at, nil).Want(200), c.Do("GET", at+"?size=a4", nil).Want(200)
		if one.Header.Get("Content-Type") != "application/pdf" || !bytes.HasPrefix(one.Body, []byte("%PDF-")) {
			t.Errorf("%s: %.20q", one.Header.Get("Content-Type"), one.Body)
		}
		if !bytes.Equal(one.Body, two.Body) || bytes.Equal(one.Body, a4.Body) {
			t.Error("the same paper twice and another of the other size asked")
		}
		c.Do("GET", at+"?size=a5", nil).WantProblem(400, "invalid")
		w.As("tech").Do("GET", at, nil).WantProblem(403, "forbidden")
		w.As("").Do("GET", "/links/a-link-that-nobody-was-ever-given/paper", nil).WantProblem(404, "not_found")
	})
}

// What a week's positions need is looked at by the office, and a list of parts
// is brought up to date by one act.
func TestSetsAndRenewal(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		k, _ := approvedJob(t, w, c)
		sets := c.Do("GET", "/branches/"+w.Branch+"/sets?days=14", nil).Want(200).JSON()
		if sets["from_day"] == "" || sets["needs"] == nil {
			t.Errorf("%v", sets)
		}
		c.Do("GET", "/branches/"+w.Branch+"/sets?days=15", nil).WantProblem(400, "invalid")
		c.Do("POST", "/branches/"+w.Branch+"/sets", obj{"takes": []obj{{"job_part_id": w.Branch, "version": 1, "part_id": w.Branch}}}).WantProblem(404, "not_found")
		c.Do("POST", "/jobs/"+k.job+"/parts/renewal", nil).Want(200)
		w.As("tech").Do("GET", "/branches/"+w.Branch+"/sets", nil).WantProblem(403, "forbidden")
	})
}

// Options and what is worth finding out are read without keeping anything.
func TestOptionsAndWorth(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		c := w.As("dispatcher")
		k, _ := approvedJob(t, w, c)
		options := c.Do("GET", "/jobs/"+k.job+"/estimate/options", nil).Want(200).JSON()["items"].([]any)
		if len(options) < 2 || options[0].(obj)["price_cents"] == nil {
			t.Errorf("%v", options)
		}
		c.Do("GET", "/jobs/"+k.job+"/estimate/worth", nil).Want(200)
		c.Do("GET", "/branches/"+w.Branch+"/learned-times", nil).Want(200)
	})
}
