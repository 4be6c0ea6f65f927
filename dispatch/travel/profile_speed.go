package travel

import (
	"strconv"
	"strings"
)

// Speeds beyond these, metres an hour, are mistakes of the data.
const (
	slowest = 1_000
	fastest = 160_000
	// Where no limit is posted and the data says so ("none").
	unlimited = 130_000
	walking   = 6_000
)

// parseSpeed reads the value of a posted limit, in metres an hour; 0 means that
// it says nothing usable: "signals", "variable", a country's code, a mistake.
// Numbers without a unit are km/h. Of several the least counts.
//
// Forms: https://wiki.openstreetmap.org/wiki/Key:maxspeed
func parseSpeed(value string) int32 {
	least := int32(0)
	for part := range strings.FieldsFuncSeq(value, func(r rune) bool { return r == ';' || r == ',' || r == '|' }) {
		if v := parseOneSpeed(strings.ToLower(strings.TrimSpace(part))); v > 0 && (least == 0 || v < least) {
			least = v
		}
	}
	return least
}

func parseOneSpeed(value string) int32 {
	switch value {
	case "none":
		return unlimited
	case "walk":
		return walking
	}
	digits := 0
	for digits < len(value) && (value[digits] >= '0' && value[digits] <= '9' || value[digits] == '.') {
		digits++
	}
	number, err := strconv.ParseFloat(value[:digits], 64)
	if err != nil || number > 1000 {
		return 0
	}
	var unit float64 // metres
	switch strings.TrimSpace(value[digits:]) {
	case "", "km/h", "kmh", "kph", "kmph":
		unit = 1000
	case "mph":
		unit = mile / 1000.0
	case "knots", "kn":
		unit = 1852
	default:
		return 0
	}
	v := number * unit
	if v < slowest || v > fastest {
		return 0
	}
	return int32(v + 0.5)
}
