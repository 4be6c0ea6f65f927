package week

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

const schemas = "../../testdata/schema"

func readFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(schemas, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// compiled gives a schema by a published implementation of JSON Schema 2020-12.
func compiled(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(filepath.Join(schemas, name))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func parsed(t *testing.T, data []byte) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestExamples: the examples satisfy their schemas, the strict reader takes them, and
// what is written from what was read says the same.
func TestExamples(t *testing.T) {
	for _, e := range []struct {
		name   string
		decode func([]byte) (any, error)
	}{
		{"week", func(b []byte) (any, error) { return DecodeWeek(bytes.NewReader(b)) }},
		{"plan", func(b []byte) (any, error) { return DecodePlan(bytes.NewReader(b)) }},
	} {
		t.Run(e.name, func(t *testing.T) {
			schema, data := compiled(t, e.name+".schema.json"), readFile(t, e.name+".example.json")
			if err := schema.Validate(parsed(t, data)); err != nil {
				t.Fatal(err)
			}
			v, err := e.decode(data)
			if err != nil {
				t.Fatal(err)
			}
			written, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(parsed(t, written), parsed(t, data)) {
				t.Errorf("written again it says something else:\n%s", written)
			}
			again, err := e.decode(written)
			if err != nil || !reflect.DeepEqual(again, v) {
				t.Errorf("read again it differs (%v)", err)
			}
		})
	}
}

// TestEmptyListsAreWritten: a plan with nothing in it satisfies schema and reader.
func TestEmptyListsAreWritten(t *testing.T) {
	data, err := json.Marshal(&Plan{Version: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled(t, "plan.schema.json").Validate(parsed(t, data)); err != nil {
		t.Error(err)
	}
	if _, err := DecodePlan(bytes.NewReader(data)); err != nil {
		t.Error(err)
	}
}

// TestSchemaRefuses shows that the schemas are strict where the reader is.
func TestSchemaRefuses(t *testing.T) {
	for _, c := range []struct{ file, old, new string }{
		{"week", `"t0": 21600`, `"t0": 21600, "t1": 5`},
		{"week", `"t0": 21600`, `"t0": "6:00"`},
		{"week", `"t0": 21600`, `"t0": 21600.5`},
		{"week", `"t0": 21600,`, ``},
		{"week", `"way": "pump"`, `"way": "bucket"`},
		{"week", `"version": 1`, `"version": 2`},
		{"plan", `"load": 1`, `"load": -1`},
		{"plan", `"rounds": 1`, `"rounds": null`},
	} {
		data := readFile(t, c.file+".example.json")
		if !bytes.Contains(data, []byte(c.old)) {
			t.Fatalf("the example has no %s", c.old)
		}
		data = bytes.Replace(data, []byte(c.old), []byte(c.new), 1)
		if compiled(t, c.file+".schema.json").Validate(parsed(t, data)) == nil {
			t.Errorf("the schema of a %s takes %q", c.file, c.new)
		}
		var err error
		if c.file == "week" {
			_, err = DecodeWeek(bytes.NewReader(data))
		} else {
			_, err = DecodePlan(bytes.NewReader(data))
		}
		if err == nil {
			t.Errorf("the reader of a %s takes %q", c.file, c.new)
		}
	}
}

// TestSchemasFollowTypes compares every struct's tags with the properties of its schema:
// names, order, what is required, and types; so neither can drift from the other.
func TestSchemasFollowTypes(t *testing.T) {
	for _, root := range []struct {
		file string
		of   reflect.Type
	}{{"week.schema.json", reflect.TypeFor[Week]()}, {"plan.schema.json", reflect.TypeFor[Plan]()}} {
		var s schemaNode
		if err := json.Unmarshal(readFile(t, root.file), &s); err != nil {
			t.Fatal(err)
		}
		c := &comparer{t: t, file: root.file, defs: s.Defs, seen: map[string]bool{}}
		c.object("", root.of, &s)
		for name := range s.Defs {
			if !c.seen[name] {
				t.Errorf("%s: $defs/%s belongs to no field", root.file, name)
			}
		}
	}
}

type schemaNode struct {
	Type       string                 `json:"type"`
	Ref        string                 `json:"$ref"`
	Required   []string               `json:"required"`
	Properties map[string]*schemaNode `json:"properties"`
	Items      *schemaNode            `json:"items"`
	More       *bool                  `json:"additionalProperties"`
	Defs       map[string]*schemaNode `json:"$defs"`
}

type comparer struct {
	t    *testing.T
	file string
	defs map[string]*schemaNode
	seen map[string]bool
}

func (c *comparer) object(path string, of reflect.Type, s *schemaNode) {
	if s.Type != "object" || s.More == nil || *s.More {
		c.t.Errorf("%s %s: want a closed object", c.file, path)
	}
	var required []string
	for i := range of.NumField() {
		name, optional := tag(of.Field(i))
		if !optional {
			required = append(required, name)
		}
		p := s.Properties[name]
		if p == nil {
			c.t.Errorf("%s %s: no property %q", c.file, path, name)
			continue
		}
		c.value(path+"."+name, of.Field(i).Type, p)
	}
	if len(s.Properties) != of.NumField() {
		c.t.Errorf("%s %s: %d properties, %d fields", c.file, path, len(s.Properties), of.NumField())
	}
	if !slices.Equal(required, s.Required) {
		c.t.Errorf("%s %s: required %v, fields %v", c.file, path, s.Required, required)
	}
}

func (c *comparer) value(path string, of reflect.Type, s *schemaNode) {
	if of.Kind() == reflect.Pointer {
		of = of.Elem()
	}
	if name, ok := strings.CutPrefix(s.Ref, "#/$defs/"); ok {
		if c.seen[name] {
			return
		}
		c.seen[name] = true
		if s = c.defs[name]; s == nil {
			c.t.Errorf("%s %s: no $defs/%s", c.file, path, name)
			return
		}
	}
	want := map[reflect.Kind]string{reflect.Struct: "object", reflect.Slice: "array", reflect.String: "string", reflect.Bool: "boolean",
		reflect.Int: "integer", reflect.Int64: "integer"}[of.Kind()]
	if s.Type != want {
		c.t.Errorf("%s %s: type %q, want %q", c.file, path, s.Type, want)
		return
	}
	switch of.Kind() {
	case reflect.Struct:
		c.object(path, of, s)
	case reflect.Slice:
		c.value(path+"[]", of.Elem(), s.Items)
	}
}
