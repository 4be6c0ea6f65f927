package server_test

import (
	"fmt"
	"strings"
	"testing"

	"ebbline/server/servertest"
)

type obj = map[string]any

func newCustomer(w *servertest.World, name string) obj {
	return obj{"branch_id": w.Branch, "name": name, "contacts": []obj{
		{"role": "payer", "name": "Ann", "email": "ann@example.com", "phone": "(559) 555-0123", "may_decide": true}}}
}

func TestCustomerFromFirstToLast(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		made := office.Do("POST", "/customers", newCustomer(w, "  Ocotillo   Court ")).Want(201)
		c := made.JSON()
		at := "/customers/" + c["id"].(string)
		if made.Header.Get("Location") != "/api/v1"+at || made.ETag() != `"v1"` || c["name"] != "Ocotillo Court" {
			t.Fatalf("%v %s", made.Header, made.Body)
		}
		contact := c["contacts"].([]any)[0].(obj)
		if contact["channel"] != "email" || contact["language"] != "en" || contact["phone"] != "(559) 555-0123" {
			t.Errorf("contact %v", contact)
		}

		office.Do("PATCH", at, obj{"name": "X"}).WantProblem(428, "precondition")
		office.Do("PATCH", at, obj{"name": "X"}, "If-Match", `"v2"`).WantProblem(412, "stale")
		office.Do("PATCH", at, obj{"name": "X"}, "If-Match", `W/"v1"`).WantProblem(412, "stale")
		office.Do("PATCH", at, obj{"name": "X"}, "If-Match", `*`).WantProblem(412, "stale")
		changed := office.Do("PATCH", at, obj{"note": "two dogs"}, "If-Match", `"v1"`).Want(200)
		if changed.ETag() != `"v2"` || changed.JSON()["note"] != "two dogs" || changed.JSON()["name"] != "Ocotillo Court" {
			t.Errorf("%s", changed.Body)
		}

		added := office.Do("POST", at+"/contacts", obj{"role": "pool_care", "name": "Clear Water", "notices": []string{}}).Want(201)
		cat := "/contacts/" + added.JSON()["id"].(string)
		if added.JSON()["channel"] != "none" || len(added.JSON()["notices"].([]any)) != 0 {
			t.Errorf("%s", added.Body)
		}
		office.Do("PUT", cat, obj{"role": "pool_care", "name": "Clear Water", "phone": "12"}, "If-Match", `"v1"`).
			WantProblem(400, "invalid", "phone")
		office.Do("PUT", cat, obj{"role": "pool_care", "name": "Clear", "phone": "559 555 0188", "channel": "sms"}, "If-Match", `"v1"`).Want(200)
		office.Do("DELETE", cat, nil, "If-Match", `"v1"`).WantProblem(412, "stale")
		office.Do("DELETE", cat, nil, "If-Match", `"v2"`).Want(204)
		office.Do("DELETE", cat, nil, "If-Match", `"v2"`).WantProblem(404, "not_found")

		office.Do("GET", "/customers/"+w.Branch, nil).WantProblem(404, "not_found")

		office.Do("GET", "/customers/1%20OR%201=1", nil).WantProblem(404, "not_found")
	})
}

func TestCustomerPages(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("owner")
		for i := range 5 {
			office.Do("POST", "/customers", obj{"branch_id": w.Branch, "name": fmt.Sprint("C", i)}).Want(201)
		}
		seen, next := "", ""
		for range 3 {
			part := office.Do("GET", "/customers?limit=2&after="+next, nil).Want(200).JSON()
			for _, c := range part["items"].([]any) {
				seen += c.(obj)["name"].(string)
			}
			next, _ = part["next"].(string)
		}
		if seen != "C0C1C2C3C4" || next != "" {
			t.Errorf("seen %s, next %q", seen, next)
		}
		office.Do("GET", "/customers?limit=0", nil).WantProblem(400, "invalid", "limit")
		office.Do("GET", "/customers?limit=x", nil).WantProblem(400, "invalid", "limit")
		office.Do("GET", "/customers?after=zzz", nil).WantProblem(400, "invalid", "after")
		office.Do("GET", "/customers?branch_id=1", nil).WantProblem(400, "invalid", "branch_id")
	})
}

