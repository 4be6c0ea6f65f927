package main

import (
	"fmt"
	"strings"

	"ebbline/dispatch/travel/address"
)

// roadsFindCommand looks an address up in a road file.
type roadsFindCommand struct {
	File string   `arg:"" help:"The road file."`
	Text []string `arg:"" help:"House number and street, a street, a place, a postcode." placeholder:"TEXT"`
	Most int      `default:"10" help:"How many to list."`
	JSON bool     `name:"json" help:"Print them as JSON."`
}

// roadsFound is a place that was found.
type roadsFound struct {
	Label      string            `json:"label"`
	Precision  address.Precision `json:"precision"`
	LatE7      int32             `json:"lat_e7"`
	LonE7      int32             `json:"lon_e7"`
	RoadMetres *int64            `json:"road_metres"` // from the nearest road; null: none is near
	Cost       int               `json:"cost"`        // how far the text is from the name; 0: as written
}

func (cmd *roadsFindCommand) Run(a *app) error {
	if cmd.Most < 1 || cmd.Most > 1000 {
		return wrongUsef("--most=%d: want 1 to 1000", cmd.Most)
	}
	roads, err := readRoads(cmd.File)
	if err != nil {
		return err
	}
	section := roads.File.Section(address.SectionName)
	if section == nil {
		return fmt.Errorf("%s holds no addresses: build it again from its extract", cmd.File)
	}
	index, err := address.Open(section)
	if err != nil {
		return fmt.Errorf("%s: %w", cmd.File, err)
	}
	found := []roadsFound{}
	for _, h := range index.Find(address.Query{Text: strings.Join(cmd.Text, " "), Limit: cmd.Most}) {
		f := roadsFound{Label: h.Label(), Precision: h.Precision, LatE7: h.At.LatE7, LonE7: h.At.LonE7, Cost: h.Cost}
		if _, off, ok := roads.Snap(h.At.LatE7, h.At.LonE7); ok {
			f.RoadMetres = &off
		}
		found = append(found, f)
	}
	if cmd.JSON {
		return writeJSON(a.out, found)
	}
	if len(found) == 0 {
		return fmt.Errorf("%s knows no such place: %s", cmd.File, strings.Join(cmd.Text, " "))
	}
	for _, f := range found {
		road := "no road near it"
		if f.RoadMetres != nil {
			road = fmt.Sprintf("%d m from a road", *f.RoadMetres)
		}
		if _, err := fmt.Fprintf(a.out, "%-50s %-9s %.7f, %.7f  %s\n", f.Label, f.Precision, float64(f.LatE7)/1e7, float64(f.LonE7)/1e7, road); err != nil {
			return err
		}
	}
	return nil
}
