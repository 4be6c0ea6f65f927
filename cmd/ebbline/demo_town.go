package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"ebbline/dispatch/travel/town"
)

// demoTownSeed is always the same: the demo's seed draws what happens, not where.
const demoTownSeed = 1

// demoSuffixes are the ends of the demo's streets as its files abbreviate them.
var demoSuffixes = map[string]string{"Ave": "Avenue", "Cir": "Circle", "Ct": "Court", "Dr": "Drive", "Ln": "Lane", "Pl": "Place", "Rd": "Road"}

// demoTown invents the town that the company works in. Every address of the
// demo's files that has a house number stands in it.
func demoTown() (*town.Town, error) {
	spec := town.Spec{Seed: demoTownSeed, Houses: []town.Address{{Number: 1, Street: "Ironwood Spur"}}}
	for _, name := range []string{"enquiries.csv", "finished.csv"} {
		t, err := demoFile(name)
		if err != nil {
			return nil, err
		}
		for _, row := range t.rows {
			if a, ok := demoAddress(t.cell(row, "street"), t.cell(row, "postcode")); ok {
				spec.Houses = append(spec.Houses, a)
			}
		}
	}
	return town.Make(spec)
}

// demoAddress reads "953 Saltbush Dr"; false where no house number stands in
// front.
func demoAddress(street, postcode string) (town.Address, bool) {
	front, name, _ := strings.Cut(street, " ")
	number, err := strconv.Atoi(front)
	if err != nil {
		return town.Address{}, false
	}
	if i := strings.LastIndexByte(name, ' '); demoSuffixes[name[i+1:]] != "" {
		name = name[:i+1] + demoSuffixes[name[i+1:]]
	}
	return town.Address{Number: number, Street: name, Postcode: postcode}, true
}

// raiseDemoTown writes the town as a road extract and makes a road file of it,
// as the command roads build does, unless that has been done.
func raiseDemoTown(a *app, c config) error {
	file := filepath.Join(c.roadsFolder(), "cinder-wells.roads")
	if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if err := os.MkdirAll(c.roadsFolder(), 0o700); err != nil {
		return err
	}
	made, err := demoTown()
	if err != nil {
		return err
	}
	var extract bytes.Buffer
	if err := made.WritePBF(&extract); err != nil {
		return err
	}
	if err := os.WriteFile(strings.TrimSuffix(file, ".roads")+".osm.pbf", extract.Bytes(), 0o600); err != nil {
		return err
	}
	quiet := *a // it takes a moment
	quiet.errs = io.Discard
	b, _, err := buildRoads(&quiet, bytes.NewReader(extract.Bytes()), int64(extract.Len()), nil)
	if err != nil {
		return err
	}
	return writeWhole(file, func(out *os.File) error {
		_, err := b.WriteTo(out)
		return err
	})
}
