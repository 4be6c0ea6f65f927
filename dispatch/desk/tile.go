package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"sync"

	"ebbline/dispatch/travel/tile"
	"ebbline/jobs"
)

// WithoutRoads says how to add roads where none are loaded.
const WithoutRoads = "No roads are loaded, so drives are straight lines. Fetch a public road extract of your region (a file .osm.pbf), " +
	"run “ebbline roads build REGION.osm.pbf -o REGION.roads”, and start the program with EBBLINE_ROADS=REGION.roads, or put the file into the folder roads of the data folder."

// TileSet says what the map's tiles reach over.
type TileSet struct {
	Version                  string
	Attribution              string // shown with every map
	South, West, North, East int32  // degrees times ten million
	MaxZoom                  int
}

// Tile is one tile of the map, packed by gzip. Without bytes it is empty.
type Tile struct {
	Packed []byte
	Tag    string // changes with the bytes
}

// roadMap is what the desk draws tiles of one road file from.
type roadMap struct {
	*tile.Map
	version string

	mu    sync.Mutex
	kept  map[[3]int]Tile
	order [][3]int // oldest first
	bytes int
}

// mostTileBytes bounds the tiles of a road file that are kept in memory.
const mostTileBytes = 32 << 20

// openMaps takes the maps out of the road files; nil for one that has none.
func (d *Desk) openMaps() error {
	for _, t := range d.roads {
		section := t.roads.File.Section(tile.SectionName)
		if section == nil {
			d.maps = append(d.maps, nil)
			continue
		}
		m, err := tile.Open(section)
		if err != nil {
			return fmt.Errorf("a road file's map: %w", err)
		}
		d.maps = append(d.maps, &roadMap{Map: m, version: tagOf(section), kept: map[[3]int]Tile{}})
	}
	return nil
}

// mapFor is the map of the road file that a branch drives by; nil for none.
func (d *Desk) mapFor(homes []jobs.Home) *roadMap {
	if t := d.tableFor(homes); t != nil {
		return d.maps[slices.Index(d.roads, t)]
	}
	return nil
}

func (m *roadMap) set() *TileSet {
	if m == nil {
		return nil
	}
	return &TileSet{Version: m.version, Attribution: m.Attribution, South: m.South, West: m.West, North: m.North, East: m.East, MaxZoom: tile.MaxZoom}
}

func tagOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:8])
}

// TileSets are those of all road files. CodeNotFound where no roads are loaded,
// which says how to add them.
func (d *Desk) TileSets() ([]TileSet, error) {
	var out []TileSet
	for _, m := range d.maps {
		if m != nil {
			out = append(out, *m.set())
		}
	}
	if len(out) == 0 {
		return nil, jobs.Errorf(jobs.CodeNotFound, "%s", WithoutRoads)
	}
	return out, nil
}

// Tile draws one tile of a tile set; without a version, of the first. CodeNotFound
// where no such roads are loaded, CodeInvalid for numbers that no tile has.
func (d *Desk) Tile(version string, z, x, y int) (Tile, error) {
	i := slices.IndexFunc(d.maps, func(m *roadMap) bool { return m != nil && (version == "" || m.version == version) })
	if i < 0 {
		if _, err := d.TileSets(); err != nil {
			return Tile{}, err
		}
		return Tile{}, jobs.Errorf(jobs.CodeNotFound, "There is no such map any more; the roads were built anew")
	}
	m := d.maps[i]
	at := [3]int{z, x, y}
	m.mu.Lock()
	t, ok := m.kept[at]
	m.mu.Unlock()
	if ok {
		return t, nil
	}
	packed, err := m.Map.Tile(z, x, y)
	if errors.Is(err, tile.ErrNoTile) {
		return Tile{}, wrongTile(z, x, y)
	}
	if err != nil {
		return Tile{}, err
	}
	t = Tile{Packed: packed, Tag: tagOf(packed)}
	m.keep(at, t)
	return t, nil
}

// wrongTile names the number that no tile has.
func wrongTile(z, x, y int) error {
	var f jobs.Faults
	f.Check(z >= 0 && z <= tile.MaxZoom, "z", itoa(z), "a zoom from 0 to "+itoa(tile.MaxZoom))
	if len(f) == 0 {
		most := 1<<z - 1
		f.Check(x >= 0 && x <= most, "x", itoa(x), "a column from 0 to "+itoa(most)+" at zoom "+itoa(z))
		f.Check(y >= 0 && y <= most, "y", itoa(y), "a row from 0 to "+itoa(most)+" at zoom "+itoa(z))
	}
	return f.Err()
}

// keep keeps a tile, and forgets the oldest ones where there are too many.
func (m *roadMap) keep(at [3]int, t Tile) {
	const beside = 200 // bytes that an entry takes besides the tile's
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, ok := m.kept[at]; ok {
		return
	}
	m.kept[at], m.order = t, append(m.order, at)
	m.bytes += len(t.Packed) + beside
	for m.bytes > mostTileBytes && len(m.order) > 1 {
		m.bytes -= len(m.kept[m.order[0]].Packed) + beside
		delete(m.kept, m.order[0])
		m.order = m.order[1:]
	}
}
