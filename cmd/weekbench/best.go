package main

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

var columns = []string{"generator", "hash", "crews", "days", "jobs", "load", "seed", "cost_cents"}

// held is the best cost ever found of a week, 0 where none is kept. With -keep a
// lower one takes its place; a higher one never does.
func (b bench) held(w *week.Week, s weeks.Shape, cost int64) (int64, error) {
	text, err := json.Marshal(w)
	if err != nil {
		return 0, err
	}
	sum := sha256.Sum256(text)
	hash := hex.EncodeToString(sum[:8])
	rows, err := readBest(b.best)
	if err != nil {
		return 0, err
	}
	at := slices.IndexFunc(rows, func(r []string) bool { return r[0] == strconv.Itoa(weeks.Version) && r[1] == hash })
	best := int64(0)
	if at >= 0 {
		if best, err = strconv.ParseInt(rows[at][7], 10, 64); err != nil {
			return 0, fmt.Errorf("%s: cost_cents %q: %w", b.best, rows[at][7], err)
		}
	}
	if !b.keep || best > 0 && best <= cost {
		return best, nil
	}
	row := []string{strconv.Itoa(weeks.Version), hash, strconv.Itoa(s.Crews), strconv.Itoa(s.Days), strconv.Itoa(len(w.Jobs)), b.loadName,
		strconv.FormatUint(s.Seed, 10), strconv.FormatInt(cost, 10)}
	if at >= 0 {
		rows[at] = row
	} else {
		rows = append(rows, row)
	}
	return best, writeBest(b.best, rows)
}

func readBest(file string) ([][]string, error) {
	f, err := os.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	if !slices.Equal(rows[0], columns) {
		return nil, fmt.Errorf("%s: columns %v, %v asked", file, rows[0], columns)
	}
	return rows[1:], nil
}

func writeBest(file string, rows [][]string) error {
	f, err := os.CreateTemp(filepath.Dir(file), "best-*.csv")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	out := csv.NewWriter(f)
	err = out.WriteAll(append([][]string{columns}, rows...))
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), file)
}
