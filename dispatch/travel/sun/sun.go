// Package sun tells when the sun rises and sets, and when dusk is over, by the
// formulas of the Solar Calculator of NOAA's Global Monitoring Laboratory (its
// published "calculation details" and spreadsheet), which follow Jean Meeus,
// Astronomical Algorithms. Within 72 degrees of the equator they are right to a
// minute, as NOAA says; weather, height and mountains are not in them.
package sun

import "math"

// State says what the sun does on a day where it does not rise and set.
type State string

// The states.
const (
	Rises     State = "rises"      // and sets
	StaysUp   State = "stays_up"   // it does not sink that low
	StaysDown State = "stays_down" // it does not come that high
)

// Day is the sun's at one place: instants in unix seconds, UTC. Those of the
// sun mean nothing unless Sun is Rises, those of twilight unless Twilight is.
type Day struct {
	Sun      State
	Rise     int64 // the upper edge on the horizon, with the usual refraction: 90.833 degrees from overhead
	Set      int64
	Twilight State
	Dawn     int64 // civil: the sun's middle 6 degrees below the horizon
	Dusk     int64
	Noon     int64 // the sun is highest
}

// How far from overhead the sun's middle stands, in degrees.
const (
	atHorizon = 90.833
	atCivil   = 96
)

// On answers a civil day's at a place. The day is the place's own: the one in
// whose middle the sun is highest there. Coordinates are degrees times ten
// million, east and north positive.
func On(year, month, day int, latE7, lonE7 int64) Day {
	lat, lon := float64(latE7)/1e7, float64(lonE7)/1e7
	midnight := float64(daysFrom1970(year, month, day)) * 86_400
	noon := midnight + 43_200 - lon*240
	for range 3 { // the sun moves on while it is waited for
		_, equation := position(noon)
		noon = midnight + 43_200 - lon*240 - equation*60
	}
	d := Day{Noon: int64(math.Round(noon))}
	d.Sun, d.Rise, d.Set = crossings(noon, lat, atHorizon)
	d.Twilight, d.Dawn, d.Dusk = crossings(noon, lat, atCivil)
	return d
}

// crossings answers when the sun passes a distance from overhead, before and
// after a noon.
func crossings(noon, lat, zenith float64) (State, int64, int64) {
	var at [2]int64
	for i, side := range []float64{-1, 1} {
		t := noon
		for range 5 {
			declination, equation := position(t)
			cos := (math.Cos(rad(zenith)) - math.Sin(rad(lat))*math.Sin(rad(declination))) / (math.Cos(rad(lat)) * math.Cos(rad(declination)))
			switch {
			case cos > 1:
				return StaysDown, 0, 0
			case cos < -1:
				return StaysUp, 0, 0
			case math.IsNaN(cos): // at a pole
				if (declination > 90-zenith) == (lat > 0) {
					return StaysUp, 0, 0
				}
				return StaysDown, 0, 0
			}
			// Noon itself moves by the equation of time between here and there.
			_, atNoon := position(noon)
			t = noon + (atNoon-equation)*60 + side*deg(math.Acos(cos))*240
		}
		at[i] = int64(math.Round(t))
	}
	return Rises, at[0], at[1]
}

// position answers the sun's declination in degrees and the equation of time in
// minutes, at an instant in unix seconds.
func position(unix float64) (declination, equation float64) {
	jc := (unix/86_400 + 2_440_587.5 - 2_451_545) / 36_525 // Julian centuries from 2000
	meanLon := math.Mod(280.46646+jc*(36_000.76983+jc*0.0003032), 360)
	anomaly := rad(357.52911 + jc*(35_999.05029-0.0001537*jc))
	eccentricity := 0.016708634 - jc*(0.000042037+0.0000001267*jc)
	centre := math.Sin(anomaly)*(1.914602-jc*(0.004817+0.000014*jc)) + math.Sin(2*anomaly)*(0.019993-0.000101*jc) + math.Sin(3*anomaly)*0.000289
	node := rad(125.04 - 1934.136*jc)
	apparent := rad(meanLon + centre - 0.00569 - 0.00478*math.Sin(node))
	obliquity := rad(23 + (26+(21.448-jc*(46.815+jc*(0.00059-jc*0.001813)))/60)/60 + 0.00256*math.Cos(node))
	declination = deg(math.Asin(math.Sin(obliquity) * math.Sin(apparent)))
	y, l := math.Pow(math.Tan(obliquity/2), 2), rad(meanLon)
	equation = 4 * deg(y*math.Sin(2*l)-2*eccentricity*math.Sin(anomaly)+4*eccentricity*y*math.Sin(anomaly)*math.Cos(2*l)-
		0.5*y*y*math.Sin(4*l)-1.25*eccentricity*eccentricity*math.Sin(2*anomaly))
	return declination, equation
}

func rad(deg float64) float64 { return deg * math.Pi / 180 }
func deg(rad float64) float64 { return rad * 180 / math.Pi }

// daysFrom1970 counts days of the Gregorian calendar: years begin in March, so
// that the leap day is their last.
func daysFrom1970(year, month, day int) int64 {
	y, m := int64(year), int64(month)
	if m <= 2 {
		y, m = y-1, m+12
	}
	return 365*y + floorDiv(y, 4) - floorDiv(y, 100) + floorDiv(y, 400) + (153*(m-3)+2)/5 + int64(day) - 719_469
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
