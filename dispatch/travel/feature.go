package travel

import (
	"slices"
	"strings"

	"ebbline/dispatch/travel/osm"
)

// Features hands on elements that are no roads, or roads besides.
type Features struct {
	// Want is asked for each node with tags, each way, and each relation of type
	// multipolygon; the kind is one of osm's.
	Want func(kind osm.Kind, tags osm.Tags) bool
	// Each is called once for everything wanted whose nodes are known: nodes in
	// order of the file, then ways, then areas. Tags of a node are used again
	// afterwards: copy by strings.Clone what must last.
	Each func(Feature) error
}

// Feature is an element with where it is.
type Feature struct {
	Kind osm.Kind
	ID   int64
	Tags osm.Tags
	// Line is a node's place, or a way's points; closed ways end where they begin.
	// Points outside of Options.Inside and of the extract are missing from it.
	Line []LatLon
	// Of a relation: its rings, each closed. Parts that don't join up to rings are
	// left out.
	Outer, Inner [][]LatLon
}

type featureWay struct {
	id   int64
	refs []int64
	tags osm.Tags
}

type areaRelation struct {
	id           int64
	tags         osm.Tags
	outer, inner []int64 // ways
}

func cloneTags(tags osm.Tags) osm.Tags {
	out := make(osm.Tags, len(tags))
	for i, t := range tags {
		out[i] = osm.Tag{Key: strings.Clone(t.Key), Value: strings.Clone(t.Value)}
	}
	return out
}

func (s *survey) addArea(r *osm.Relation) {
	area := areaRelation{id: r.ID, tags: cloneTags(r.Tags)}
	for _, m := range r.Members {
		if m.Kind != osm.Ways {
			continue
		}
		s.parts[m.Ref] = nil
		if m.Role == "inner" {
			area.inner = append(area.inner, m.Ref)
		} else {
			area.outer = append(area.outer, m.Ref)
		}
	}
	s.areas = append(s.areas, area)
}

// tellFeatures hands on ways and areas.
func (s *survey) tellFeatures() error {
	each := s.options.Features.Each
	for _, w := range s.lines {
		if line := s.line(w.refs); len(line) > 0 {
			if err := each(Feature{Kind: osm.Ways, ID: w.id, Tags: w.tags, Line: line}); err != nil {
				return err
			}
		}
	}
	for _, area := range s.areas {
		outer := s.rings(area.outer)
		if len(outer) == 0 {
			continue
		}
		if err := each(Feature{Kind: osm.Relations, ID: area.id, Tags: area.tags, Outer: outer, Inner: s.rings(area.inner)}); err != nil {
			return err
		}
	}
	return nil
}

func (s *survey) line(refs []int64) []LatLon {
	line := make([]LatLon, 0, len(refs))
	for _, ref := range refs {
		if at, ok := slices.BinarySearch(s.ids, ref); ok && s.state[at]&nodeThere != 0 {
			line = append(line, s.at[at])
		}
	}
	return line
}

// rings joins ways end to end.
func (s *survey) rings(ways []int64) (rings [][]LatLon) {
	var left [][]int64
	for _, way := range ways {
		if refs := s.parts[way]; len(refs) > 1 {
			left = append(left, refs)
		}
	}
	for len(left) > 0 {
		ring := slices.Clone(left[0])
		left = left[1:]
		for ring[0] != ring[len(ring)-1] {
			end := ring[len(ring)-1]
			next := slices.IndexFunc(left, func(refs []int64) bool { return refs[0] == end || refs[len(refs)-1] == end })
			if next < 0 {
				break
			}
			refs := slices.Clone(left[next])
			if refs[0] != end {
				slices.Reverse(refs)
			}
			ring = append(ring, refs[1:]...)
			left = slices.Delete(left, next, next+1)
		}
		if ring[0] == ring[len(ring)-1] {
			if line := s.line(ring); len(line) > 3 {
				if line[0] != line[len(line)-1] {
					line = append(line, line[0])
				}
				rings = append(rings, line)
			}
		}
	}
	return rings
}
