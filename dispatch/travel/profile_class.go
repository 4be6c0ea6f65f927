package travel

// Class is what kind of road a piece is, from the greatest down.
type Class uint8

// The classes of roads, as OpenStreetMap's key "highway" has them; links count
// with the road they lead to.
const (
	Motorway Class = iota
	Trunk
	Primary
	Secondary
	Tertiary
	Unclassified
	Residential
	Living // a street shared with people on foot
	Service
	Track
	Classes
)

// String is the class's name in OpenStreetMap.
func (c Class) String() string {
	return [Classes]string{"motorway", "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "living_street", "service", "track"}[c]
}

// kindOfRoad is what a value of "highway" means for cars.
type kindOfRoad struct {
	class Class
	link  bool
	// Speed where no limit is posted and the way says nothing else, metres an hour.
	speed int32
}

const mile = 1609344 // millimetres

func mph(n int64) int32 { return int32((n*mile + 500) / 1000) }

// roadKinds are the values of "highway" that cars may use unless the way says
// otherwise. The speeds are common practice in the western United States, no
// source: what is driven freely where nothing is posted.
var roadKinds = map[string]kindOfRoad{
	"motorway":       {Motorway, false, mph(65)},
	"motorway_link":  {Motorway, true, mph(40)},
	"trunk":          {Trunk, false, mph(55)},
	"trunk_link":     {Trunk, true, mph(35)},
	"primary":        {Primary, false, mph(45)},
	"primary_link":   {Primary, true, mph(30)},
	"secondary":      {Secondary, false, mph(40)},
	"secondary_link": {Secondary, true, mph(25)},
	"tertiary":       {Tertiary, false, mph(35)},
	"tertiary_link":  {Tertiary, true, mph(25)},
	"unclassified":   {Unclassified, false, mph(35)},
	"residential":    {Residential, false, mph(25)},
	"road":           {Unclassified, false, mph(25)},
	"living_street":  {Living, false, mph(10)},
	"service":        {Service, false, mph(15)},
	"track":          {Track, false, mph(12)},
}

// onlyIfSaid are values of "highway" that cars may use only where a tag for cars
// says so; they are then driven like a service road.
var onlyIfSaid = map[string]bool{"pedestrian": true, "footway": true, "path": true, "cycleway": true, "bridleway": true, "busway": true}

// slowSurfaces caps the speed by what the road is made of, metres an hour:
// common practice, no source.
var slowSurfaces = map[string]int32{
	"unpaved": mph(35), "compacted": mph(40), "gravel": mph(30), "fine_gravel": mph(35), "pebblestone": mph(25),
	"dirt": mph(25), "earth": mph(25), "ground": mph(25), "grass": mph(12), "mud": mph(10), "sand": mph(12), "rock": mph(10),
	"cobblestone": mph(20), "sett": mph(25), "unhewn_cobblestone": mph(15),
}

// slowServices are the kinds of service roads driven more slowly than others.
var slowServices = map[string]int32{"driveway": mph(10), "parking_aisle": mph(10), "drive-through": mph(5), "alley": mph(12)}
