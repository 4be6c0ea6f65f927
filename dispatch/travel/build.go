package travel

import (
	"context"
	"errors"
	"fmt"
	"io"

	"ebbline/dispatch/travel/osm"
)

// Options say how a road file is made. The zero value takes the whole extract.
type Options struct {
	// Inside leaves out what lies elsewhere: another country, a neighbour's roads.
	// A road ends at the last node inside. Nil means everything.
	Inside func(LatLon) bool
	// Features hands on what is no road: houses, water, places.
	Features Features
	// Progress is told the step of the work, how much of it is done, and of how
	// much: bytes of the extract while reading, nodes of the graph afterwards.
	Progress func(step string, done, total int64)
	// Attribution is whom the data's licence says to name wherever it is shown.
	Attribution string
}

// Stats are what Build made.
type Stats struct {
	Vertices  int // of the graph, copies for turn restrictions included
	Edges     int // pieces of road between crossings
	Shortcuts int
	Turns     TurnStats
}

// ErrNoRoads means that the extract has no roads for cars that join up.
var ErrNoRoads = errors.New("the extract has no roads for cars")

// Build makes a road file of an extract that has size bytes. The builder it
// answers takes further sections. It errs with what package osm names, with
// ErrNoRoads, with an error of Features.Each, or when the context ends.
//
// Memory: one block of the extract, some 60 bytes for each node of a road, and
// what Features wants; never the extract itself.
func Build(ctx context.Context, extract io.ReaderAt, size int64, o Options) (*FileBuilder, Stats, error) {
	var stats Stats
	reader, err := osm.Open(ctx, extract, size)
	if err != nil {
		return nil, stats, err
	}
	if o.Progress == nil {
		o.Progress = func(string, int64, int64) {}
	}
	s := &survey{options: &o, reader: reader, size: size}
	if err := s.read(ctx); err != nil {
		return nil, stats, err
	}
	net := s.cut()
	ban := newBans(net)
	stats.Turns = ban.addAll(s.turns, s.wayEdges(net))
	s = nil // its memory is needed no more
	g := net.expand(ban)
	if len(g.nodeOf) == 0 {
		return nil, stats, fmt.Errorf("%w that join up", ErrNoRoads)
	}
	if err := g.contract(ctx, o.Progress); err != nil {
		return nil, stats, err
	}
	stats.Vertices, stats.Edges, stats.Shortcuts = g.hierarchy.Nodes, len(net.edges), g.hierarchy.Shortcuts
	b := &FileBuilder{}
	g.write(b, reader.Header, o.Attribution, stats)
	return b, stats, nil
}
