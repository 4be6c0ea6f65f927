package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"

	"ebbline/dispatch/travel"
)

// inside is what the command line leaves of the extract; nil is everything.
func (cmd *roadsBuildCommand) inside() (func(travel.LatLon) bool, error) {
	switch {
	case cmd.Box != "" && cmd.Within != "":
		return nil, wrongUsef("--box and --within can't both be given")
	case cmd.Box != "":
		box, err := parseBox(cmd.Box)
		return box.Inside, err
	case cmd.Within != "":
		text, err := os.ReadFile(cmd.Within)
		if err != nil {
			return nil, err
		}
		rings, err := geoJSONRings(text)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", cmd.Within, err)
		}
		return rings.Inside, nil
	}
	return nil, nil
}

func parseBox(text string) (travel.Box, error) {
	parts := strings.Split(text, ",")
	var v [4]int32
	if len(parts) != 4 {
		return travel.Box{}, wrongUsef("--box=%s: want four numbers of degrees: south,west,north,east", text)
	}
	for i, part := range parts {
		degrees, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if most := []float64{90, 180}[i%2]; err != nil || !(math.Abs(degrees) <= most) {
			return travel.Box{}, wrongUsef("--box=%s: %q is no number of degrees up to %v", text, part, most)
		}
		v[i] = int32(math.Round(degrees * 1e7))
	}
	box := travel.Box{South: v[0], West: v[1], North: v[2], East: v[3]}
	if box.South >= box.North || box.West >= box.East {
		return box, wrongUsef("--box=%s is empty: want south below north, west below east", text)
	}
	return box, nil
}

// geoJSON is what of RFC 7946 matters here.
type geoJSON struct {
	Type        string          `json:"type"`
	Features    []geoJSON       `json:"features"`
	Geometries  []geoJSON       `json:"geometries"`
	Geometry    *geoJSON        `json:"geometry"`
	Coordinates json.RawMessage `json:"coordinates"`
}

// geoJSONRings takes all polygons out of a GeoJSON text (RFC 7946). Polygons must
// not overlap, as it asks of each MultiPolygon.
func geoJSONRings(text []byte) (travel.Rings, error) {
	var g geoJSON
	if err := json.Unmarshal(text, &g); err != nil {
		return nil, fmt.Errorf("no GeoJSON: %w", err)
	}
	var rings travel.Rings
	if err := g.collect(&rings); err != nil {
		return nil, err
	}
	if len(rings) == 0 {
		return nil, fmt.Errorf("it has no polygon (type %q)", g.Type)
	}
	return rings, nil
}

func (g *geoJSON) collect(rings *travel.Rings) error {
	var polygons [][][][]float64
	switch g.Type {
	case "Polygon":
		polygons = make([][][][]float64, 1)
		if err := json.Unmarshal(g.Coordinates, &polygons[0]); err != nil {
			return fmt.Errorf("coordinates of a Polygon: %w", err)
		}
	case "MultiPolygon":
		if err := json.Unmarshal(g.Coordinates, &polygons); err != nil {
			return fmt.Errorf("coordinates of a MultiPolygon: %w", err)
		}
	}
	for _, polygon := range polygons {
		for _, ring := range polygon {
			var line []travel.LatLon
			for _, position := range ring {
				if len(position) < 2 || !(math.Abs(position[0]) <= 180) || !(math.Abs(position[1]) <= 90) {
					return fmt.Errorf("position %v: want longitude and latitude in degrees", position)
				}
				line = append(line, travel.LatLon{Lat: int32(math.Round(position[1] * 1e7)), Lon: int32(math.Round(position[0] * 1e7))})
			}
			*rings = append(*rings, line)
		}
	}
	children := append(g.Features, g.Geometries...)
	if g.Geometry != nil {
		children = append(children, *g.Geometry)
	}
	for i := range children {
		if err := children[i].collect(rings); err != nil {
			return err
		}
	}
	return nil
}
