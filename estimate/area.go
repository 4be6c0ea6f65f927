package estimate

import (
	"math"

	"ebbline/jobs"
)

// area is the surface of a body of water in mm², with the formula used.
func (c *calc) area(body jobs.Subject) Figure {
	n, formula, source, margin := c.surface(body)
	f := figure("water.area", "Area of the water", body.ID, UnitArea, n)
	f.Formula, f.Source, f.Margin = formula, source, margin
	return f
}

// surface computes what area shows. Walls are taken as upright near the
// waterline.
func (c *calc) surface(body jobs.Subject) (n num, formula, source, margin string) {
	const squareUM = 1e-6 // mm² in a µm²
	shape := body.Choice("shape")
	switch shape {
	case jobs.ShapeRectangle:
		n = product(c.read(body, "length"), c.read(body, "width")).times(squareUM)
		return n, "length × width", "plane geometry", ""
	case jobs.ShapeOval:
		n = product(c.read(body, "length"), c.read(body, "width")).times(squareUM * math.Pi / 4)
		return n, "π/4 × length × width", "plane geometry", ""
	case jobs.ShapeRound:
		d := c.read(body, "diameter")
		n = num{v: d.v * d.v, lo: d.lo * d.lo, hi: d.hi * d.hi, ok: d.ok, in: d.in, miss: d.miss}.times(squareUM * math.Pi / 4)
		return n, "π/4 × diameter²", "plane geometry", ""
	case jobs.ShapeKidney:
		n = product(sum(c.read(body, "width"), c.read(body, "width_2")), c.read(body, "length")).times(0.45 * squareUM)
		n = n.spread(1 + float64(c.set.Bands.Kidney)/1000)
		return n, "0.45 × (width + second width) × length", "common practice, no source", "± " + tenth(float64(c.set.Bands.Kidney)/10) + " % for the formula itself"
	case jobs.ShapeFreeForm:
		return c.freeForm(body)
	case jobs.ShapeArea:
		return c.read(body, "area"), "as known", "", ""
	}
	return unknown(missField(body, "shape")), "", "", ""
}

func (c *calc) freeForm(body jobs.Subject) (n num, formula, source, margin string) {
	widths, step := c.read(body, "widths"), c.read(body, "width_step")
	n = gather(widths, step)
	if !n.ok {
		return n, "", "", ""
	}
	v, _ := body.Value("widths")
	list, err := jobs.ParseLengths(v.Text, v.Unit)
	if err != nil || len(list) < 3 {
		return unknown(missField(body, "widths")), "", "", ""
	}
	formula = "step × (first/2 + inner widths + last/2), the trapezoid rule"
	across := trapezoid(list)
	if len(list)%2 == 1 {
		formula = "step/3 × (first + 4 × odd + 2 × even + last), Simpson's rule"
		across = simpson(list)
	}
	factor := 1 + float64(c.set.Bands.Length[v.Known])/1000
	n = product(num{v: across, lo: across / factor, hi: across * factor, ok: true, in: widths.in}, step).times(1e-6)
	n = n.spread(1 + float64(c.set.Bands.Free)/1000)
	return n, formula, "numerical integration, any textbook", "± " + tenth(float64(c.set.Bands.Free)/10) + " % for the rule itself"
}

// simpson sums an odd number of widths at even steps; times the step it is the
// area.
func simpson(widths []int64) float64 {
	total := float64(widths[0] + widths[len(widths)-1])
	for i, w := range widths[1 : len(widths)-1] {
		total += float64(w) * float64(4-2*(i%2))
	}
	return total / 3
}

// trapezoid sums widths at even steps; times the step it is the area.
func trapezoid(widths []int64) float64 {
	total := float64(widths[0]+widths[len(widths)-1]) / 2
	for _, w := range widths[1 : len(widths)-1] {
		total += float64(w)
	}
	return total
}
