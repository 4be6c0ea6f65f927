package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// templateCommand writes a file to fill in and import.
type templateCommand struct {
	Kind   string `arg:"" help:"What its rows are: ${kinds}; or workbook, one with a sheet for each."`
	Output string `short:"o" help:"File to write, .csv or .xlsx. Without it CSV goes to the standard output." placeholder:"FILE"`
}

func (cmd *templateCommand) Run(a *app) error {
	form, err := fileForm("KIND", cmd.Kind, jobs.FileKinds, cmd.Output)
	if err != nil {
		return err
	}
	data, err := desk.ImportTemplate(jobs.ImportKind(cmd.Kind), form)
	if err != nil {
		return err
	}
	return a.writeFile(cmd.Output, data)
}

// exportCommand takes a branch's things out, in the columns in which they are
// imported.
type exportCommand struct {
	Kind   string `arg:"" help:"What to take out: people, crews, pumps, parts, customers, enquiries, survey; or workbook, all of them."`
	Output string `short:"o" help:"File to write, .csv or .xlsx. Without it CSV goes to the standard output." placeholder:"FILE"`
	Branch string `help:"Name of the branch. May be left out where there is only one."`
}

func (cmd *exportCommand) Run(a *app) error {
	form, err := fileForm("KIND", cmd.Kind, append(slices.Clone(desk.TakeOutKinds), jobs.ImportWorkbook), cmd.Output)
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
	data, err := d.TakeOut(a.ctx, branch.ID, jobs.ImportKind(cmd.Kind), form)
	if err != nil {
		return err
	}
	return a.writeFile(cmd.Output, data)
}

// fileForm is the form that a file's name asks for.
func fileForm(what, kind string, kinds []jobs.ImportKind, output string) (desk.FileForm, error) {
	if !slices.Contains(kinds, jobs.ImportKind(kind)) {
		var names []string
		for _, k := range kinds {
			names = append(names, string(k))
		}
		return "", wrongUsef("%s %s: want one of %s", what, kind, strings.Join(names, ", "))
	}
	form := desk.FileForm(strings.TrimPrefix(strings.ToLower(filepath.Ext(output)), "."))
	if output == "" || output == "-" {
		form = desk.FormCSV
	}
	if !slices.Contains(desk.FileForms, form) {
		return "", wrongUsef("--output=%s: want a name that ends in .csv or .xlsx", output)
	}
	if kind == string(jobs.ImportWorkbook) && form != desk.FormXLSX {
		return "", wrongUsef("a workbook needs --output=FILE.xlsx")
	}
	return form, nil
}

// writeFile writes to the file, or to the standard output where none is named.
func (a *app) writeFile(name string, data []byte) error {
	if name == "" || name == "-" {
		_, err := a.out.Write(data)
		return err
	}
	return os.WriteFile(name, data, 0o600)
}
