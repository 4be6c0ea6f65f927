package travel

import (
	"encoding/binary"
	"encoding/json"

	"ebbline/dispatch/travel/hierarchy"
	"ebbline/dispatch/travel/osm"
)

// The sections of roads. Lists are little-endian; u32, u64 are unsigned numbers,
// places two int32 (lat, lon, degrees times ten million).
//
//	meta            JSON, see Meta
//	names           u32 count, count+1 u32 ends, then the texts; text 0 is empty
//	ways.class      u8 by way: Class
//	ways.flags      u8 by way: Flag...
//	ways.name, .ref u32 by way: in names
//	edges.way       u32 by edge: its way. All roads of the extract are here, also
//	                those that no route can use
//	edges.point     u32 by edge and one more: its first in points
//	points          places: each edge's line
//	edges.along     u64 by edge: milliseconds<<32 | centimetres; 0 is closed
//	edges.against   the same for the other direction
//	edges.entry     u32 by directed edge (2e along, 2e+1 against): the node reached
//	                by one who begins on it, all ones where no route may use it
//	edges.arc       u32 by directed edge and one more: its first in arcs
//	arcs.tail .head u32 by arc: nodes. A directed edge has several arcs where its
//	                crossing has copies for turn restrictions
//	up.*, down.*    the two halves of the hierarchy, see hierarchy.Half
//	grid.key        u32, ascending: cells with roads, see cellOf
//	grid.start      u32 by cell and one more: its first in grid.edge
//	grid.edge       u32: edges that touch the cell
//
// Addresses and the map keep sections of their own beside these.
const (
	secMeta    = "meta"
	secNames   = "names"
	secClass   = "ways.class"
	secFlags   = "ways.flags"
	secName    = "ways.name"
	secRef     = "ways.ref"
	secWay     = "edges.way"
	secPoint   = "edges.point"
	secPoints  = "points"
	secAlong   = "edges.along"
	secAgainst = "edges.against"
	secEntry   = "edges.entry"
	secArc     = "edges.arc"
	secTail    = "arcs.tail"
	secHead    = "arcs.head"
	secKey     = "grid.key"
	secStart   = "grid.start"
	secEdge    = "grid.edge"
)

// Meta is what a road file says of itself.
type Meta struct {
	// Attribution is whom to name wherever the data is shown; "" is nobody.
	Attribution string `json:"attribution"`
	// Source and Program are what the extract says of itself.
	Source  string `json:"source,omitempty"`
	Program string `json:"program,omitempty"`
	// DataAt is the time of the data, unix seconds; 0 is not known.
	DataAt    int64     `json:"data_at,omitempty"`
	Vertices  int       `json:"vertices"`
	Edges     int       `json:"edges"`
	Shortcuts int       `json:"shortcuts"`
	Turns     TurnStats `json:"turns"`
	// The box around all roads, degrees times ten million.
	South int32 `json:"south"`
	West  int32 `json:"west"`
	North int32 `json:"north"`
	East  int32 `json:"east"`
}

func (g *graph) write(b *FileBuilder, from osm.Header, attribution string, stats Stats) {
	n := g.net
	meta := Meta{
		Attribution: attribution, Source: from.Source, Program: from.Program, DataAt: from.Replicated,
		Vertices: stats.Vertices, Edges: stats.Edges, Shortcuts: stats.Shortcuts, Turns: stats.Turns,
		South: 900_000_000, West: 1_800_000_000, North: -900_000_000, East: -1_800_000_000,
	}
	for _, p := range n.points {
		meta.South, meta.North = min(meta.South, p.Lat), max(meta.North, p.Lat)
		meta.West, meta.East = min(meta.West, p.Lon), max(meta.East, p.Lon)
	}
	text, err := json.Marshal(meta)
	if err != nil {
		panic(err) // numbers and texts always can be
	}
	b.Add(secMeta, text)
	b.Add(secNames, PackTexts(n.names))
	g.writeWays(b)
	g.writeEdges(b)
	g.writeArcs(b)
	writeHalf(b, "up", &g.hierarchy.Up)
	writeHalf(b, "down", &g.hierarchy.Down)
	keys, start, edges := n.grid()
	b.Add(secKey, PackNumbers(keys))
	b.Add(secStart, PackNumbers(start))
	b.Add(secEdge, PackNumbers(edges))
}

func (g *graph) writeWays(b *FileBuilder) {
	var class, flags []byte
	var name, ref []uint32
	for _, w := range g.net.ways {
		class, flags = append(class, byte(w.road.class)), append(flags, w.road.flags)
		name, ref = append(name, w.name), append(ref, w.ref)
	}
	b.Add(secClass, class)
	b.Add(secFlags, flags)
	b.Add(secName, PackNumbers(name))
	b.Add(secRef, PackNumbers(ref))
}

