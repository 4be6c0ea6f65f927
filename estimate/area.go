package estimate

import (
	"fmt"
	"math"
	"strings"

	"ebbline/jobs"
)

const squareUM = 1e-6 // mm² in a µm²

// surface is the surface of a body of water.
type surface struct {
	area   num          // mm²
	around float64      // µm round its edge; 0: not known from its shape
	ring   []jobs.Point // as drawn; nil: not drawn, or not as an outline can be
	odd    []Miss       // what was noted of its size and can't all be true
	Figure Figure
}

// area computes the surface of a body of water. Walls are taken as upright near
// the waterline. What contradicts itself is not known yet.
func (c *calc) area(body jobs.Subject) surface {
	if s, ok := c.surfaces[body.ID]; ok {
		return s
	}
	s := c.outlined(body)
	if s.odd = c.contradicts(body, s); len(s.odd) > 0 {
		s.area = unknown(s.odd...)
	}
	formula, source, margin := s.Figure.Formula, s.Figure.Source, s.Figure.Margin
	s.Figure = figure("water.area", "Area of the water", body.ID, UnitArea, s.area)
	if s.Figure.Known {
		s.Figure.Formula, s.Figure.Source, s.Figure.Margin = formula, source, margin
	} else {
		s.area = unknown(s.Figure.Missing...)
	}
	s.area = s.area.then(s.Figure)
	if c.surfaces == nil {
		c.surfaces = map[string]surface{}
	}
	c.surfaces[body.ID] = s
	return s
}

// outlined computes area and edge by the shape's rule.
func (c *calc) outlined(body jobs.Subject) (s surface) {
	f := &s.Figure
	f.Source = "plane geometry"
	switch shape := body.Choice("shape"); shape {
	case jobs.ShapeRectangle:
		l, w := c.read(body, "length"), c.read(body, "width")
		s.area, s.around, f.Formula = product(l, w).times(squareUM), 2*(l.v+w.v), "length × width"
	case jobs.ShapeOval:
		l, w := c.read(body, "length"), c.read(body, "width")
		s.area, f.Formula = product(l, w).times(squareUM*math.Pi/4), "π/4 × length × width"
	case jobs.ShapeRound:
		d := c.read(body, "diameter")
		s.area = num{v: d.v * d.v, lo: d.lo * d.lo, hi: d.hi * d.hi, ok: d.ok, in: d.in, miss: d.miss}.times(squareUM * math.Pi / 4)
		s.around, f.Formula = math.Pi*d.v, "π/4 × diameter²"
	case jobs.ShapeKidney:
		s.area = product(sum(c.read(body, "width"), c.read(body, "width_2")), c.read(body, "length")).times(0.45 * squareUM)
		s.area = s.area.spread(1 + float64(c.set.Bands.Kidney)/1000)
		f.Formula, f.Source = "0.45 × (width + second width) × length", "common practice, no source"
		f.Margin = "± " + tenth(float64(c.set.Bands.Kidney)/10) + " % for the formula itself"
	case jobs.ShapeFreeForm:
		c.freeForm(body, &s)
	case jobs.ShapeDrawn:
		c.drawn(body, &s)
	case jobs.ShapeArea:
		s.area, f.Formula, f.Source = c.read(body, "area"), "as known", ""
	default:
		s.area = unknown(missField(body, "shape"))
	}
	return s
}

func (c *calc) freeForm(body jobs.Subject, s *surface) {
	widths, step := c.read(body, "widths"), c.read(body, "width_step")
	s.area = gather(widths, step)
	if !s.area.ok {
		return
	}
	v, _ := body.Value("widths")
	list, err := jobs.ParseLengths(v.Text, v.Unit)
	if err != nil || len(list) < 3 {
		s.area = unknown(missField(body, "widths"))
		return
	}
	s.Figure.Formula = "step × (first/2 + inner widths + last/2), the trapezoid rule"
	total := trapezoid(list)
	if len(list)%2 == 1 {
		s.Figure.Formula = "step/3 × (first + 4 × every second + 2 × those between + last), Simpson's rule"
		total = simpson(list)
	}
	factor := 1 + float64(c.set.Bands.Length[v.Known])/1000
	s.area = product(num{v: total, lo: total / factor, hi: total * factor, ok: true, in: widths.in}, step).times(squareUM)
	s.area = s.area.spread(1 + float64(c.set.Bands.Free)/1000)
	s.Figure.Source = "adding up widths at even steps, any textbook"
	s.Figure.Margin = "± " + tenth(float64(c.set.Bands.Free)/10) + " % for the rule itself"
}

