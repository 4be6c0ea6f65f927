package town

import "math/rand/v2"

// quarter is a part of the town with a postcode of its own. Its given streets
// are there in every town, whatever the seed: by shape, those that run through,
// those that turn round, and dead ends.
type quarter struct {
	name, postcode      string
	through, loop, dead []string
	gated               string // a private lane; empty: none
}

var quarters = map[string]*quarter{
	"west": {name: "Saltbush Flats", postcode: "00861", through: []string{"Saltbush Drive", "Ocotillo Lane", "Brittle Brush Way"}, dead: []string{"Javelina Court"}},
	"south": {name: "Lantern Bluff", postcode: "00862", through: []string{"Dry Lantern Road", "Cholla Bend"}, loop: []string{"Quail Run Loop"},
		dead: []string{"Mesquite Pod Place"}},
	"north": {name: "Upper Wells", postcode: "00863", through: []string{"Ironwood Spur", "Creosote Avenue"}, loop: []string{"Smoketree Circle"}, gated: "Terrace Lane"},
	"east": {name: "Bajada", postcode: "00864", through: []string{"Bajada Drive", "Desert Lily Lane", "Roadrunner Row"}, dead: []string{"Kit Fox Court"},
		gated: "Agave Gate Lane"},
	"middle": {name: "Old Wells", postcode: "00860"},
}

// Names of arterials, west to east and south to north.
var (
	northSouth = []string{"Far Tank Road", "Galleta Avenue", "Palo Seco Avenue", "Burnt Adobe Road", "Cinder Avenue", "Wells Boulevard", "Tinaja Avenue",
		"Chuparosa Avenue", "Caliche Avenue", "Sandgrouse Road", "Ridge End Road"}
	eastWest = []string{"Low Mesa Road", "Tanager Street", "Thornscrub Street", "Main Wells Street", "", "Cloudbreak Street", "Upper Bench Road"}
)

// What other streets are called is put together from these.
var (
	nameFirst = []string{"Amber", "Ashen", "Bright", "Broken", "Copper", "Dusty", "Early", "Faded", "Flint", "Golden", "Gravel", "Hidden", "High", "Hollow",
		"Lone", "Low", "Mild", "Painted", "Pale", "Quiet", "Red", "Rough", "Rusty", "Shady", "Silver", "Sleepy", "Still", "Sunlit", "Tall", "Warm", "White", "Windy"}
	nameSecond = []string{"Agave", "Arroyo", "Barrel", "Basin", "Boulder", "Canteen", "Coyote", "Dune", "Ember", "Feather", "Gecko", "Gulch", "Hare", "Heron",
		"Juniper", "Lizard", "Mesa", "Mirage", "Moth", "Needle", "Owl", "Pebble", "Quail", "Raven", "Sage", "Spring", "Swift", "Thistle", "Tortoise", "Wren"}
	throughKinds = []string{"Drive", "Street", "Road", "Way", "Avenue"}
	loopKinds    = []string{"Loop", "Circle", "Way"}
	deadKinds    = []string{"Court", "Place", "Lane", "Trail"}
)

// namer gives every street a name that no other has.
type namer struct {
	rng  *rand.Rand
	used map[string]bool
	left map[string][]string // given names not used yet, by quarter and shape
}

func newNamer(rng *rand.Rand) *namer {
	n := &namer{rng: rng, used: map[string]bool{}, left: map[string][]string{}}
	for id, q := range quarters {
		n.left[id+" through"], n.left[id+" loop"], n.left[id+" dead"] = q.through, q.loop, q.dead
	}
	return n
}

// next names a street of a quarter and a shape: first the given names.
func (n *namer) next(quarter, shape string) (name string, given bool) {
	key := quarter + " " + shape
	if list := n.left[key]; len(list) > 0 {
		n.left[key] = list[1:]
		return list[0], true
	}
	kinds := map[string][]string{"through": throughKinds, "loop": loopKinds, "dead": deadKinds}[shape]
	for {
		base := nameFirst[n.rng.IntN(len(nameFirst))] + " " + nameSecond[n.rng.IntN(len(nameSecond))]
		kind := kinds[n.rng.IntN(len(kinds))]
		if !n.used[base] {
			n.used[base] = true
			return base + " " + kind, false
		}
	}
}
