package travel

import (
	"encoding/json"
	"fmt"

	"ebbline/dispatch/travel/hierarchy"
)

// Roads answers from one road file. It does not change, and any number of
// goroutines may ask it at once.
type Roads struct {
	File *File
	Meta Meta

	names                   []string
	class, flags            []byte
	name, ref               []uint32 // by way
	way, point              []uint32 // by edge
	points                  []LatLon
	along, against          []hierarchy.Weight
	entry, arc              []uint32 // by directed edge
	tail, head              []uint32 // by arc
	gridKey, gridAt, gridOf []uint32
	hierarchy               hierarchy.Hierarchy
}

// Load takes a road file's bytes, which must not change afterwards. It errs as
// ReadFile does.
func Load(data []byte) (*Roads, error) {
	f, err := ReadFile(data)
	if err != nil {
		return nil, err
	}
	return FromFile(f)
}

// FromFile takes the sections of roads out of a file; it errs with ErrDamaged
// where they don't fit each other.
func FromFile(f *File) (*Roads, error) {
	r := &Roads{File: f}
	if err := json.Unmarshal(f.Section(secMeta), &r.Meta); err != nil {
		return nil, fmt.Errorf("%w: section %q: %w", ErrDamaged, secMeta, err)
	}
	r.class, r.flags = f.Section(secClass), f.Section(secFlags)
	l := loader{file: f}
	r.names = load(&l, secNames, UnpackTexts)
	r.points = load(&l, secPoints, UnpackPlaces)
	r.along, r.against = load(&l, secAlong, unpackWeights), load(&l, secAgainst, unpackWeights)
	for _, section := range []struct {
		name string
		list *[]uint32
	}{
		{secName, &r.name}, {secRef, &r.ref}, {secWay, &r.way}, {secPoint, &r.point}, {secEntry, &r.entry}, {secArc, &r.arc},
		{secTail, &r.tail}, {secHead, &r.head}, {secKey, &r.gridKey}, {secStart, &r.gridAt}, {secEdge, &r.gridOf},
	} {
		*section.list = load(&l, section.name, UnpackNumbers)
	}
	l.half("up", &r.hierarchy.Up)
	l.half("down", &r.hierarchy.Down)
	if l.err != nil {
		return nil, l.err
	}
	r.hierarchy.Nodes, r.hierarchy.Shortcuts = len(r.hierarchy.Up.Start)-1, r.Meta.Shortcuts
	if err := r.check(); err != nil {
		return nil, err
	}
	return r, nil
}

// loader unpacks sections and keeps the first error.
type loader struct {
	file *File
	err  error
}

func load[T any](l *loader, name string, unpack func([]byte) ([]T, bool)) []T {
	section := l.file.Section(name)
	list, ok := unpack(section)
	if l.err == nil && (!ok || section == nil) {
		l.err = fmt.Errorf("%w: section %q is missing or of odd length (%d bytes)", ErrDamaged, name, len(section))
	}
	return list
}

func (l *loader) half(name string, half *hierarchy.Half) {
	half.Start = load(l, name+".start", UnpackNumbers)
	half.Other = load(l, name+".other", UnpackNumbers)
	half.Weight = load(l, name+".weight", unpackWeights)
	half.First = load(l, name+".first", UnpackNumbers)
	half.Second = load(l, name+".second", UnpackNumbers)
}

// Edge is a piece of road between crossings, or to its end.
type Edge struct {
	Class Class
	Flags uint8 // Flag...
	// Name is the street's, Ref the road's number; "" where it has none.
	Name, Ref string
	// Way is the number of the way that it is a piece of.
	Way uint32
	// Line must not be changed.
	Line []LatLon
	// Routable is false for roads that can't be reached or left.
	Routable bool
}

// Edges is how many pieces of road there are, those that no route can use too.
func (r *Roads) Edges() int { return len(r.way) }

// Edge is one of them.
func (r *Roads) Edge(e int) Edge {
	w := r.way[e]
	return Edge{
		Class: Class(r.class[w]), Flags: r.flags[w], Name: r.names[r.name[w]], Ref: r.names[r.ref[w]],
		Way: w, Line: r.line(uint32(e)), Routable: r.entry[2*e] != noNode || r.entry[2*e+1] != noNode,
	}
}

func (r *Roads) line(e uint32) []LatLon { return r.points[r.point[e]:r.point[e+1]:r.point[e+1]] }

// weight is a directed edge's.
func (r *Roads) weight(d uint32) hierarchy.Weight {
	if d&1 == 0 {
		return r.along[d/2]
	}
	return r.against[d/2]
}