// drawn takes the area from the outline on the plan; both ways of measuring go
// into it, so the band of a length counts twice.
func (c *calc) drawn(body jobs.Subject, s *surface) {
	corners, lack := c.outline(body)
	if len(lack) > 0 {
		s.area = unknown(lack...)
		return
	}
	v, _ := body.Value("outline")
	spec, _ := jobs.FieldOf(body.Kind, "outline")
	factor := 1 + float64(c.set.Bands.Length[v.Known])/1000
	size := shoelace(corners)
	s.area = num{v: size, lo: size / (factor * factor), hi: size * factor * factor, ok: true,
		in: []Input{{Name: spec.Label, Text: fmt.Sprintf("%d dots", len(corners)), Known: v.Known, Subject: body.ID, Field: "outline"}}}.times(squareUM)
	s.around, s.ring = around(corners), corners
	s.Figure.Formula = "the land surveyor's rule: half the sum over all sides of x × next y − next x × y"
	s.Figure.Source = "plane geometry, the shoelace formula"
}

// outline reads a drawn outline, or says what is wrong with it.
func (c *calc) outline(body jobs.Subject) ([]jobs.Point, []Miss) {
	v, ok := body.Value("outline")
	if !ok {
		return nil, []Miss{missField(body, "outline")}
	}
	odd := func(text string) []Miss {
		return []Miss{{Subject: body.ID, Field: "outline", Text: body.Label() + ": " + text}}
	}
	points, err := jobs.ParsePoints(v.Text, v.Unit)
	corners := ring(points)
	if err != nil || len(corners) < 3 {
		return nil, odd("an outline of at least three different dots")
	}
	if a, b, found := crosses(corners); found {
		return nil, odd(fmt.Sprintf("an outline that does not cross itself; its side after dot %d meets the side after dot %d", a, b))
	}
	return corners, nil
}

// contradicts lists what was noted of a body's size that can't all be true: more
// than a quarter apart is not a matter of measuring well.
func (c *calc) contradicts(body jobs.Subject, s surface) []Miss {
	shape := body.Choice("shape")
	var list []Miss
	apart := func(name string, found float64, how string, unit Unit) {
		noted, ok := body.Base(name)
		if !ok || found <= 0 || float64(noted)*4 >= found*3 && float64(noted)*4 <= found*5 {
			return
		}
		spec, _ := jobs.FieldOf(body.Kind, name)
		list = append(list, Miss{Subject: body.ID, Field: name, Text: fmt.Sprintf("%s: %s again, noted as %s, but %s %s; they contradict each other",
			body.Label(), strings.ToLower(spec.Label[:1])+spec.Label[1:], show(noted, unit), show(round(found), unit), how)})
	}
	if s.area.ok && shape != jobs.ShapeArea {
		apart("area", s.area.v, "follows from shape and sizes", UnitArea)
	}
	switch shape {
	case jobs.ShapeDrawn:
		if len(s.ring) > 0 {
			apart("length", across(s.ring), "is the longest way across the outline", UnitLength)
		}
	case jobs.ShapeFreeForm:
		if v, ok := body.Value("widths"); ok {
			widths, err := jobs.ParseLengths(v.Text, v.Unit)
			if step, ok := body.Base("width_step"); ok && err == nil {
				apart("length", float64(step)*float64(len(widths)-1), "follows from the widths and their step", UnitLength)
			}
		}
	}
	shallow, one := body.Base("depth_shallow")
	deep, two := body.Base("depth_deep")
	if one && two && shallow > deep {
		list = append(list, Miss{Subject: body.ID, Field: "depth_shallow", Text: body.Label() + ": depths again; the shallow end is noted deeper (" + show(shallow, UnitLength) + ") than the deep end (" + show(deep, UnitLength) + ")"})
	}
	if level, ok := body.Base("level"); ok && two && level > deep {
		list = append(list, Miss{Subject: body.ID, Field: "level", Text: body.Label() + ": the water now again; noted " + show(level, UnitLength) + " below the tile line, but the deep end is " + show(deep, UnitLength)})
	}
	return list
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
