package tile

import "ebbline/dispatch/travel/osm"

// class is a kind of road, stream, water or place. Its number stands in files
// and never changes.
type class uint8

const (
	motorway class = 1 + iota
	trunk
	primary
	secondary
	tertiary
	unclassified
	residential
	service
	track
)

const (
	river class = 20 + iota
	canal
	stream
	drain
)

const (
	lake class = 40 + iota
	riverbed
	basin
	pond
)

const (
	city class = 60 + iota
	town
	village
	hamlet
	island
	suburb
	locality
)

// What a feature may be beside its class.
const (
	oneway uint8 = 1 << iota
	link
	private
	dry // water that isn't there all the year
)

// layer of the tile that a class belongs to.
type layer uint8

const (
	waterLayer layer = iota
	streamLayer
	roadLayer
	placeLayer
	layers
)

var layerNames = [layers]string{"water", "streams", "roads", "places"}

// said is what is told of a class.
type said struct {
	name  string
	layer layer
	from  int // first zoom that shows it
}

var classes = [...]said{
	motorway: {"motorway", roadLayer, 4}, trunk: {"trunk", roadLayer, 6}, primary: {"primary", roadLayer, 8}, secondary: {"secondary", roadLayer, 9},
	tertiary: {"tertiary", roadLayer, 10}, unclassified: {"unclassified", roadLayer, 11}, residential: {"residential", roadLayer, 12},
	service: {"service", roadLayer, 14}, track: {"track", roadLayer, 13},
	river: {"river", streamLayer, 9}, canal: {"canal", streamLayer, 11}, stream: {"stream", streamLayer, 13}, drain: {"drain", streamLayer, 13},
	lake: {"lake", waterLayer, 0}, riverbed: {"river", waterLayer, 0}, basin: {"basin", waterLayer, 0}, pond: {"pond", waterLayer, 0},
	city: {"city", placeLayer, 4}, town: {"town", placeLayer, 7}, village: {"village", placeLayer, 9}, hamlet: {"hamlet", placeLayer, 11},
	island: {"island", placeLayer, 11}, suburb: {"suburb", placeLayer, 12}, locality: {"locality", placeLayer, 13},
}

// known says whether the number names a class.
func (c class) known() bool { return int(c) < len(classes) && classes[c].name != "" }

// from is the first zoom that shows a feature: ramps come later than the roads
// they join.
func from(c class, flags uint8) int {
	z := classes[c].from
	if flags&link != 0 {
		z = min(max(z+3, 11), 13)
	}
	return z
}

var roadClasses = map[string]class{
	"motorway": motorway, "trunk": trunk, "primary": primary, "secondary": secondary, "tertiary": tertiary, "unclassified": unclassified,
	"residential": residential, "living_street": residential, "service": service, "track": track, "road": unclassified,
}

var linkClasses = map[string]class{
	"motorway_link": motorway, "trunk_link": trunk, "primary_link": primary, "secondary_link": secondary, "tertiary_link": tertiary,
}

var streamClasses = map[string]class{"river": river, "canal": canal, "stream": stream, "wash": stream, "drain": drain, "ditch": drain}

var waterClasses = map[string]class{
	"": lake, "lake": lake, "reservoir": lake, "lagoon": lake, "river": riverbed, "canal": riverbed, "stream": riverbed, "wash": riverbed,
	"basin": basin, "wastewater": basin, "pond": pond, "moat": pond,
}

var placeClasses = map[string]class{
	"city": city, "town": town, "village": village, "hamlet": hamlet, "island": island, "islet": island, "suburb": suburb,
	"quarter": suburb, "neighbourhood": suburb, "locality": locality, "isolated_dwelling": locality,
}

// wayOf says what a way's tags make of it. Zero: nothing that a map shows.
func wayOf(tags osm.Tags) (c class, flags uint8) {
	if tags.Get("area") != "yes" {
		c = roadClasses[tags.Get("highway")]
		if ramp := linkClasses[tags.Get("highway")]; ramp != 0 {
			c, flags = ramp, link
		}
	}
	if c != 0 {
		// The wiki's rules of what goes one way without saying so.
		round := tags.Get("junction") == "roundabout" || tags.Get("junction") == "circular"
		switch tags.Get("oneway") {
		case "yes", "true", "1", "-1", "reverse":
			flags |= oneway
		case "":
			if c == motorway || round {
				flags |= oneway
			}
		}
		if a := tags.Get("access"); a == "private" || a == "no" {
			flags |= private
		}
		return c, flags
	}
	if c = areaOf(tags); c == 0 {
		c = streamClasses[tags.Get("waterway")]
	}
	if c != 0 && tags.Get("intermittent") == "yes" {
		flags |= dry
	}
	return c, flags
}

// areaOf is the class of an area's tags that is water; else zero.
func areaOf(tags osm.Tags) class {
	kind := tags.Get("water")
	switch {
	case tags.Get("natural") == "water":
	case tags.Get("waterway") == "riverbank":
		kind = "river"
	case tags.Get("landuse") == "reservoir", tags.Get("landuse") == "basin":
		kind = tags.Get("landuse")
	default:
		return 0
	}
	if c := waterClasses[kind]; c != 0 {
		return c
	}
	return lake
}
