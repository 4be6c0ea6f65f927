package travel

import (
	"context"
	"slices"
	"strings"

	"ebbline/dispatch/travel/osm"
)

// survey is what is kept of an extract while it is read: first relations, then
// ways, then the nodes that they need.
type survey struct {
	options *Options
	reader  *osm.Reader
	size    int64

	turns []turnRelation
	ways  []surveyWay
	refs  []int64 // of all ways, one after the other; later places in ids
	names names
	areas []areaRelation
	lines []featureWay
	// Ways that are parts of wanted areas, by id.
	parts map[int64][]int64

	ids   []int64 // nodes needed, ascending
	at    []LatLon
	state []nodeState
	refAt []uint32 // refs as places in ids
}

// surveyWay is a road in the extract.
type surveyWay struct {
	id        int64
	from, to  int // in refs
	road      road
	name, ref uint32 // in names
}

type nodeState uint8

const (
	nodeThere    nodeState = 1 << iota
	nodeShut               // a barrier stops cars
	nodeUsed               // on a road
	nodeCrossing           // more than once, or a road's end
)

// names numbers texts; number 0 is none.
type names struct {
	number map[string]uint32
	list   []string
}

func (n *names) of(text string) uint32 {
	if n.number == nil {
		n.number, n.list = map[string]uint32{"": 0}, []string{""}
	}
	i, ok := n.number[text]
	if !ok {
		i = uint32(len(n.list))
		text = strings.Clone(text) // or its whole block would stay
		n.number[text] = i
		n.list = append(n.list, text)
	}
	return i
}

func (s *survey) read(ctx context.Context) error {
	s.names.of("")
	s.parts = map[int64][]int64{}
	progress := func(step string) func(int64) {
		return func(bytes int64) { s.options.Progress(step, bytes, s.size) }
	}
	if err := s.reader.Each(ctx, osm.Handler{Relation: s.relation}, progress("relations")); err != nil {
		return err
	}
	if err := s.reader.Each(ctx, osm.Handler{Way: s.way}, progress("ways")); err != nil {
		return err
	}
	s.gatherIDs()
	if err := s.reader.Each(ctx, osm.Handler{Node: s.node}, progress("nodes")); err != nil {
		return err
	}
	return s.tellFeatures()
}

func (s *survey) relation(r *osm.Relation) error {
	if turn, ok := readTurn(r); ok {
		s.turns = append(s.turns, turn)
	}
	if f := s.options.Features; f.Want != nil && r.Tags.Get("type") == "multipolygon" && f.Want(osm.Relations, r.Tags) {
		s.addArea(r)
	}
	return nil
}

func (s *survey) way(w *osm.Way) error {
	if _, part := s.parts[w.ID]; part {
		s.parts[w.ID] = slices.Clone(w.Refs)
	}
	if f := s.options.Features; f.Want != nil && f.Want(osm.Ways, w.Tags) {
		s.lines = append(s.lines, featureWay{w.ID, slices.Clone(w.Refs), cloneTags(w.Tags)})
	}
	road, ok := roadOf(w.Tags)
	if !ok || len(w.Refs) < 2 {
		return nil
	}
	from := len(s.refs)
	s.refs = append(s.refs, w.Refs...)
	s.ways = append(s.ways, surveyWay{w.ID, from, len(s.refs), road, s.names.of(w.Tags.Get("name")), s.names.of(w.Tags.Get("ref"))})
	return nil
}

// gatherIDs lists the nodes needed and says what roads make of them.
func (s *survey) gatherIDs() {
	total := len(s.refs)
	for _, line := range s.lines {
		total += len(line.refs)
	}
	s.ids = make([]int64, 0, total)
	s.ids = append(s.ids, s.refs...)
	for _, line := range s.lines {
		s.ids = append(s.ids, line.refs...)
	}
	for _, refs := range s.parts {
		s.ids = append(s.ids, refs...)
	}
	slices.Sort(s.ids)
	s.ids = slices.Clone(slices.Compact(s.ids))
	s.at, s.state = make([]LatLon, len(s.ids)), make([]nodeState, len(s.ids))
	s.refAt = make([]uint32, len(s.refs))
	for i, id := range s.refs {
		at, _ := slices.BinarySearch(s.ids, id)
		s.refAt[i] = uint32(at)
	}
	s.refs = nil
	for _, w := range s.ways {
		for i := w.from; i < w.to; i++ {
			state := &s.state[s.refAt[i]]
			if *state&nodeUsed != 0 || i == w.from || i == w.to-1 {
				*state |= nodeCrossing
			}
			*state |= nodeUsed
		}
	}
}

func (s *survey) node(n *osm.Node) error {
	here := LatLon{n.Lat, n.Lon}
	inside := s.options.Inside == nil || s.options.Inside(here)
	if f := s.options.Features; f.Want != nil && inside && len(n.Tags) > 0 && f.Want(osm.Nodes, n.Tags) {
		if err := f.Each(Feature{Kind: osm.Nodes, ID: n.ID, Tags: n.Tags, Line: []LatLon{here}}); err != nil {
			return err
		}
	}
	at, needed := slices.BinarySearch(s.ids, n.ID)
	if !needed || !inside {
		return nil
	}
	s.at[at] = here
	s.state[at] |= nodeThere
	if len(n.Tags) > 0 && s.state[at]&nodeUsed != 0 && stops(n.Tags) {
		s.state[at] |= nodeShut
	}
	return nil
}
