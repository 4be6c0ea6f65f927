package jobs

import (
	"fmt"
	"strings"
)

// Limits of a conduit's run, so that a slip of the pen is named.
const (
	maxRunParts  = 100
	maxRunLength = 1000 * ft
	maxBend      = 180_000 // one bend, thousandths of a degree
)

// RunPart is one part of a conduit's run: a straight or a bend. Lengths in
// micrometres, angles in thousandths of a degree.
type RunPart struct {
	Length int64 // of a straight; 0 for a bend
	Slope  int64 // of a straight, up on the way from the water to the supply; down is negative
	Bend   int64 // angle of a bend; 0 for a straight
	Radius int64 // of a bend to its centre line; 0 where nobody measured it
}

// ParseRun reads the parts of a conduit in order, from the water to the supply,
// parted by semicolons: straights with their unit, with "up" or "down" and
// degrees where they slope, and bends in degrees, with "r" and a length where
// the radius is known: "40 ft; 90; 30 ft up 5; 45 r 6 in; 20 ft". The error
// names the part and what would be right.
func ParseRun(text string) ([]RunPart, error) {
	items := strings.Split(strings.TrimSuffix(strings.TrimSpace(text), ";"), ";")
	if len(items) > maxRunParts {
		return nil, fmt.Errorf("at most %d parts", maxRunParts)
	}
	parts := make([]RunPart, 0, len(items))
	total := int64(0)
	for i, item := range items {
		p, err := runPart(strings.TrimSpace(item))
		if err != nil {
			return nil, fmt.Errorf("as part %d, in place of %q, %w", i+1, Short(strings.TrimSpace(item)), err)
		}
		if total += p.Length; total > maxRunLength {
			return nil, fmt.Errorf("at most 1000 ft in all")
		}
		parts = append(parts, p)
	}
	if total < ft {
		return nil, fmt.Errorf("at least 1 ft of straight in all, like 40 ft; 90; 30 ft")
	}
	return parts, nil
}

// RunLength adds up the straights of a run.
func RunLength(parts []RunPart) (um int64) {
	for _, p := range parts {
		um += p.Length
	}
	return um
}

func runPart(item string) (RunPart, error) {
	straight, up, sloped := strings.Cut(item, " up ")
	sign := int64(1)
	if !sloped {
		straight, up, sloped = strings.Cut(item, " down ")
		sign = -1
	}
	if sloped {
		slope, _, err := ParseMeasure(QuantityAngle, up, "°")
		if err != nil || slope < 0 || slope > 90_000 {
			return RunPart{}, fmt.Errorf("a slope from 0 to 90°, like 30 ft up 5")
		}
		um, err := straightPart(straight)
		return RunPart{Length: um, Slope: sign * slope}, err
	}
	angle, radius, curved := strings.Cut(item, " r ")
	bend, _, err := ParseMeasure(QuantityAngle, angle, "°")
	if err != nil && !curved {
		um, err := straightPart(item)
		return RunPart{Length: um}, err
	}
	if err != nil || bend <= 0 || bend > maxBend {
		return RunPart{}, fmt.Errorf("a bend above 0 and up to 180°, like 90 or 45 r 6 in; a straight needs its unit, like 40 ft")
	}
	p := RunPart{Bend: bend}
	if curved {
		p.Radius, _, err = ParseMeasure(QuantityLength, radius, "")
		if err != nil || p.Radius < in || p.Radius > 20*ft {
			return RunPart{}, fmt.Errorf("a radius from 1 in to 20 ft with its unit, like 90 r 6 in")
		}
	}
	return p, nil
}

func straightPart(text string) (int64, error) {
	um, _, err := ParseMeasure(QuantityLength, text, "")
	if err != nil || um <= 0 || um > maxRunLength {
		return 0, fmt.Errorf("a straight above 0 and up to 1000 ft with its unit, like 40 ft, or a bend in degrees, like 90")
	}
	return um, nil
}