func TestWrongCustomersAreNamed(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		office := w.As("dispatcher")
		for name, row := range map[string]struct {
			body   string
			status int
			code   string
			field  string
		}{
			"no name":         {`{"branch_id":"B"}`, 400, "invalid", "name"},
			"empty name":      {`{"branch_id":"B","name":""}`, 400, "invalid", "name"},
			"blank name":      {`{"branch_id":"B","name":"  "}`, 400, "invalid", "name"},
			"wrong type":      {`{"branch_id":"B","name":7}`, 400, "invalid", "name"},
			"null":            {`{"branch_id":"B","name":null}`, 400, "invalid", "name"},
			"unknown field":   {`{"branch_id":"B","name":"A","version":3}`, 400, "invalid", "version"},
			"case folded":     {`{"branch_id":"B","name":"A","Name":"B"}`, 400, "invalid", "Name"},
			"inner unknown":   {`{"branch_id":"B","name":"A","contacts":[{"role":"payer","name":"x","id":"1"}]}`, 400, "invalid", "contacts.0.id"},
			"inner enum":      {`{"branch_id":"B","name":"A","contacts":[{"role":"king","name":"x"}]}`, 400, "invalid", "contacts.0.role"},
			"inner rule":      {`{"branch_id":"B","name":"A","contacts":[{"role":"payer","name":"x","channel":"sms"}]}`, 400, "invalid", "contacts.0.phone"},
			"bad mail":        {`{"branch_id":"B","name":"A","contacts":[{"role":"payer","name":"x","email":"a@b"}]}`, 400, "invalid", "contacts.0.email"},
			"key twice":       {`{"branch_id":"B","name":"A","name":"B"}`, 400, "invalid", "name"},
			"trailing":        {`{"branch_id":"B","name":"A"} {}`, 400, "invalid", "body"},
			"not JSON":        {`{"branch_id":`, 400, "invalid", "body"},
			"empty":           {``, 400, "invalid", "body"},
			"array":           {`[]`, 400, "invalid", "body"},
			"NUL":             {`{"branch_id":"B","name":"A\u0000"}`, 400, "invalid", "name"},
			"half pair":       {`{"branch_id":"B","name":"A\ud800"}`, 400, "invalid", "body"},
			"not UTF-8":       {"{\"branch_id\":\"B\",\"name\":\"A\xff\"}", 400, "invalid", "body"},
			"too deep":        {strings.Repeat("[", 200) + strings.Repeat("]", 200), 400, "invalid", ""},
			"long name":       {`{"branch_id":"B","name":"` + strings.Repeat("x", 201) + `"}`, 400, "invalid", "name"},
			"too large":       {`{"branch_id":"B","name":"A","note":"` + strings.Repeat("x", 300<<10) + `"}`, 413, "too_large", ""},
			"unknown branch":  {`{"branch_id":"00000000-0000-7000-8000-00000000dead","name":"A"}`, 404, "not_found", ""},
			"id in uppercase": {`{"branch_id":"00000000-0000-7000-8000-00000000DEAD","name":"A"}`, 400, "invalid", "branch_id"},
		} {
			t.Run(name, func(t *testing.T) {
				fields := []string{}
				if row.field != "" {
					fields = append(fields, row.field)
				}
				office.Do("POST", "/customers", strings.NewReader(strings.ReplaceAll(row.body, `"B"`, `"`+w.Branch+`"`))).
					WantProblem(row.status, row.code, fields...)
			})
		}
		if got := office.Do("GET", "/customers", nil).JSON()["items"].([]any); len(got) != 0 {
			t.Errorf("%d customers were stored", len(got))
		}
		// And what is legal in Unicode comes back byte for byte.
		for _, good := range []string{"Zoë \U0001F3CA 👩‍🔧", "\u202Eabc", "İstanbul", "a\u0301", "\U00020000", `C:\ud800`} {
			name := office.Do("POST", "/customers", obj{"branch_id": w.Branch, "name": good}).Want(201).JSON()["name"]
			if name != good {
				t.Errorf("%q became %q", good, name)
			}
		}
	})
}
