package main

import (
	"bytes"
	"encoding/csv"
	"fmt"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/testdata/demo"
)

// demoTable is a CSV file in memory: the names of its columns and its rows.
type demoTable struct {
	columns []string
	rows    [][]string
}

// demoFile reads one of the demo's own files.
func demoFile(name string) (demoTable, error) {
	data, err := demo.Files.ReadFile(name)
	if err != nil {
		return demoTable{}, err
	}
	all, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(all) == 0 {
		return demoTable{}, fmt.Errorf("%s: %w", name, err)
	}
	return demoTable{all[0], all[1:]}, nil
}

// cell reads a row's value by the name of its column.
func (t demoTable) cell(row []string, column string) string {
	for i, name := range t.columns {
		if name == column {
			return row[i]
		}
	}
	return ""
}

// only is the table with the rows whose first cell is the key.
func (t demoTable) only(key string) demoTable {
	out := demoTable{columns: t.columns}
	for _, row := range t.rows {
		if row[0] == key {
			out.rows = append(out.rows, row)
		}
	}
	return out
}

// add appends a row given as pairs of column and value.
func (t *demoTable) add(pairs ...string) {
	row := make([]string, len(t.columns))
	for i := 0; i+1 < len(pairs); i += 2 {
		for c, name := range t.columns {
			if name == pairs[i] {
				row[c] = pairs[i+1]
			}
		}
	}
	t.rows = append(t.rows, row)
}

func (t demoTable) bytes() []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	_ = w.Write(t.columns) // into memory
	_ = w.WriteAll(t.rows)
	return out.Bytes()
}

// takeIn imports a table; a refused row is a fault of the demo, and ends it.
func (f *demoFill) takeIn(kind jobs.ImportKind, name string, t demoTable) error {
	out, err := f.desk.Import(f.ctx, f.office(), desk.ImportFile{BranchID: f.branch, Kind: kind, Name: name, Data: t.bytes()})
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	im, err := f.desk.ShowImport(f.ctx, out.NounID)
	if err != nil {
		return err
	}
	for _, cell := range im.Refused {
		return fmt.Errorf("%s: line %d, %s: %q: %s", name, cell.Line, cell.Column, cell.Value, cell.Reason)
	}
	return nil
}
