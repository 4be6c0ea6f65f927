package server

import (
	"maps"
	"strings"
	"testing"
)

// An operation without a line, and a line without an operation, keep the server
// from starting.
func TestAccessTableIsWhole(t *testing.T) {
	c, err := readContract()
	if err != nil {
		t.Fatal(err)
	}
	if err := checkAccess(c.operations(), access); err != nil {
		t.Error(err)
	}
	short := maps.Clone(access)
	delete(short, "createCustomer")
	short["makeCoffee"] = office
	err = checkAccess(c.operations(), short)
	if err == nil || !strings.Contains(err.Error(), "createCustomer is in no line") || !strings.Contains(err.Error(), "makeCoffee is in the access table") {
		t.Errorf("got %v", err)
	}
}

// What decoders let pass in silence is refused only where every object of a
// request says that it has no other fields.
func TestRequestsAreClosed(t *testing.T) {
	c, err := readContract()
	if err != nil {
		t.Fatal(err)
	}
	for _, route := range c.routes {
		for name, s := range route.Spec.Components.Schemas {
			if s.Value.Type.Is("object") && s.Value.AdditionalProperties.Has == nil && s.Value.AdditionalProperties.Schema == nil {
				t.Errorf("%s takes any field: say additionalProperties: false", name)
			}
			// The validator reads the schemas as 3.0 does, which has none of these.
			if s.Value.Const != nil || len(s.Value.PrefixItems) > 0 {
				t.Errorf("%s uses a keyword that is not checked", name)
			}
		}
		break // one document
	}
}
