package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"ebbline/dispatch/travel"
)

// roadsFolder is where road files lie if nothing else is said.
func (c config) roadsFolder() string { return filepath.Join(c.Data, "roads") }

// loadRoads reads the road files of the settings, by their names. A setting that
// names nothing is refused; the folder of the default may be absent.
func (c config) loadRoads() ([]*travel.Roads, error) {
	at := c.Roads
	if at == "" {
		at = c.roadsFolder()
	}
	info, err := os.Stat(at)
	switch {
	case errors.Is(err, os.ErrNotExist) && c.Roads == "":
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("EBBLINE_ROADS: %w", err)
	}
	files := []string{at}
	if info.IsDir() {
		if files, err = filepath.Glob(filepath.Join(at, "*.roads")); err != nil {
			return nil, fmt.Errorf("EBBLINE_ROADS: %w", err)
		}
		slices.Sort(files)
		if len(files) == 0 && c.Roads != "" {
			return nil, fmt.Errorf("EBBLINE_ROADS: %s has no file *.roads; make one by: ebbline roads build REGION.osm.pbf -o %s", at, filepath.Join(at, "REGION.roads"))
		}
	}
	var out []*travel.Roads
	for _, file := range files {
		roads, err := readRoads(file)
		if err != nil {
			return nil, fmt.Errorf("EBBLINE_ROADS: %w", err)
		}
		out = append(out, roads)
	}
	return out, nil
}
