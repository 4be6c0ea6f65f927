package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// instance is a published time-window set in its classic text form: a name,
// vehicles and capacity, then one line a place (number, x, y, demand, ready, due,
// service), the depot first.
type instance struct {
	name               string
	vehicles, capacity int
	places             []place
}

type place struct{ x, y, demand, ready, due, service float64 }

// dataFolder is where the published sets lie: EBBLINE_BENCH, else the folder that
// the project's developers share.
func dataFolder() string {
	if dir := os.Getenv("EBBLINE_BENCH"); dir != "" {
		return dir
	}
	for dir := "."; ; dir = filepath.Join(dir, "..") {
		if at := filepath.Join(dir, "shared", "benchmarks"); folder(at) {
			return at
		}
		if full, err := filepath.Abs(dir); err != nil || full == filepath.Dir(full) {
			return ""
		}
	}
}

// find is a path as given, or the set of that name.
func find(file string) string {
	if _, err := os.Stat(file); err == nil || filepath.Ext(file) != "" {
		return file
	}
	for _, sub := range []string{"solomon100", "gh200"} {
		if at := filepath.Join(dataFolder(), "vrptw", sub, file+".txt"); exists(at) {
			return at
		}
	}
	return file
}

func exists(at string) bool {
	_, err := os.Stat(at)
	return err == nil
}

func folder(at string) bool {
	info, err := os.Stat(at)
	return err == nil && info.IsDir()
}

// readInstance reads a set; an error names file and line.
func readInstance(file string) (instance, error) {
	f, err := os.Open(file)
	if err != nil {
		return instance{}, err
	}
	defer f.Close()
	in := instance{name: strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))}
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		numbers, ok := numbersOf(lines.Text())
		switch {
		case !ok: // a heading
		case len(numbers) == 2 && in.vehicles == 0:
			in.vehicles, in.capacity = int(numbers[0]), int(numbers[1])
		case len(numbers) == 7 && int(numbers[0]) == len(in.places):
			in.places = append(in.places, place{numbers[1], numbers[2], numbers[3], numbers[4], numbers[5], numbers[6]})
		default:
			return instance{}, fmt.Errorf("%s:%d: %q: vehicles and capacity, or place %d with seven numbers asked", file, n, lines.Text(), len(in.places))
		}
	}
	if err := lines.Err(); err != nil {
		return instance{}, err
	}
	if in.vehicles < 1 || len(in.places) < 2 {
		return instance{}, fmt.Errorf("%s: no vehicles, or fewer than two places", file)
	}
	return in, nil
}

func numbersOf(line string) ([]float64, bool) {
	var out []float64
	for _, word := range strings.Fields(line) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return nil, false
		}
		out = append(out, v)
	}
	return out, len(out) > 0
}
