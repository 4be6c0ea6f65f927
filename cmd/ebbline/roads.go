package main

import (
	"errors"
	"fmt"
	"os"

	"ebbline/dispatch/travel"
)

// roadsCommand groups what is done with road files.
type roadsCommand struct {
	Build   roadsBuildCommand   `cmd:"" help:"Make a road file of a public road extract (.osm.pbf): driving times, addresses and map from one file."`
	Find    roadsFindCommand    `cmd:"" help:"Find an address in a road file, as the pages do."`
	Place   roadsPlaceCommand   `cmd:"" help:"Put sites on the map that came in before the road file, by their address or ZIP code."`
	Measure roadsMeasureCommand `cmd:"" help:"Measure a road file: how quick it is, and whether it is right."`
}

// readRoads loads a road file, and says in its name what is wrong with it.
func readRoads(name string) (*travel.Roads, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	roads, err := travel.Load(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return roads, nil
}

// writeWhole writes a file so that under its name there is always the old one or
// the new one, never a part.
func writeWhole(name string, write func(*os.File) error) (err error) {
	part := name + ".part"
	file, err := os.Create(part)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(part))
		}
	}()
	if err := errors.Join(write(file), file.Sync(), file.Close()); err != nil {
		return err
	}
	return os.Rename(part, name)
}
