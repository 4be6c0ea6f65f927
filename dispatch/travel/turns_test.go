package travel_test

import (
	"testing"

	"ebbline/dispatch/travel"
)

// crossing is four roads of 200 m that meet at node 1: 4 from the south, 1 from
// the west, 2 to the east, 3 to the north. South and east begin at the crossing.
func crossing() *made {
	m := &made{}
	m.node(1, 0, 0)
	m.node(10, 0, -200)
	m.node(20, 0, 200)
	m.node(30, 200, 0)
	m.node(40, -200, 0)
	m.way(1, []int64{10, 1})
	m.way(2, []int64{1, 20})
	m.way(3, []int64{30, 1})
	m.way(4, []int64{1, 40})
	return m
}

// The middles of the four roads.
var middles = map[byte][2]float64{'W': {0, -100}, 'E': {0, 100}, 'N': {100, 0}, 'S': {-100, 0}}

// From the middle of a road to that of another it is 200 m. Where the turn is
// forbidden one drives on to a road's end, turns there and comes back: 400 m
// more.
func TestTurns(t *testing.T) {
	for _, c := range []struct {
		name  string
		turns func(*made)
		round string // pairs that must go round: "SW" is from south to west
		stats travel.TurnStats
	}{
		{"none", func(*made) {}, "", travel.TurnStats{}},
		{"no left turn", func(m *made) { m.turn("no_left_turn", []int64{4}, 1, []int64{1}) }, "SW", travel.TurnStats{Kept: 1}},
		{"no right turn, the other way round", func(m *made) { m.turn("no_right_turn", []int64{1}, 1, []int64{4}) }, "WS", travel.TurnStats{Kept: 1}},
		{"no straight on", func(m *made) { m.turn("no_straight_on", []int64{3}, 1, []int64{4}) }, "NS", travel.TurnStats{Kept: 1}},
		{"only straight on", func(m *made) { m.turn("only_straight_on", []int64{4}, 1, []int64{3}) }, "SW SE", travel.TurnStats{Kept: 1}},
		{"only, twice from one road", func(m *made) {
			m.turn("only_straight_on", []int64{4}, 1, []int64{3})
			m.turn("only_right_turn", []int64{4}, 1, []int64{2})
		}, "SW", travel.TurnStats{Kept: 2}},
		{"no entry from two", func(m *made) { m.turn("no_entry", []int64{1, 4}, 1, []int64{2}) }, "WE SE", travel.TurnStats{Kept: 1}},
		{"no exit to two", func(m *made) { m.turn("no_exit", []int64{2}, 1, []int64{3, 4}) }, "EN ES", travel.TurnStats{Kept: 1}},
		{"two at one crossing", func(m *made) {
			m.turn("no_left_turn", []int64{4}, 1, []int64{1})
			m.turn("no_left_turn", []int64{3}, 1, []int64{2})
		}, "SW NE", travel.TurnStats{Kept: 2}},
		{"cars are free", func(m *made) { m.turn("no_left_turn", []int64{4}, 1, []int64{1}, "except", "bus;motorcar") }, "", travel.TurnStats{Exempt: 1}},
		{"buses are free", func(m *made) { m.turn("no_left_turn", []int64{4}, 1, []int64{1}, "except", "bus") }, "SW", travel.TurnStats{Kept: 1}},
		{"for lorries", func(m *made) { m.turn("", []int64{4}, 1, []int64{1}, "restriction:hgv", "no_left_turn") }, "", travel.TurnStats{Exempt: 1}},
		{"for cars", func(m *made) { m.turn("", []int64{4}, 1, []int64{1}, "restriction:motorcar", "no_left_turn") }, "SW", travel.TurnStats{Kept: 1}},
		{"at times", func(m *made) {
			m.turn("", []int64{4}, 1, []int64{1}, "restriction:conditional", "no_left_turn @ (07:00-09:00)")
			m.turn("no_left_turn", []int64{4}, 1, []int64{1}, "hour_on", "07:00", "hour_off", "09:00")
		}, "", travel.TurnStats{Conditional: 2}},
		{"roads not here", func(m *made) { m.turn("no_left_turn", []int64{4}, 1, []int64{99}) }, "", travel.TurnStats{Void: 1}},
		{"roads that don't meet", func(m *made) { m.turn("no_left_turn", []int64{4}, 99, []int64{1}) }, "", travel.TurnStats{Void: 1}},
		{"no kind", func(m *made) { m.turn("left_turn", []int64{4}, 1, []int64{1}) }, "", travel.TurnStats{Unclear: 1}},
	} {
		m := crossing()
		c.turns(m)
		roads := built(t, m.bytes(t), travel.Options{})
		if roads.Meta.Turns != c.stats {
			t.Errorf("%s: %+v, want %+v", c.name, roads.Meta.Turns, c.stats)
		}
		round := map[string]bool{}
		for i := 0; i+1 < len(c.round); i += 3 {
			round[c.round[i:i+2]] = true
		}
		for a, from := range middles {
			for b, to := range middles {
				if a == b {
					continue
				}
				want := int64(200)
				if round[string([]byte{a, b})] {
					want = 600
				}
				p, q := snap(t, roads, from[0], from[1]), snap(t, roads, to[0], to[1])
				if metres, _ := drive(t, roads, p, q); metres < want-1 || metres > want+2 {
					t.Errorf("%s: %c to %c %d m, want %d", c.name, a, b, metres, want)
				}
				if route, ok := roads.Route(p, q); !ok || route.Metres < want-1 || route.Metres > want+2 {
					t.Errorf("%s: route %c to %c %d m, want %d", c.name, a, b, route.Metres, want)
				}
			}
		}
		mustAgree(t, roads, c.name)
	}
}

