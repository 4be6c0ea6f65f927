package town

import "fmt"

// layDowntown draws the old middle of the town: small blocks whose streets are
// numbered from south to north and named from west to east, two pairs of
// one-way streets among them, and alleys behind the houses.
func (b *builder) layDowntown() {
	names := []string{"Azurite", "Borax", "Copperas", "Dolomite", "Epsom", "Feldspar", "Gypsum", "Halite", "Icespar", "Jasper", "Kaolin", "Lodestone"}
	lettered, numbered := 0, 0
	sw := downtown[0]
	for part := range int64(2) { // the two columns of cells, then the two rows
		for k := int64(1); k <= 6; k++ {
			u := k * 1000 / 7
			var up, over []point
			for half := range int64(2) {
				top := int64(1000)
				if sw.row+int(half)+1 == freewayRow {
					top = 890
				}
				for v := half * 72; v <= top; v += 71 {
					up = append(up, b.at(cell{col: sw.col + int(part), row: sw.row + int(half)}, u, min(v, top)))
				}
				for v := half * 72; v <= 1000; v += 71 {
					if y := k * 890 / 7; part == 1 {
						over = append(over, b.at(cell{col: sw.col + int(half), row: sw.row + 1}, v, y))
					} else {
						over = append(over, b.at(cell{col: sw.col + int(half), row: sw.row}, v, u))
					}
				}
			}
			b.downtownStreet(names[lettered]+" Street", up, lettered)
			lettered++
			numbered++
			b.downtownStreet(ordinal(numbered)+" Avenue", over, numbered)
		}
	}
	for i := range 4 { // alleys, one of them for whoever lives there
		c := downtown[i]
		line := []point{b.at(c, 215, 300), b.at(c, 215, 460), b.at(c, 215, 600)}
		b.streets = append(b.streets, &street{class: "service", line: line, tags: []tag{{"service", "alley"}}, trimHead: true, trimTail: true})
	}
}

func (b *builder) downtownStreet(name string, line []point, n int) {
	s := &street{name: name, class: "residential", line: line, houses: true, postcode: quarters["middle"].postcode, tags: []tag{{"maxspeed", "25 mph"}}}
	switch n {
	case 2, 8:
		s.tags = append(s.tags, tag{"oneway", "yes"})
	case 3, 9: // drawn against the traffic, as mappers sometimes do
		s.tags = append(s.tags, tag{"oneway", "-1"})
	}
	b.streets = append(b.streets, s)
}

func ordinal(n int) string {
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		return fmt.Sprintf("%dst", n)
	case n%10 == 2:
		return fmt.Sprintf("%dnd", n)
	case n%10 == 3:
		return fmt.Sprintf("%drd", n)
	}
	return fmt.Sprintf("%dth", n)
}
