package travel

import "ebbline/dispatch/travel/osm"

// Flags of a road.
const (
	FlagLink uint8 = 1 << iota // a ramp or slip road
	FlagLimited
	FlagRoundabout
	FlagTunnel
	FlagBridge
	FlagOneway
)

// road is what a way's tags mean for cars.
type road struct {
	class Class
	flags uint8
	// Speed along the way and against it, metres an hour; 0 where it may not be
	// driven so.
	forward, backward int32
}

// limitedSpeed caps roads that not everyone may use, in metres an hour, so that
// ways through behind gates are no gain: common practice, no source.
var limitedSpeed = mph(15)

// roadOf answers false for ways that no car may use, and for ferries, areas and
// roads whose direction changes by the hour.
func roadOf(tags osm.Tags) (road, bool) {
	kind, known := roadKinds[tags.Get("highway")]
	if !known {
		if !onlyIfSaid[tags.Get("highway")] {
			return road{}, false
		}
		if a := accessOf(tags, carKeys); a != open && a != limited {
			return road{}, false
		}
		kind = roadKinds["service"]
	}
	if tags.Get("area") == "yes" || tags.Get("service") == "emergency_access" && accessOf(tags, carKeys) != open {
		return road{}, false
	}
	who := accessOf(tags, accessKeys)
	if who == closed {
		return road{}, false
	}
	r := road{class: kind.class}
	r.setFlags(tags, kind, who)
	along, against := directions(tags, kind)
	if along {
		r.forward = speedOf(tags, kind, who, "maxspeed:forward")
	}
	if against {
		r.backward = speedOf(tags, kind, who, "maxspeed:backward")
	}
	if along != against {
		r.flags |= FlagOneway
	}
	return r, along || against
}

func (r *road) setFlags(tags osm.Tags, kind kindOfRoad, who access) {
	for _, f := range []struct {
		flag uint8
		set  bool
	}{
		{FlagLink, kind.link},
		{FlagLimited, who == limited},
		{FlagRoundabout, roundabout(tags)},
		{FlagTunnel, said(tags.Get("tunnel"))},
		{FlagBridge, said(tags.Get("bridge"))},
	} {
		if f.set {
			r.flags |= f.flag
		}
	}
}

func said(value string) bool { return value != "" && value != "no" }

func roundabout(tags osm.Tags) bool {
	return tags.Get("junction") == "roundabout" || tags.Get("junction") == "circular"
}

// onewayKeys from the most special to the most general.
var onewayKeys = []string{"oneway:motorcar", "oneway:motor_vehicle", "oneway:vehicle", "oneway"}

// directions says which ways along a road may be driven. Roundabouts, motorways
// and their links are one-way unless they say otherwise.
func directions(tags osm.Tags, kind kindOfRoad) (along, against bool) {
	for _, key := range onewayKeys {
		switch tags.Get(key) {
		case "yes", "true", "1":
			return true, false
		case "-1", "reverse":
			return false, true
		case "no", "false", "0", "alternating": // taking turns: both, after a wait
			return true, true
		case "reversible": // by the hour, which isn't known here
			return false, false
		}
	}
	return true, !roundabout(tags) && kind.class != Motorway
}

// speedOf is the speed in one direction, metres an hour: the posted limit, for
// this direction first, else what the kind of road suggests; then capped by
// surface and access. Limits that hold only at times are not looked at.
func speedOf(tags osm.Tags, kind kindOfRoad, who access, direction string) int32 {
	speed := kind.speed
	if slow := slowServices[tags.Get("service")]; slow > 0 && kind.class == Service {
		speed = slow
	}
	if posted := parseSpeed(tags.Get(direction)); posted > 0 {
		speed = posted
	} else if posted := parseSpeed(tags.Get("maxspeed")); posted > 0 {
		speed = posted
	}
	if slow := slowSurfaces[tags.Get("surface")]; slow > 0 {
		speed = min(speed, slow)
	}
	if who == limited {
		speed = min(speed, limitedSpeed)
	}
	return speed
}
