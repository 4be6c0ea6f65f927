package town

import (
	"fmt"
	"slices"
)

// Lots lie on both sides of a street, their houses off its middle.
const (
	lotCM      = 4_000
	houseOffCM = 1_500
	lastNumber = 999 // at the far end of every street; even on the right
)

// placed is a house while it is settled: how far along its street, in cm.
type placed struct {
	House
	along  float64
	wanted bool
}

// settle puts houses along the streets, those of the spec first.
func (b *builder) settle() error {
	wanted := map[string][]Address{}
	for _, a := range b.spec.Houses {
		wanted[a.Street] = append(wanted[a.Street], a)
	}
	parts := map[string][]*street{} // a roundabout may part a street in two
	var order []string
	for _, s := range b.streets {
		if s.houses && len(s.pieces) > 0 {
			if parts[s.name] == nil {
				order = append(order, s.name)
			}
			parts[s.name] = append(parts[s.name], s)
		}
	}
	for _, name := range order {
		list, err := b.settleStreet(parts[name], wanted[name])
		if err != nil {
			return err
		}
		delete(wanted, name)
		for _, p := range list {
			b.town.Houses = append(b.town.Houses, p.House)
		}
	}
	for _, a := range b.spec.Houses {
		if wanted[a.Street] != nil {
			return fmt.Errorf("no house can be number %d, %s: the town has no such street", a.Number, a.Street)
		}
	}
	return nil
}

func (b *builder) settleStreet(parts []*street, wanted []Address) ([]placed, error) {
	total := 0.0
	for _, s := range parts {
		total += s.long(b.net.at)
	}
	numberAt := func(along float64, side int) int {
		n := 1 + int(along/total*(lastNumber-1))
		if n%2 != side {
			n++
		}
		return n
	}
	var list []placed
	for _, a := range wanted {
		along := (float64(a.Number) - 0.5) / lastNumber * total
		p, ok := b.lot(parts, along, a.Number%2)
		if a.Number < 1 || a.Number > lastNumber || !ok || a.Postcode != "" && a.Postcode != parts[0].postcode {
			return nil, fmt.Errorf("no house can be number %d, %s %s: the street has no place for it", a.Number, a.Street, a.Postcode)
		}
		list = append(list, b.placed(p, a.Number, parts[0], along, true))
	}
	for side := range 2 {
		last := 0
		for along := lotCM * 3 / 4.0; along < total-lotCM/2; along += lotCM + float64(b.jitter(600)) {
			n := numberAt(along, side)
			p, ok := b.lot(parts, along, side)
			if !ok || n <= last || slices.ContainsFunc(list, func(o placed) bool {
				return o.wanted && o.Number%2 == side && (max(o.along-along, along-o.along) < lotCM*3/4 || (o.along > along) != (o.Number > n))
			}) {
				continue
			}
			last = n
			list = append(list, b.placed(p, n, parts[0], along, false))
		}
	}
	slices.SortStableFunc(list, func(x, y placed) int { return x.Number - y.Number })
	return slices.CompactFunc(list, func(x, y placed) bool { return x.Number == y.Number }), nil
}

func (b *builder) placed(p point, number int, s *street, along float64, wanted bool) placed {
	return placed{House{Address{number, s.name, s.postcode}, p.latE7(), p.lonE7()}, along, wanted}
}

// long is a street's length in cm.
func (s *street) long(at []point) float64 {
	sum := 0.0
	for _, piece := range s.pieces {
		for i := 0; i+1 < len(piece); i++ {
			sum += distance(at[piece[i]], at[piece[i+1]])
		}
	}
	return sum
}

// lot is the place beside a street at a length along it: on its right for even
// numbers, on its left for odd ones; not in water.
func (b *builder) lot(parts []*street, along float64, side int) (point, bool) {
	for _, s := range parts {
		for i, piece := range s.pieces {
			for k := 0; k+1 < len(piece); k++ {
				p, q := b.net.at[piece[k]], b.net.at[piece[k+1]]
				d := distance(p, q)
				if along > d {
					along -= d
					continue
				}
				off := float64(houseOffCM)
				if side == 0 {
					off = -off
				}
				at := aside(point{p.x + whole(float64(q.x-p.x)*along/d), p.y + whole(float64(q.y-p.y)*along/d)}, p, q, off)
				return at, !s.wet[i] && (s.island || !b.wetAt(at))
			}
		}
	}
	return point{}, false
}
