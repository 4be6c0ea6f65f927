package town

import (
	"io"

	"ebbline/dispatch/travel/osm"
)

// WritePBF writes the town as an extract in OpenStreetMap's PBF form: nodes,
// ways and relations in the order of their ids.
func (t *Town) WritePBF(out io.Writer) error {
	w := osm.NewWriter(out, Name+", an invented town", 0)
	for _, n := range t.nodes {
		w.Node(osm.Node{ID: n.id, Lat: int32(n.latE7), Lon: int32(n.lonE7), Tags: tagsOf(n.tags)})
	}
	for _, x := range t.ways {
		w.Way(osm.Way{ID: x.id, Refs: x.refs, Tags: tagsOf(x.tags)})
	}
	for _, r := range t.relations {
		to := osm.Relation{ID: r.id, Tags: tagsOf(r.tags)}
		for _, m := range r.members {
			kind := osm.Ways
			if m.kind == "node" {
				kind = osm.Nodes
			}
			to.Members = append(to.Members, osm.Member{Kind: kind, Ref: m.ref, Role: m.role})
		}
		w.Relation(to)
	}
	return w.Close()
}

func tagsOf(list []tag) osm.Tags {
	out := make(osm.Tags, len(list))
	for i, t := range list {
		out[i] = osm.Tag{Key: t.key, Value: t.value}
	}
	return out
}
