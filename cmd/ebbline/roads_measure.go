package main

import (
	"fmt"
	"io"
	"slices"

	"ebbline/cmd/internal/budget"
	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/tile"
)

// roadsMeasureCommand measures a road file on this machine.
type roadsMeasureCommand struct {
	File  string `arg:"" help:"The road file."`
	Cells int    `default:"1000000" help:"Drives to compare with a plain search over the roads. 0 leaves it out."`
	Seed  uint64 `default:"1" help:"Seed of the places that are drawn."`
	JSON  bool   `name:"json" help:"Print the figures as JSON."`
}

// roadsMeasured are the figures. Times are of this process's processor, but for
// the load, which is on the wall clock; nil is not measured.
type roadsMeasured struct {
	LoadMS      float64  `json:"load_ms"`
	Matrix400   float64  `json:"matrix400_cpu_ms"`
	Matrix2000  float64  `json:"matrix2000_cpu_ms"`
	TileP99MS   *float64 `json:"tile_p99_ms"`
	TileMaxKB   *float64 `json:"tile_max_kb"`
	Mismatches  *int     `json:"mismatches"`
	Cells       int      `json:"cells"`
	Attribution string   `json:"attribution"`
}

func (cmd *roadsMeasureCommand) Run(a *app) error {
	if cmd.Cells < 0 || cmd.Cells > 100_000_000 {
		return wrongUsef("--cells=%d: want 0 to 100000000", cmd.Cells)
	}
	var m roadsMeasured
	watch := budget.Start()
	roads, err := readRoads(cmd.File)
	if err != nil {
		return err
	}
	m.LoadMS = watch.Wall() * 1000
	m.Attribution = roads.Meta.Attribution
	for _, size := range []struct {
		places, times int
		into          *float64
	}{{400, 9, &m.Matrix400}, {2000, 3, &m.Matrix2000}} {
		if *size.into, err = measureMatrix(a, roads, size.places, size.times, cmd.Seed); err != nil {
			return err
		}
	}
	if section := roads.File.Section(tile.SectionName); section != nil {
		if err := m.measureTiles(section); err != nil {
			return fmt.Errorf("%s: %w", cmd.File, err)
		}
	}
	if cmd.Cells > 0 {
		if err := m.compare(a, roads, cmd); err != nil {
			return err
		}
	}
	if cmd.JSON {
		err = writeJSON(a.out, m)
	} else {
		err = m.print(a.out)
	}
	if err == nil && m.Mismatches != nil && *m.Mismatches > 0 {
		err = fmt.Errorf("%s: %d of %d drives differ from a plain search", cmd.File, *m.Mismatches, m.Cells)
	}
	return err
}

// measureMatrix is the median of some runs, CPU milliseconds.
func measureMatrix(a *app, roads *travel.Roads, places, times int, seed uint64) (float64, error) {
	points := roads.Scatter(places, seed)
	var took []float64
	for range times {
		watch := budget.Start()
		if _, err := roads.Matrix(a.ctx, points); err != nil {
			return 0, err
		}
		took = append(took, watch.CPU()*1000)
	}
	slices.Sort(took)
	return took[len(took)/2], nil
}

// compare asks for as many drives as wanted, a few hundred places at a time.
func (m *roadsMeasured) compare(a *app, roads *travel.Roads, cmd *roadsMeasureCommand) error {
	m.Mismatches = new(int)
	for turn := uint64(1); m.Cells < cmd.Cells; turn++ {
		to := roads.Scatter(1000, cmd.Seed+2*turn)
		from := roads.Scatter(min(1000, (cmd.Cells-m.Cells+len(to)-1)/max(len(to), 1)), cmd.Seed+2*turn+1)
		cells, mismatches, err := roads.Compare(a.ctx, from, to)
		if err != nil {
			return err
		}
		if cells == 0 {
			return nil // no road to stop at
		}
		m.Cells += cells
		*m.Mismatches += mismatches
	}
	return nil
}

// measureTiles draws up to 200 tiles of each zoom.
func (m *roadsMeasured) measureTiles(section []byte) error {
	drawn, err := tile.Open(section)
	if err != nil {
		return err
	}
	var took []float64
	most := 0
	for z, list := range drawn.Sample(200) {
		for _, at := range list {
			watch := budget.Start()
			packed, err := drawn.Tile(z, at[0], at[1])
			if err != nil {
				return err
			}
			took = append(took, watch.CPU()*1000)
			most = max(most, len(packed))
		}
	}
	if len(took) == 0 {
		return nil
	}
	slices.Sort(took)
	p99, kb := took[len(took)*99/100], float64(most)/1000
	m.TileP99MS, m.TileMaxKB = &p99, &kb
	return nil
}

func (m *roadsMeasured) print(out io.Writer) error {
	number := func(v *float64) string {
		if v == nil {
			return "none"
		}
		return fmt.Sprintf("%.2f", *v)
	}
	mismatches := "not asked for"
	if m.Mismatches != nil {
		mismatches = fmt.Sprintf("%d of %d", *m.Mismatches, m.Cells)
	}
	for _, row := range [][2]string{
		{"load, ms", number(&m.LoadMS)},
		{"400 x 400 drives, CPU ms", number(&m.Matrix400)},
		{"2,000 x 2,000 drives, CPU ms", number(&m.Matrix2000)},
		{"map tile, 99 of 100 within, ms", number(m.TileP99MS)},
		{"greatest tile, kB packed", number(m.TileMaxKB)},
		{"drives unlike a plain search", mismatches},
	} {
		if _, err := fmt.Fprintf(out, "%-32s %16s\n", row[0], row[1]); err != nil {
			return err
		}
	}
	return nil
}
