package estimate

import (
	"math"

	"ebbline/jobs"
)

// Radii of conduit bends to the centre line, in thousandths of an inch by trade
// size: NEC chapter 9, table 2. Those of one-shot and full-shoe benders are the
// least; a bend made otherwise needs the larger.
var (
	shoeRadius  = [6]int64{4_000, 4_500, 5_750, 7_250, 8_250, 9_500}
	otherRadius = [6]int64{4_000, 5_000, 6_000, 8_000, 10_000, 12_000}
)

// mostBends is what the code allows between pull points, thousandths of a degree.
const mostBends = 360_000

const quarterTurn = 90_000

// course is what is known of how a conduit runs.
type course struct {
	pieces []piece // from the water to the supply; nil while the places of the bends are not known
	length num     // µm
	bends  num     // thousandths of a degree, all together
	count  int     // bends; with no pieces a guess where only their sum is known
	known  bool    // something is known of the bends
	how    string
	tight  int64 // µm, the least radius that was noted; 0: none was
}

// course takes the parts of the run as listed, else the sum of the bends, else
// the drawn path, else the number of bends. The order does not depend on how
// well each is known, so that knowing one better never changes which is taken.
func (c *calc) course(run jobs.Subject) course {
	s := course{length: c.read(run, "length")}
	if v, ok := run.Value("run"); ok {
		if parts, err := jobs.ParseRun(v.Text); err == nil {
			s.listed(c.read(run, "run"), parts)
			return s
		}
	}
	if s.summed(c, run) || s.drawn(c, run) || s.counted(c, run) {
		return s
	}
	s.bends = unknown(missField(run, "bend_total"))
	return s
}

func (s *course) listed(length num, parts []jobs.RunPart) {
	s.known, s.how, s.length = true, "the parts of the run as listed", length
	s.pieces = make([]piece, len(parts))
	total := int64(0)
	for i, p := range parts {
		s.pieces[i] = piece{feet: float64(p.Length) / umPerFoot, slope: radians(p.Slope), bend: radians(p.Bend), radius: float64(p.Radius) / umPerFoot}
		total += p.Bend
		if p.Bend > 0 {
			s.count++
		}
		if p.Radius > 0 && (s.tight == 0 || p.Radius < s.tight) {
			s.tight = p.Radius
		}
	}
	s.bends = fixed(float64(total), length.in...)
}

func (s *course) summed(c *calc, run jobs.Subject) bool {
	s.bends = c.read(run, "bend_total")
	if !s.bends.ok {
		return false
	}
	count, ok := run.Base("bends")
	if !ok || count <= 0 || count > 100 {
		count = int64(math.Ceil(s.bends.v / quarterTurn))
	}
	s.known, s.count, s.how = true, int(max(count, 0)), "places of the bends not known: low with all of them where the cord is fed in, high with all of them where it is pulled, between them evenly spread"
	return true
}

func (s *course) counted(c *calc, run jobs.Subject) bool {
	bends := c.read(run, "bends")
	if !bends.ok {
		return false
	}
	n := bends.v
	s.bends = num{v: n * quarterTurn, lo: n * quarterTurn / 2, hi: n * quarterTurn, ok: true, in: bends.in}
	s.known, s.count = true, int(n)
	s.how = "only the number of bends is known: each taken as 90°, at best 45°; low with all of them where the cord is fed in, high where it is pulled"
	return true
}

