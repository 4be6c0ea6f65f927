package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"syscall"

	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// key names a week for ever: the generator's version, and the week's own contents.
type key struct{ generator, hash, label string }

var columns = []string{"generator", "hash", "week", "cost_cents"}

func (b *bench) keyOf(w *week.Week, seed uint64) key {
	label := fmt.Sprintf("%dx%d-%s-%d", b.shape.Crews, b.shape.Days, b.load, seed)
	if b.jobs >= 0 {
		label = fmt.Sprintf("%dx%dx%d-%s-%d", b.shape.Crews, b.shape.Days, b.jobs, b.load, seed)
	}
	if b.planted {
		label = fmt.Sprintf("%dx%d-planted-%d", b.shape.Crews, b.shape.Days, seed)
	}
	return key{strconv.Itoa(weeks.Generator), weeks.Hash(w), label}
}

// readBest reads the best costs in cents; no file, no costs.
func readBest(path string) (map[key]int64, error) {
	list := map[key]int64{}
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return list, nil
	} else if err != nil {
		return nil, err
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(rows) > 0 && !slices.Equal(rows[0], columns) {
		return nil, fmt.Errorf("%s: columns %v, want %v", path, rows[0], columns)
	}
	for i, row := range rows {
		if i == 0 {
			continue
		}
		cents, err := strconv.ParseInt(row[3], 10, 64)
		if err != nil || cents < 1 {
			return nil, fmt.Errorf("%s:%d: cost_cents %q, want a whole number above 0", path, i+1, row[3])
		}
		list[key{row[0], row[1], row[2]}] = cents
	}
	return list, nil
}

// keepBest writes a cost if it is better than what is kept. Several programs may keep
// costs in one file at once.
func keepBest(path string, k key, cents int64) error {
	unlock, err := lock(path)
	if err != nil {
		return err
	}
	defer unlock()
	list, err := readBest(path)
	if err != nil {
		return err
	}
	if old, ok := list[k]; ok && old <= cents {
		return nil
	}
	list[k] = cents
	keys := make([]key, 0, len(list))
	for k := range list {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(a, b int) bool {
		if keys[a].label != keys[b].label {
			return keys[a].label < keys[b].label
		}
		return keys[a].generator+keys[a].hash < keys[b].generator+keys[b].hash
	})
	file, err := os.CreateTemp(filepath.Dir(path), "best-*")
	if err != nil {
		return err
	}
	rows := [][]string{columns}
	for _, k := range keys {
		rows = append(rows, []string{k.generator, k.hash, k.label, strconv.FormatInt(list[k], 10)})
	}
	err = errors.Join(csv.NewWriter(file).WriteAll(rows), file.Chmod(0o644), file.Close())
	if err == nil {
		err = os.Rename(file.Name(), path)
	}
	if err != nil {
		_ = os.Remove(file.Name())
	}
	return err
}

// lock keeps other programs from writing beside a file, until it is called off.
func lock(path string) (unlock func(), err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	folder, err := os.Open(filepath.Dir(path))
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(folder.Fd()), syscall.LOCK_EX); err != nil {
		return nil, errors.Join(err, folder.Close())
	}
	return func() { _ = folder.Close() }, nil
}
