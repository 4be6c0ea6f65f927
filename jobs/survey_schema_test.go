package jobs

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

var writeSchema = flag.Bool("write-schema", false, "write testdata/schema/survey.schema.json from the field registry")

const schemaFile = "../testdata/schema/survey.schema.json"

// surveySchema is the JSON Schema of a survey file, made from the registry.
func surveySchema() []byte {
	type object = map[string]any
	knowns := []string{}
	for _, k := range Knowns {
		knowns = append(knowns, string(k))
	}
	ref := func(name string) object { return object{"$ref": "#/$defs/" + name} }
	entry := func(text object) object {
		return object{"type": "object", "properties": object{
			"text": text, "known": ref("known"), "note": ref("text"), "by": object{"type": "string", "maxLength": 200},
			"at": object{"type": "integer", "minimum": 0}, "base": object{"type": "integer"},
		}, "required": []string{"text", "known"}, "additionalProperties": false}
	}
	defs := object{"known": object{"enum": knowns}, "text": object{"type": "string", "maxLength": maxText}}
	value := func(f FieldSpec) object {
		out := ref(string(f.Quantity) + "_value")
		if f.Quantity == QuantityChoice {
			out = entry(object{"enum": append([]string{""}, f.Choices...)})
		} else if name := string(f.Quantity) + "_value"; defs[name] == nil {
			def := entry(ref("text"))
			if f.Quantity == QuantityBool {
				def = entry(object{"enum": []string{"", "yes", "no"}})
			}
			if f.Quantity.Measured() {
				names := []string{}
				for _, u := range UnitsOf(f.Quantity) {
					names = append(append(names, u.Name), u.Aliases...)
				}
				def["properties"].(object)["unit"] = object{"enum": names}
			}
			defs[name] = def
		}
		out["description"] = f.Label
		if f.Hint != "" {
			out["description"] = f.Label + ". " + f.Hint
		}
		return out
	}
	id := object{"type": "string", "pattern": "^[A-Za-z0-9_-]{1,64}$"}
	kinds := []any{}
	for _, kind := range SubjectKinds {
		values := object{}
		for _, f := range FieldsOf(kind) {
			values[f.Name] = value(f)
		}
		props := object{
			"id": id, "kind": object{"const": kind}, "name": object{"type": "string", "maxLength": 200},
			"values": object{"type": "object", "properties": values, "additionalProperties": false},
		}
		required := []string{"id", "kind"}
		if kind.Of() != "" {
			props["of"] = id
		}
		if kind == SubjectPosition {
			required = append(required, "of")
		}
		if kind == SubjectConduit {
			props["ends"] = object{"type": "array", "items": id, "uniqueItems": true}
		}
		kinds = append(kinds, object{"title": kind.Label(), "type": "object", "properties": props, "required": required, "additionalProperties": false})
	}
	data, _ := json.MarshalIndent(object{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"title":   "Survey of a site's water, lights and circuits",
		"type":    "object",
		"properties": object{
			"version":  object{"const": SurveyVersion},
			"zone":     object{"type": "string", "description": "IANA zone name of the site"},
			"subjects": object{"type": "array", "minItems": 1, "maxItems": maxSubjects, "items": object{"oneOf": kinds}},
		},
		"required": []string{"version", "zone", "subjects"}, "additionalProperties": false,
		"$defs": defs,
	}, "", "  ")
	return append(data, '\n')
}

func compiledSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(surveySchema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("survey.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("survey.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSchemaIsTheRegistry(t *testing.T) {
	if *writeSchema {
		if err := os.WriteFile(schemaFile, surveySchema(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, surveySchema()) {
		t.Errorf("%s is behind the field registry; go test ./jobs -run Schema -write-schema", schemaFile)
	}
}

// The schema and the decoder agree on the examples and on what is wrong in form.
func TestSchemaAgreesWithDecoder(t *testing.T) {
	schema := compiledSchema(t)
	valid := func(data []byte) bool {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		return err == nil && schema.Validate(doc) == nil
	}
	files, _ := filepath.Glob("../testdata/survey/*.json")
	if len(files) < 6 {
		t.Fatalf("only %d examples", len(files))
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := DecodeSurvey(data); err != nil || !valid(data) {
			t.Errorf("%s: decoder %v, schema agrees %v", file, err, valid(data))
		}
		for _, change := range [][2]string{{`"known": "told"`, `"known": "felt"`}, {`"kind": "body"`, `"kind": "tub"`}, {`"version": 1`, `"version": 3`}, {`"zone":`, `"Zone":`}, {`"lights"`, `"lamps"`}} {
			bad := bytes.Replace(data, []byte(change[0]), []byte(change[1]), 1)
			if bytes.Equal(bad, data) {
				continue
			}
			if _, err := DecodeSurvey(bad); err == nil || valid(bad) {
				t.Errorf("%s with %s: decoder %v, schema accepts %v", file, change[1], err, valid(bad))
			}
		}
	}
}
