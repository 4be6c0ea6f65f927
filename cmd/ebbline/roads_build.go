package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ebbline/cmd/internal/budget"
	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/address"
	"ebbline/dispatch/travel/osm"
	"ebbline/dispatch/travel/tile"
)

// roadsBuildCommand makes a road file. Nothing is asked of the network.
type roadsBuildCommand struct {
	Extract string `arg:"" help:"The extract, REGION.osm.pbf."`
	Output  string `short:"o" help:"The road file to write. Left out: REGION.roads beside the extract." placeholder:"REGION.roads"`
	Box     string `help:"Take only what lies between these degrees." placeholder:"SOUTH,WEST,NORTH,EAST"`
	Within  string `help:"Take only what lies inside the polygons of this GeoJSON file: leaves out what is across a border." placeholder:"FILE"`
	JSON    bool   `name:"json" help:"Print the figures as JSON."`
}

// roadsBuilt are the figures of a road file that was made.
type roadsBuilt struct {
	Vertices   int              `json:"vertices"`
	Edges      int              `json:"edges"`
	Shortcuts  int              `json:"shortcuts"`
	CPUSeconds float64          `json:"cpu_seconds"`
	PeakMB     float64          `json:"peak_mb"`
	Bytes      int64            `json:"bytes"`
	Turns      travel.TurnStats `json:"turns"`
	File       string           `json:"file"`
}

func (cmd *roadsBuildCommand) Run(a *app) error {
	inside, err := cmd.inside()
	if err != nil {
		return err
	}
	if cmd.Output == "" {
		cmd.Output = strings.TrimSuffix(strings.TrimSuffix(cmd.Extract, ".pbf"), ".osm") + ".roads"
	}
	if cmd.Output == cmd.Extract {
		return wrongUsef("--output=%s is the extract itself", cmd.Output)
	}
	if err := os.MkdirAll(filepath.Dir(cmd.Output), 0o755); err != nil {
		return err
	}
	file, err := os.Open(cmd.Extract)
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	budget.ForgetPeak()
	watch := budget.Start()
	b, stats, err := buildRoads(a, file, info.Size(), inside)
	if err != nil {
		return fmt.Errorf("%s: %w", cmd.Extract, err)
	}
	built := roadsBuilt{Vertices: stats.Vertices, Edges: stats.Edges, Shortcuts: stats.Shortcuts, Turns: stats.Turns, File: cmd.Output}
	err = writeWhole(cmd.Output, func(out *os.File) (err error) {
		built.Bytes, err = b.WriteTo(out)
		return err
	})
	if err != nil {
		return err
	}
	built.CPUSeconds, built.PeakMB = watch.CPU(), budget.PeakMB()
	if cmd.JSON {
		return writeJSON(a.out, built)
	}
	return built.print(a.out)
}

// buildRoads makes all sections of a road file: roads, addresses, the map.
func buildRoads(a *app, file io.ReaderAt, size int64, inside func(travel.LatLon) bool) (*travel.FileBuilder, travel.Stats, error) {
	extract, err := osm.Open(a.ctx, file, size)
	if err != nil {
		return nil, travel.Stats{}, err
	}
	attribution := tile.AttributionOf(extract.Header.Source)
	houses, drawn := address.NewBuilder(), tile.NewCollector(attribution)
	b, stats, err := travel.Build(a.ctx, file, size, travel.Options{
		Inside: inside, Attribution: attribution, Progress: roadsProgress(a.errs),
		Features: travel.Features{
			Want: func(kind osm.Kind, tags osm.Tags) bool { return tile.Wants(kind, tags) || address.Wants(kind, tags) },
			Each: func(f travel.Feature) error {
				if tile.Wants(f.Kind, f.Tags) {
					drawn.Add(f)
				}
				if address.Wants(f.Kind, f.Tags) {
					houses.Add(f.Tags, addressLine(f.Line))
				}
				return nil
			},
		},
	})
	if err != nil {
		return nil, stats, err
	}
	b.Add(tile.SectionName, drawn.Section())
	b.Add(address.SectionName, houses.Encode())
	return b, stats, nil
}

func addressLine(line []travel.LatLon) []address.Point {
	out := make([]address.Point, len(line))
	for i, p := range line {
		out[i] = address.Point{LatE7: p.Lat, LonE7: p.Lon}
	}
	return out
}

// roadsProgress writes how far the work is, at most once a second.
func roadsProgress(out io.Writer) func(string, int64, int64) {
	last := time.Now()
	return func(step string, done, total int64) {
		if now := time.Now(); now.Sub(last) >= time.Second && total > 0 {
			last = now
			fmt.Fprintf(out, "%s: %d %%\n", step, done*100/total)
		}
	}
}

func (built roadsBuilt) print(out io.Writer) error {
	fmt.Fprintf(out, "%s is ready.\n\n", built.File)
	for _, row := range []struct {
		name  string
		value string
	}{
		{"vertices", fmt.Sprint(built.Vertices)},
		{"pieces of road", fmt.Sprint(built.Edges)},
		{"shortcuts", fmt.Sprint(built.Shortcuts)},
		{"turn restrictions kept", fmt.Sprint(built.Turns.Kept)},
		{"  not for cars", fmt.Sprint(built.Turns.Exempt)},
		{"  only at times, not kept", fmt.Sprint(built.Turns.Conditional)},
		{"  on roads not here", fmt.Sprint(built.Turns.Void)},
		{"  unclear, not kept", fmt.Sprint(built.Turns.Unclear)},
		{"CPU seconds", fmt.Sprintf("%.2f", built.CPUSeconds)},
		{"peak memory, MB", fmt.Sprintf("%.0f", built.PeakMB)},
		{"bytes", fmt.Sprint(built.Bytes)},
	} {
		if _, err := fmt.Fprintf(out, "%-26s %10s\n", row.name, row.value); err != nil {
			return err
		}
	}
	return nil
}