// drawn takes the path as drawn from above, from its end at the water. Two
// elbows that such a plan does not show are added, half of them at each end.
func (s *course) drawn(c *calc, run jobs.Subject) bool {
	path := c.path(run)
	if len(path) < 2 {
		return false
	}
	hidden := c.set.conduits().HiddenBends
	read := c.read(run, "path")
	var total, feet float64
	pieces := make([]piece, 0, 2*len(path)+1)
	add := func(p piece) {
		total += p.bend
		if p.bend > 0 {
			s.count++
		}
		pieces = append(pieces, p)
	}
	if hidden > 0 {
		add(piece{bend: radians(hidden / 2)})
	}
	var x, y float64 // the way before
	for i := 1; i < len(path); i++ {
		dx, dy := float64(path[i].X)-float64(path[i-1].X), float64(path[i].Y)-float64(path[i-1].Y)
		way := math.Hypot(dx, dy)
		if way == 0 {
			continue
		}
		if turn := math.Abs(math.Atan2(x*dy-y*dx, x*dx+y*dy)); feet > 0 && turn > math.Pi/180 {
			add(piece{bend: turn})
		}
		pieces = append(pieces, piece{feet: way / umPerFoot})
		feet += way / umPerFoot
		x, y = dx, dy
	}
	if feet == 0 {
		s.count = 0
		return false
	}
	if hidden > 0 {
		add(piece{bend: radians(hidden / 2)})
	}
	if !s.length.ok {
		s.length = num{v: feet * umPerFoot, ok: true, in: read.in}
		band := 1 + float64(c.set.Bands.Length[jobs.KnownTold])/1000
		s.length.lo, s.length.hi = s.length.v/band, s.length.v*band
	}
	s.pieces, s.known = pieces, true
	s.how = "the path as drawn, stretched to the length told"
	s.bends = fixed(total*180_000/math.Pi, read.in...)
	if hidden > 0 {
		s.how += "; " + tenth(float64(hidden)/1000) + "° added for the elbows behind the fitting and under the supply, which a plan from above does not show (common practice, no source)"
		s.bends.in = append(s.bends.in[:len(s.bends.in):len(s.bends.in)], Input{Name: "Elbows a plan does not show", Text: tenth(float64(hidden)/1000) + "°"})
	}
	return true
}

func radians(mdeg int64) float64 { return float64(mdeg) * math.Pi / 180_000 }

// bends is the figure of all bends together.
func (s course) figure(run jobs.Subject) Figure {
	f := figure("conduit.bends", "Bends between pull points", run.ID, UnitAngle, s.bends)
	f.Formula = "all bends added up"
	f.Source = "NEC 352.26 (2017 and 2020), 352.24(B) in 2023: at most 360°"
	f.Margin = s.how
	return f
}

func bendCheck(conduit Conduit) Check {
	f := conduit.Bends
	check := Check{Key: "conduit.bends", Name: f.Name, About: conduit.Conduit, Source: f.Source, Decides: decidesLicensed}
	switch {
	case !f.Known:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, f.Missing
	case f.High <= mostBends:
		check.Result, check.Text = Holds, f.Text
	case f.Low > mostBends:
		check.Result, check.Text = Short, f.Text+", over 360° by "+show(f.Value-mostBends, UnitAngle)
	default:
		check.Result, check.Text = Unknown, NotKnown+": from "+show(f.Low, UnitAngle)+" to "+show(f.High, UnitAngle)
		check.Missing = []Miss{{Subject: conduit.Conduit, Field: "bend_total", Text: conduit.Name + ": the angle of each bend"}}
	}
	return check
}

// radiusCheck holds the tightest bend that was noted against the table; false
// where none was noted or the size is not known.
func radiusCheck(conduit Conduit) (Check, bool) {
	if conduit.Tight == 0 || !conduit.Radius.Known {
		return Check{}, false
	}
	f := conduit.Radius
	check := Check{Key: "conduit.radius", Name: "Radius of the tightest bend", About: conduit.Conduit, Source: f.Source, Decides: decidesLicensed}
	if conduit.Tight >= f.Value {
		check.Result, check.Text = Holds, show(conduit.Tight, UnitLength)+", at least "+f.Text
	} else {
		check.Result, check.Text = Short, show(conduit.Tight, UnitLength)+", falls short of "+f.Text+" by "+show(f.Value-conduit.Tight, UnitLength)
	}
	return check, true
}

// radius is the least radius of a bend by the table.
func (b bore) radius(run jobs.Subject) Figure {
	n := gather(b.num)
	if n.ok {
		n = fixed(float64(shoeRadius[b.size])*umPerInch/1000, b.num.in...)
	}
	f := figure("conduit.radius", "Least radius of a bend", run.ID, UnitLength, n)
	f.Formula = "by trade size at the smaller end, to the centre line"
	f.Source = "NEC chapter 9, table 2: one-shot and full-shoe benders"
	if n.ok {
		f.Margin = "a bend made otherwise needs " + jobs.FeetInches(otherRadius[b.size]*254/10)
	}
	return f
}