func (g *graph) writeEdges(b *FileBuilder) {
	n := g.net
	var way, point []uint32
	var along, against []hierarchy.Weight
	for _, e := range n.edges {
		way, point = append(way, e.way), append(point, e.first)
		along, against = append(along, e.along), append(against, e.against)
	}
	b.Add(secWay, PackNumbers(way))
	b.Add(secPoint, PackNumbers(append(point, uint32(len(n.points)))))
	b.Add(secPoints, PackPlaces(n.points))
	b.Add(secAlong, packWeights(along))
	b.Add(secAgainst, packWeights(against))
	b.Add(secEntry, PackNumbers(g.entry))
}

func (g *graph) writeArcs(b *FileBuilder) {
	start := make([]uint32, 2*len(g.net.edges)+1)
	for _, d := range g.edgeOf {
		start[d+1]++
	}
	for d := range len(start) - 1 {
		start[d+1] += start[d]
	}
	at := append([]uint32(nil), start...)
	tail, head, number := make([]uint32, len(g.arcs)), make([]uint32, len(g.arcs)), make([]uint32, len(g.arcs))
	for i, d := range g.edgeOf {
		number[i] = at[d]
		tail[at[d]], head[at[d]] = g.arcs[i].Tail, g.arcs[i].Head
		at[d]++
	}
	b.Add(secArc, PackNumbers(start))
	b.Add(secTail, PackNumbers(tail))
	b.Add(secHead, PackNumbers(head))
	// The hierarchy's arcs that are no shortcuts name these by their new numbers.
	for _, half := range []*hierarchy.Half{&g.hierarchy.Up, &g.hierarchy.Down} {
		for i := range half.First {
			if half.Second[i] == hierarchy.NoArc {
				half.First[i] = number[half.First[i]]
			}
		}
	}
}

func writeHalf(b *FileBuilder, name string, half *hierarchy.Half) {
	b.Add(name+".start", PackNumbers(half.Start))
	b.Add(name+".other", PackNumbers(half.Other))
	b.Add(name+".weight", packWeights(half.Weight))
	b.Add(name+".first", PackNumbers(half.First))
	b.Add(name+".second", PackNumbers(half.Second))
}

// PackNumbers is a list of u32 as a section holds it.
func PackNumbers(list []uint32) []byte {
	out := make([]byte, 0, 4*len(list))
	for _, v := range list {
		out = binary.LittleEndian.AppendUint32(out, v)
	}
	return out
}

// PackPlaces is a list of places as a section holds it.
func PackPlaces(list []LatLon) []byte {
	out := make([]byte, 0, 8*len(list))
	for _, p := range list {
		out = binary.LittleEndian.AppendUint32(out, uint32(p.Lat))
		out = binary.LittleEndian.AppendUint32(out, uint32(p.Lon))
	}
	return out
}

// PackTexts is a list of texts as a section holds it.
func PackTexts(list []string) []byte {
	out := binary.LittleEndian.AppendUint32(nil, uint32(len(list)))
	end := uint32(0)
	for i := range len(list) + 1 {
		out = binary.LittleEndian.AppendUint32(out, end)
		if i < len(list) {
			end += uint32(len(list[i]))
		}
	}
	for _, text := range list {
		out = append(out, text...)
	}
	return out
}

func packWeights(list []hierarchy.Weight) []byte {
	out := make([]byte, 0, 8*len(list))
	for _, w := range list {
		out = binary.LittleEndian.AppendUint64(out, uint64(w))
	}
	return out
}

// UnpackNumbers reads what PackNumbers wrote; a length that is no multiple of
// four is nil, false.
func UnpackNumbers(section []byte) ([]uint32, bool) {
	if len(section)%4 != 0 {
		return nil, false
	}
	list := make([]uint32, len(section)/4)
	for i := range list {
		list[i] = binary.LittleEndian.Uint32(section[4*i:])
	}
	return list, true
}

// UnpackPlaces reads what PackPlaces wrote.
func UnpackPlaces(section []byte) ([]LatLon, bool) {
	if len(section)%8 != 0 {
		return nil, false
	}
	list := make([]LatLon, len(section)/8)
	for i := range list {
		list[i] = LatLon{int32(binary.LittleEndian.Uint32(section[8*i:])), int32(binary.LittleEndian.Uint32(section[8*i+4:]))}
	}
	return list, true
}

// UnpackTexts reads what PackTexts wrote; the texts share one copy.
func UnpackTexts(section []byte) ([]string, bool) {
	if len(section) < 8 {
		return nil, false
	}
	count := uint64(binary.LittleEndian.Uint32(section))
	if count > uint64(len(section))/4 || uint64(len(section)) < 8+4*count {
		return nil, false
	}
	text := string(section[8+4*count:])
	list := make([]string, count)
	for i := range list {
		from, to := binary.LittleEndian.Uint32(section[4+4*i:]), binary.LittleEndian.Uint32(section[8+4*i:])
		if from > to || uint64(to) > uint64(len(text)) {
			return nil, false
		}
		list[i] = text[from:to]
	}
	return list, true
}

func unpackWeights(section []byte) ([]hierarchy.Weight, bool) {
	if len(section)%8 != 0 {
		return nil, false
	}
	list := make([]hierarchy.Weight, len(section)/8)
	for i := range list {
		list[i] = hierarchy.Weight(binary.LittleEndian.Uint64(section[8*i:]))
	}
	return list, true
}
