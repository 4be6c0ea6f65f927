// Package osm reads and writes OpenStreetMap extracts in the PBF format, as
// https://wiki.openstreetmap.org/wiki/PBF_Format describes it.
//
// It is written by hand because files come from outside: the common library
// decodes in goroutines of its own and panics there, past any recovery, on
// nodes that aren't packed densely and on string numbers out of range. Here a
// damaged file is an error that says where, coordinates stay integers, and no
// more than one block is in memory at a time.
package osm

// Tag is a key with its value.
type Tag struct{ Key, Value string }

// Tags are an element's tags in the order of the file.
type Tags []Tag

// Get is the key's value, or "" where the key is absent.
func (tags Tags) Get(key string) string {
	for i := range tags {
		if tags[i].Key == key {
			return tags[i].Value
		}
	}
	return ""
}

// Node is a point. Coordinates are degrees times ten million.
type Node struct {
	ID       int64
	Lat, Lon int32
	Tags     Tags
}

// Way is a line through nodes, or an area when its first node is its last.
type Way struct {
	ID   int64
	Refs []int64 // ids of nodes
	Tags Tags
}

// Member is an element that plays a role in a relation.
type Member struct {
	Kind Kind
	Ref  int64
	Role string
}

// Relation joins elements.
type Relation struct {
	ID      int64
	Members []Member
	Tags    Tags
}

// Kind is a kind of element, or several of them as a set.
type Kind uint8

// The kinds of elements.
const (
	Nodes Kind = 1 << iota
	Ways
	Relations
)

// Header is what an extract says of itself.
type Header struct {
	Program string // that wrote it
	Source  string
	// Time of the data, unix seconds; 0 where it isn't said.
	Replicated int64
}
