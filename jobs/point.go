package jobs

import (
	"fmt"
	"strings"
)

// Limits of what is drawn on a site's plan.
const (
	maxPoints = 400
	maxAcross = 5000 * ft // either way from the plan's origin
)

// Point is a place on a site's plan, in micrometres from wherever the plan
// begins: X to the right, Y down, as drawn.
type Point struct{ X, Y int64 }

// ParsePoints reads places on a plan, "x,y; x,y; …", in one unit of length:
// "0,0; 32,0; 32,16; 0,16". The error names the place and what would be right.
func ParsePoints(text, unit string) ([]Point, error) {
	items := strings.Split(strings.TrimSuffix(strings.TrimSpace(text), ";"), ";")
	if len(items) > maxPoints {
		return nil, fmt.Errorf("at most %d places", maxPoints)
	}
	points := make([]Point, 0, len(items))
	for i, item := range items {
		x, y, two := strings.Cut(item, ",")
		if !two {
			return nil, fmt.Errorf("as place %d, in place of %q, two numbers with a comma between, like 12.5,8", i+1, Short(strings.TrimSpace(item)))
		}
		p := Point{}
		for _, c := range []struct {
			text string
			at   *int64
		}{{x, &p.X}, {y, &p.Y}} {
			um, _, err := ParseMeasure(QuantityLength, c.text, unit)
			if err != nil {
				return nil, fmt.Errorf("as place %d, in place of %q, %w", i+1, Short(strings.TrimSpace(item)), err)
			}
			if um < -maxAcross || um > maxAcross {
				return nil, fmt.Errorf("place %d within 5000 ft of the plan's origin", i+1)
			}
			*c.at = um
		}
		points = append(points, p)
	}
	return points, nil
}

// FormatPoints writes places on a plan so that ParsePoints reads the same
// ones, where decimals is 12. The unit must be one of length.
func FormatPoints(points []Point, unit string, decimals int) (string, error) {
	items := make([]string, len(points))
	for i, p := range points {
		x, err := FormatMeasure(QuantityLength, p.X, unit, decimals)
		if err != nil {
			return "", err
		}
		y, err := FormatMeasure(QuantityLength, p.Y, unit, decimals)
		if err != nil {
			return "", err
		}
		items[i] = x + "," + y
	}
	return strings.Join(items, "; "), nil
}
