package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// maxImportBytes bounds a file: as much as the API takes.
const maxImportBytes = 10 << 20

// importCommand takes in a CSV file or a workbook: good rows are kept, bad ones
// are named, and a second run brings in nothing twice.
type importCommand struct {
	File     string `arg:"" optional:"" help:"CSV file or XLSX workbook, or - for the standard input."`
	Kind     string `help:"What the rows are: ${kinds}; or workbook, where the names of its sheets say so. Without it the file's name says so." placeholder:"KIND"`
	Branch   string `help:"Name of the branch. May be left out where there is only one."`
	Template string `help:"Print an empty file of this kind, with its columns, and do nothing else." placeholder:"KIND"`
}

func (cmd *importCommand) Run(a *app) error {
	if cmd.Template != "" {
		if !slices.Contains(jobs.ImportKinds, jobs.ImportKind(cmd.Template)) {
			return wrongUsef("--template=%s: want one of %s", cmd.Template, importKinds())
		}
		_, err := a.out.Write(jobs.Template(jobs.ImportKind(cmd.Template)))
		return err
	}
	if cmd.File == "" {
		return wrongUsef("which file? A template of one is printed by --template=KIND")
	}
	kind, err := cmd.kind()
	if err != nil {
		return err
	}
	data, err := read(a, cmd.File, func(in io.Reader) ([]byte, error) {
		data, err := io.ReadAll(io.LimitReader(in, maxImportBytes+1))
		if err == nil && len(data) > maxImportBytes {
			err = fmt.Errorf("more than %d MiB; part the file", maxImportBytes>>20)
		}
		return data, err
	})
	if err != nil {
		return err
	}
	d, st, err := a.openDesk()
	if err != nil {
		return err
	}
	defer st.Close()
	branch, err := a.findBranch(d, cmd.Branch)
	if err != nil {
		return err
	}
	out, err := d.Import(a.ctx, commandLine(d), desk.ImportFile{
		BranchID: branch.ID, Kind: kind, Name: filepath.Base(cmd.File), Data: data,
	})
	if err != nil {
		return err
	}
	im, err := d.ShowImport(a.ctx, out.NounID)
	if err != nil {
		return err
	}
	for _, note := range im.Notes {
		fmt.Fprintln(a.out, note)
	}
	for _, cell := range im.Refused {
		at := fmt.Sprintf("line %d", cell.Line)
		if cell.Sheet != "" {
			at = fmt.Sprintf("sheet %s, row %d", cell.Sheet, cell.Line)
		}
		if cell.Column != "" {
			at += ", " + cell.Column
		}
		fmt.Fprintf(a.out, "%s: %q: %s\n", at, cell.Value, cell.Reason)
	}
	for _, t := range im.Sheets {
		if len(im.Sheets) > 1 {
			fmt.Fprintf(a.out, "  %s: %d new, %d known before, %d refused\n", t.Sheet, t.New, t.Known, t.NotTaken)
		}
	}
	fmt.Fprintf(a.out, "%s: %s read, %d new, %d known before, %d refused\n",
		im.Kind, count(int(im.Read), "row"), im.New, im.Known, im.NotTaken)
	if im.NotTaken > 0 {
		return fmt.Errorf("%s refused; the others are kept. Mend them and import the file again", count(int(im.NotTaken), "row was", "rows were"))
	}
	return nil
}

// kind is what was said, or what the file's name begins with: customers.csv,
// customers-2026.csv.
func (cmd *importCommand) kind() (jobs.ImportKind, error) {
	if cmd.Kind != "" {
		if !slices.Contains(jobs.FileKinds, jobs.ImportKind(cmd.Kind)) {
			return "", wrongUsef("--kind=%s: want one of %s, workbook", cmd.Kind, importKinds())
		}
		return jobs.ImportKind(cmd.Kind), nil
	}
	name := strings.ToLower(filepath.Base(cmd.File))
	for _, kind := range jobs.ImportKinds {
		if strings.HasPrefix(name, string(kind)) {
			return kind, nil
		}
	}
	if strings.HasSuffix(name, ".xlsx") {
		return jobs.ImportWorkbook, nil // its sheets say it
	}
	return "", wrongUsef("%s: its name does not say what the rows are; --kind does: %s", cmd.File, importKinds())
}

func importKinds() string {
	var names []string
	for _, kind := range jobs.ImportKinds {
		names = append(names, string(kind))
	}
	return strings.Join(names, ", ")
}