// A road with two carriageways joined by a short way: turning back over it is
// forbidden, turning into it is not.
func TestTurnsOverAWay(t *testing.T) {
	for _, c := range []struct {
		kind string
		back bool // the turn back over way 3 is allowed
	}{{"", true}, {"no_u_turn", false}, {"only_straight_on", false}} {
		m := &made{}
		for i := range int64(4) {
			m.node(1+i, 0, 200*float64(i))
			m.node(11+i, 30, 200*float64(i))
		}
		m.node(30, 60, 200)
		m.node(31, 60, 600)
		m.way(1, []int64{1, 2}, "oneway", "yes") // eastward
		m.way(2, []int64{2, 3, 4}, "oneway", "yes")
		m.way(3, []int64{2, 12}) // the short way
		m.way(4, []int64{14, 13, 12}, "oneway", "yes")
		m.way(5, []int64{12, 11}, "oneway", "yes") // westward
		m.way(6, []int64{4, 14})                   // the far end
		m.way(7, []int64{11, 1})                   // the near end
		m.way(8, []int64{12, 30})                  // on beyond the short way
		switch c.kind {
		case "no_u_turn":
			m.turn(c.kind, []int64{1}, -3, []int64{5})
		case "only_straight_on":
			m.turn(c.kind, []int64{1}, -3, []int64{8})
		}
		roads := built(t, m.bytes(t), travel.Options{})
		from, to, beyond := snap(t, roads, 0, 100), snap(t, roads, 30, 100), snap(t, roads, 55, 200)
		// 100 m to the short way, 30 over it, 100 back; without it at the least 60 m
		// more, to the end of way 8 and back.
		want := int64(230)
		if !c.back {
			want = 290
		}
		if metres, _ := drive(t, roads, from, to); metres < want-1 || metres > want+2 {
			t.Errorf("%q: back %d m, want %d", c.kind, metres, want)
		}
		if metres, _ := drive(t, roads, from, beyond); metres < 154 || metres > 157 {
			t.Errorf("%q: on %d m, want 155", c.kind, metres)
		}
		if c.kind != "" && roads.Meta.Turns.Kept != 1 {
			t.Errorf("%q: %+v, want 1 kept", c.kind, roads.Meta.Turns)
		}
		mustAgree(t, roads, c.kind)
	}
}

// A forbidden turn back at the middle of a road's crossing.
func TestNoTurnBack(t *testing.T) {
	m := crossing()
	m.ways[1].Tags[0].Value = "footway" // no car to the east any more
	m.turn("no_u_turn", []int64{4}, 1, []int64{4})
	roads := built(t, m.bytes(t), travel.Options{})
	if roads.Meta.Turns.Kept != 1 {
		t.Errorf("%+v, want 1 kept", roads.Meta.Turns)
	}
	mustAgree(t, roads, "no turn back")
}

// mustAgree compares drives with a plain search.
func mustAgree(t *testing.T, roads *travel.Roads, name string) {
	t.Helper()
	points := roads.Scatter(30, 7)
	if cells, mismatches, err := roads.Compare(t.Context(), points, points); err != nil || mismatches > 0 || cells != 900 {
		t.Errorf("%s: %d of %d drives differ, %v", name, mismatches, cells, err)
	}
}
