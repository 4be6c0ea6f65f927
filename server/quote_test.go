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
		es := c.Do("GET", at+"?language=es", nil).Want(200)
		if bytes.Equal(one.Body, es.Body) || !bytes.Contains(es.Body, []byte("/Lang (es-US)")) {
			t.Error("the Spanish paper is not in Spanish")
		}
		c.Do("GET", at+"?language=fr", nil).WantProblem(400, "invalid")
		c.Do("GET", at+"?size=a5", nil).WantProblem(400, "invalid")
		w.As("tech").Do("GET", at, nil).WantProblem(403, "forbidden")
		w.As("").Do("GET", "/links/a-link-that-nobody-was-ever-given/paper", nil).WantProblem(404, "not_found")
	})
}

// Whoever holds a quote's link gets it on paper in their language, approves the
// version that was read, and the office opens the working of the way chosen.
func TestQuoteBehindALink(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		p, c, nobody := newPool(t, w), w.As("dispatcher"), w.As("")
		at := "/links/" + secret + "quote"
		v := nobody.Do("GET", at, nil).Want(200).JSON()
		if v["language"] != "en" {
			t.Errorf("language %v", v["language"])
		}
		theirs, ours := nobody.Do("GET", at+"/paper", nil).Want(200), c.Do("GET", "/quotes/"+p.quote+"/paper", nil).Want(200)
		if !bytes.Equal(theirs.Body, ours.Body) || bytes.Equal(theirs.Body, nobody.Do("GET", at+"/paper?language=es", nil).Want(200).Body) {
			t.Error("the customer's paper is not the office's, or is the same in Spanish")
		}
		nobody.Do("GET", "/links/"+secret+"prep/paper", nil).WantProblem(404, "not_found")
		quote := v["quote"].(obj)
		stale := quote["version"].(float64) - 1
		nobody.Do("POST", at+"/answers", obj{"kind": "declined", "by": "Ann B.", "quote_version": stale}).WantProblem(412, "stale")

		e := c.Do("GET", "/estimates/"+text(quote["estimate_id"]), nil).Want(200).JSON()
		if e["id"] != quote["estimate_id"] || e["body"].(obj)["price"] == nil {
			t.Errorf("the estimate behind the quote: %v", e["id"])
		}
		c.Do("GET", "/estimates/"+p.quote, nil).WantProblem(404, "not_found")
		w.As("tech").Do("GET", "/estimates/"+text(quote["estimate_id"]), nil).WantProblem(403, "forbidden")
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
