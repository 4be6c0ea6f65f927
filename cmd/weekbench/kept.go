package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"ebbline/dispatch/week"
)

// file is the name of what is written of a week.
func (k key) file(what string) string { return k.label + "-" + k.hash + "-" + what + ".json" }

// kept is the plan of a week that -write left in the folder of -from; nil: none.
func (b *bench) kept(k key) (*week.Plan, error) {
	if b.from == "" {
		return nil, nil
	}
	path := filepath.Join(b.from, k.file("plan"))
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	defer file.Close()
	p, err := week.DecodePlan(file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return p, nil
}
