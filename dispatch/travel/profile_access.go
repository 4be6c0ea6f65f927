package travel

import (
	"strings"

	"ebbline/dispatch/travel/osm"
)

// access is who may drive somewhere.
type access uint8

const (
	unsaid  access = iota
	open           // anyone
	limited        // those who live there, are called there or have leave: customers do
	closed
)

// accessKeys from the most special to the most general: the first that says
// something counts. https://wiki.openstreetmap.org/wiki/Key:access
var accessKeys = []string{"motorcar", "motor_vehicle", "vehicle", "access"}

// carKeys are those of them that speak of motor vehicles alone.
var carKeys = accessKeys[:2]

var accessValues = map[string]access{
	"yes": open, "permissive": open, "designated": open, "official": open, "public": open, "discouraged": open, "unknown": open,
	"private": limited, "destination": limited, "customers": limited, "delivery": limited, "permit": limited, "residents": limited, "permit_holders": limited,
	"no": closed, "agricultural": closed, "forestry": closed, "emergency": closed, "psv": closed, "bus": closed,
	"military": closed, "use_sidepath": closed, "hov": closed, "taxi": closed, "dismount": closed, "hgv": closed,
}

// accessOf is what the first key that is present says. Values not known are
// passed over: the next key then counts. Of several values in one key the most
// open counts.
func accessOf(tags osm.Tags, keys []string) access {
	for _, key := range keys {
		value := tags.Get(key)
		if value == "" {
			continue
		}
		best := unsaid
		for part := range strings.SplitSeq(value, ";") {
			if a := accessValues[strings.TrimSpace(part)]; a != unsaid && (best == unsaid || a < best) {
				best = a
			}
		}
		if best != unsaid {
			return best
		}
	}
	return unsaid
}

// shut are the barriers that stop a car unless access says otherwise; any other
// (gates, cattle grids, toll booths, kerbs, borders) lets it through unless access
// says no. https://wiki.openstreetmap.org/wiki/Key:barrier
var shut = map[string]bool{
	"bollard": true, "block": true, "jersey_barrier": true, "log": true, "debris": true, "cycle_barrier": true, "motorcycle_barrier": true,
	"chain": true, "fence": true, "wall": true, "hedge": true, "ditch": true, "stile": true, "turnstile": true, "kissing_gate": true,
	"full-height_turnstile": true, "horse_stile": true, "bus_trap": true, "sump_buster": true, "planter": true, "barrier_board": true,
	"guard_rail": true, "hampshire_gate": false, "height_restrictor": false,
}

// stops says whether no car gets past a node.
func stops(tags osm.Tags) bool {
	barrier := tags.Get("barrier")
	if barrier == "" {
		return false
	}
	switch accessOf(tags, accessKeys) {
	case closed:
		return true
	case open, limited:
		return false
	}
	return shut[barrier]
}
