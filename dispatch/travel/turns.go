package travel

import (
	"slices"
	"strings"

	"ebbline/dispatch/travel/osm"
)

// TurnStats counts what became of the extract's turn restrictions.
type TurnStats struct {
	Kept        int `json:"kept"`
	Exempt      int `json:"exempt"`      // don't bind cars
	Conditional int `json:"conditional"` // hold at times only: not kept
	Void        int `json:"void"`        // name roads that aren't there or no car may use
	Unclear     int `json:"unclear"`     // members don't meet, or meet in more than one way: not kept
}

// turnRelation is a turn restriction as the extract has it.
type turnRelation struct {
	only, back bool // only_...; no_u_turn
	from, to   []int64
	viaNode    int64
	viaWays    []int64
	fate       turnFate
}

// turnFate is what becomes of a restriction.
type turnFate uint8

const (
	turnKept turnFate = iota
	turnExempt
	turnConditional
	turnVoid
	turnUnclear
)

// count adds a restriction of that fate.
func (s *TurnStats) count(fate turnFate) {
	switch fate {
	case turnKept:
		s.Kept++
	case turnExempt:
		s.Exempt++
	case turnConditional:
		s.Conditional++
	case turnVoid:
		s.Void++
	case turnUnclear:
		s.Unclear++
	}
}

// readTurn answers false for relations of other kinds.
//
// Forms: https://wiki.openstreetmap.org/wiki/Relation:restriction
func readTurn(r *osm.Relation) (turnRelation, bool) {
	var t turnRelation
	kind := r.Tags.Get("type")
	if kind != "restriction" && !strings.HasPrefix(kind, "restriction:") {
		return t, false
	}
	value, sometimes := "", false
	for _, key := range []string{"restriction:motorcar", "restriction:motor_vehicle", "restriction"} {
		if value == "" {
			value = r.Tags.Get(key)
		}
		sometimes = sometimes || r.Tags.Get(key+":conditional") != ""
	}
	for _, key := range []string{"day_on", "day_off", "hour_on", "hour_off"} {
		if r.Tags.Get(key) != "" {
			value, sometimes = "", true
		}
	}
	switch {
	case value == "" && sometimes:
		t.fate = turnConditional
		return t, true
	case value == "" || exempt(r.Tags.Get("except")):
		t.fate = turnExempt
		return t, true
	}
	t.only, t.back = strings.HasPrefix(value, "only_"), value == "no_u_turn"
	if !t.only && !strings.HasPrefix(value, "no_") {
		t.fate = turnUnclear
		return t, true
	}
	for _, m := range r.Members {
		switch {
		case m.Role == "from" && m.Kind == osm.Ways:
			t.from = append(t.from, m.Ref)
		case m.Role == "to" && m.Kind == osm.Ways:
			t.to = append(t.to, m.Ref)
		case m.Role == "via" && m.Kind == osm.Ways:
			t.viaWays = append(t.viaWays, m.Ref)
		case m.Role == "via" && m.Kind == osm.Nodes && t.viaNode == 0:
			t.viaNode = m.Ref
		}
	}
	if len(t.from) == 0 || len(t.to) == 0 || (t.viaNode == 0) == (len(t.viaWays) == 0) {
		t.fate = turnUnclear
	}
	return t, true
}

// exempt says whether a list of exceptions frees cars.
func exempt(list string) bool {
	for part := range strings.SplitSeq(list, ";") {
		switch strings.TrimSpace(part) {
		case "motorcar", "motor_vehicle", "vehicle":
			return true
		}
	}
	return false
}

// wayEdges lists, for the ways that restrictions name, their edges in order.
func (s *survey) wayEdges(n *net) map[int64][]uint32 {
	edges := map[int64][]uint32{}
	for _, t := range s.turns {
		for _, way := range slices.Concat(t.from, t.viaWays, t.to) {
			edges[way] = nil
		}
	}
	for e := range n.edges {
		way := n.ways[n.edges[e].way].id
		if list, named := edges[way]; named {
			edges[way] = append(list, uint32(e))
		}
	}
	return edges
}
