// Package travel knows roads: it makes one compact file of a public road extract
// and answers from it where a place meets the road, how long a drive takes and
// how far it is, and along which roads it goes.
//
// It computes and does nothing else: files come in as bytes and leave through a
// writer that the caller gives.
//
// Units: coordinates are degrees times ten million (int32, as OpenStreetMap has
// them), times whole milliseconds and distances whole centimetres inside, whole
// seconds and metres, rounded up, in what the desk is given.
//
// The order of work: package osm reads the extract; ways become a graph of car
// roads (profile_*.go, graph_*.go), turn restrictions split its vertices
// (turns.go), package hierarchy makes it quick to ask, and file.go keeps it.
package travel

// LatLon is a place on the globe, each in degrees times ten million.
type LatLon struct{ Lat, Lon int32 }
