package server

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// base is where the contract's paths begin.
const base = "/api/v1"

// contract checks requests, and in tests answers, against server/openapi.yaml.
type contract struct {
	routes map[string]*routers.Route // by method and gin's path: "GET /api/v1/customers/:id"
}

func init() {
	// Workbooks go in and out as they are.
	openapi3filter.RegisterBodyDecoder(desk.TypeXLSX, openapi3filter.FileBodyDecoder)
	// The validator knows no form of ids by itself; ours are in lower case.
	openapi3.DefineStringFormatValidator("uuid", openapi3.NewCallbackValidator(func(s string) error {
		if !jobs.ValidID(s) {
			return errors.New("an id as the server gave it")
		}
		return nil
	}))
}

func readContract() (*contract, error) {
	doc, err := api.GetSpec()
	if err != nil {
		return nil, err
	}
	// The schemas use only what 3.0 knows too. Its own validator is several times
	// faster than the one for 3.1, and names the field better.
	doc.OpenAPI = "3.0.3"
	c := &contract{routes: map[string]*routers.Route{}}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			c.routes[method+" "+base+ginPath(path)] = &routers.Route{
				Spec: doc, Path: path, PathItem: item, Method: method, Operation: op}
		}
	}
	return c, nil
}

// ginPath writes {id} as :id.
func ginPath(path string) string {
	return strings.NewReplacer("{", ":", "}", "").Replace(path)
}

// operations lists the operation ids.
func (c *contract) operations() []string {
	var ids []string
	for _, r := range c.routes {
		ids = append(ids, r.Operation.OperationID)
	}
	return ids
}

var filterOptions = &openapi3filter.Options{
	MultiError: true, SkipSettingDefaults: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc,
}

// check refuses a request that breaks the contract, naming each field.
func (c *contract) check(ctx context.Context, route *routers.Route, r *http.Request, params map[string]string) error {
	err := openapi3filter.ValidateRequest(ctx, &openapi3filter.RequestValidationInput{
		Request: r, PathParams: params, Route: route, Options: filterOptions,
	})
	if err == nil {
		return nil
	}
	var f jobs.Faults
	collect(&f, "", err)
	if len(f) == 0 {
		f.Add("body", "", "as the contract says")
	}
	return f.Err()
}

// checkAnswer is for tests: it says how an answer breaks the contract.
func (c *contract) checkAnswer(route *routers.Route, r *http.Request, params map[string]string, status int, header http.Header, body []byte) error {
	in := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: r, PathParams: params, Route: route, Options: filterOptions},
		Status:                 status, Header: header, Body: io.NopCloser(bytes.NewReader(body)), Options: filterOptions,
	}
	if err := openapi3filter.ValidateResponse(r.Context(), in); err != nil {
		return fmt.Errorf("%s %d: %w", route.Operation.OperationID, status, err)
	}
	return nil
}

// collect turns the validator's errors into fields.
func collect(f *jobs.Faults, at string, err error) {
	switch e := err.(type) { //nolint:errorlint // the tree is walked node by node; errors.As would skip some
	case openapi3.MultiError:
		for _, one := range e {
			collect(f, at, one)
		}
	case *openapi3filter.RequestError:
		if e.Parameter != nil {
			at = e.Parameter.Name
		}
		if e.Err == nil || errors.Is(e.Err, openapi3filter.ErrInvalidRequired) {
			want := "needed"
			if e.Err == nil && e.Reason != "" {
				want = e.Reason
			}
			if at == "" {
				at = "body"
			}
			f.Add(at, "", want)
			return
		}
		collect(f, at, e.Err)
	case *openapi3.SchemaError:
		collectSchema(f, at, e)
	case *openapi3filter.ParseError:
		if at == "" {
			at = "body"
		}
		f.Add(at, short(at, e.Value), "another form: "+e.Reason)
	default:
		if inner := errors.Unwrap(err); inner != nil {
			collect(f, at, inner)
			return
		}
		if at == "" {
			at = "body"
		}
		f.Add(at, "", err.Error())
	}
}

func collectSchema(f *jobs.Faults, at string, e *openapi3.SchemaError) {
	if path := strings.Join(e.JSONPointer(), "."); path != "" {
		at = join2(at, path)
	}
	want := e.Reason
	switch e.SchemaField {
	case "required":
		want = "needed"
	case "properties", "additionalProperties":
		if strings.Contains(e.Reason, "unsupported") {
			// The reason names the property; the pointer stands at its object.
			if _, name, ok := strings.Cut(e.Reason, `"`); ok {
				name, _, _ = strings.Cut(name, `"`)
				at = join2(strings.TrimSuffix(strings.TrimSuffix(at, name), "."), jobs.Short(name))
			}
			f.Add(at, "", "no such field")
			return
		}
	case "pattern":
		want = "text of the form " + e.Schema.Pattern
	case "format":
		want = "a " + e.Schema.Format
		if e.Schema.Format == "uuid" {
			want = "an id as the server gave it"
		}
	case "enum":
		words := make([]string, len(e.Schema.Enum))
		for i, w := range e.Schema.Enum {
			words[i] = fmt.Sprint(w)
		}
		want = "one of " + strings.Join(words, ", ")
	case "type":
		want = "of type " + strings.Join(e.Schema.Type.Slice(), " or ")
	}
	if at == "" {
		at = "body"
	}
	f.Add(at, short(at, e.Value), want)
}

// short repeats a value in an error; secrets and large things are left out.
func short(field string, value any) string {
	for _, secret := range []string{"password", "token", "code"} {
		if strings.Contains(field, secret) {
			return ""
		}
	}
	switch v := value.(type) {
	case nil, map[string]any, []any:
		return ""
	case string:
		return jobs.Short(v)
	default:
		return jobs.Short(fmt.Sprint(v))
	}
}

func join2(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + "." + b
}

// CheckAnswer is for tests: it says how an answer breaks the contract. Paths
// that the contract does not have are not looked at.
func (s *Server) CheckAnswer(r *http.Request, status int, header http.Header, body []byte) error {
	for _, info := range s.engine.Routes() {
		params, ok := matchPath(info.Path, r.URL.Path)
		if route := s.contract.routes[info.Method+" "+info.Path]; ok && info.Method == r.Method && route != nil {
			if access[route.Operation.OperationID].stream && status == http.StatusOK {
				return nil
			}
			return s.contract.checkAnswer(route, r, params, status, header, body)
		}
	}
	return nil
}

// matchPath matches a path against gin's form of a route.
func matchPath(route, path string) (map[string]string, bool) {
	want, got := strings.Split(route, "/"), strings.Split(path, "/")
	if len(want) != len(got) {
		return nil, false
	}
	params := map[string]string{}
	for i, part := range want {
		if name, ok := strings.CutPrefix(part, ":"); ok {
			params[name] = got[i]
		} else if part != got[i] {
			return nil, false
		}
	}
	return params, true
}
