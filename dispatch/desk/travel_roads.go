package desk

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/address"
	"ebbline/jobs"
)

// roadTable holds the drives of one road file between all places that anybody
// asked for; a new place adds a row and a column.
type roadTable struct {
	roads     *travel.Roads
	addresses *address.Index // nil: the file has none

	mu      sync.Mutex
	at      map[point]int
	points  []travel.Point
	seconds [][]int32 // without parking, periods and what was learnt; -1: no drive
	metres  [][]int32
}

// openRoads takes a road file's roads and addresses.
func openRoads(r *travel.Roads) (*roadTable, error) {
	t := &roadTable{roads: r}
	if section := r.File.Section(address.SectionName); section != nil {
		var err error
		if t.addresses, err = address.Open(section); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// name is what the road file says it is.
func (t *roadTable) name() string {
	return cmp.Or(t.roads.Meta.Source, t.roads.Meta.Attribution, "a road file")
}

// mostPlaces is how many places a table keeps: beyond it begins anew. Two
// thousand take 32 MB.
const mostPlaces = 2000

// reachMetres is how far from a road a place may lie and still be driven to by
// it: a yard, a drive that no map has. Farther off, as on an island or out in
// the desert, nothing is known of the way.
const reachMetres = 300

// tableFor is the road file that covers a branch: the smallest whose box holds
// its yard. nil: none does, or there is no yard yet.
func (d *Desk) tableFor(homes []jobs.Home) *roadTable {
	if len(homes) == 0 {
		return nil
	}
	lat, lon := homes[0].LatE7, homes[0].LonE7
	var best *roadTable
	area := 0.0
	for _, t := range d.roads {
		m := t.roads.Meta
		if lat < int64(m.South) || lat > int64(m.North) || lon < int64(m.West) || lon > int64(m.East) {
			continue
		}
		if a := float64(m.North-m.South) * float64(m.East-m.West); best == nil || a < area {
			best, area = t, a
		}
	}
	return best
}

// between answers the drives between places, one of each pair of places at
// which it is asked: row from, column to; -1 where no road leads. off says which
// places no road reaches.
func (t *roadTable) between(places []point) (seconds, metres [][]int64, off []bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.add(places)
	seconds, metres, off = make([][]int64, len(places)), make([][]int64, len(places)), make([]bool, len(places))
	at := make([]int, len(places))
	for i, p := range places {
		at[i] = t.at[p]
		off[i] = !t.points[at[i]].OnRoad()
	}
	for i := range places {
		seconds[i], metres[i] = make([]int64, len(places)), make([]int64, len(places))
		for k := range places {
			seconds[i][k], metres[i][k] = int64(t.seconds[at[i]][at[k]]), int64(t.metres[at[i]][at[k]])
		}
	}
	return seconds, metres, off
}

// add puts in the places that are not there yet.
func (t *roadTable) add(places []point) {
	fresh := t.unknown(places)
	if len(fresh) == 0 {
		return
	}
	if len(t.points)+len(fresh) > mostPlaces {
		t.at, t.points, t.seconds, t.metres = nil, nil, nil, nil
		fresh = t.unknown(places)
	}
	if t.at == nil {
		t.at = map[point]int{}
	}
	before := len(t.points)
	for _, p := range fresh {
		t.at[p] = len(t.points)
		snapped, off, ok := t.roads.Snap(int32(p.latE7), int32(p.lonE7))
		if !ok || off > reachMetres {
			snapped = travel.Point{}
		}
		t.points = append(t.points, snapped)
	}
	// The context is never over, so neither table can fail.
	rows, _ := t.roads.Table(context.Background(), t.points[before:], t.points)
	columns, _ := t.roads.Table(context.Background(), t.points[:before], t.points[before:])
	for i := range before {
		t.seconds[i] = append(t.seconds[i], small(columns.Seconds[i*columns.Columns:(i+1)*columns.Columns])...)
		t.metres[i] = append(t.metres[i], small(columns.Metres[i*columns.Columns:(i+1)*columns.Columns])...)
	}
	for i := range fresh {
		t.seconds = append(t.seconds, small(rows.Seconds[i*rows.Columns:(i+1)*rows.Columns]))
		t.metres = append(t.metres, small(rows.Metres[i*rows.Columns:(i+1)*rows.Columns]))
	}
}

// unknown lists the places that the table has not, each once.
func (t *roadTable) unknown(places []point) []point {
	var fresh []point
	for _, p := range places {
		if _, known := t.at[p]; !known && !slices.Contains(fresh, p) {
			fresh = append(fresh, p)
		}
	}
	return fresh
}

func small(list []int64) []int32 {
	out := make([]int32, len(list))
	for i, n := range list {
		out[i] = int32(n)
	}
	return out
}
