package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestImportKeepsGoodRowsAndNamesBadOnes(t *testing.T) {
	databases(t, func(t *testing.T, env []string) {
		addUser(t, env)
		template := ebbline(t, nil, "", "import", "--template=people")
		template.want(t, exitDone, "name", "skills")
		head, example, _ := strings.Cut(template.out, "\n")
		if !strings.HasPrefix(example, "example: ") {
			t.Errorf("no example row in %q", template.out)
		}
		columns := strings.Split(strings.TrimSpace(head), ",")
		row := func(cells map[string]string) string {
			var line []string
			for _, column := range columns {
				line = append(line, cells[column])
			}
			return strings.Join(line, ",") + "\n"
		}
		file := filepath.Join(t.TempDir(), "people.csv")
		good, bad := row(map[string]string{"key": "p1", "name": "Ada"}), row(map[string]string{"key": "p2", "name": "Bob", "email": "not an address"})
		if err := os.WriteFile(file, []byte(template.out+good+bad), 0o600); err != nil {
			t.Fatal(err)
		}
		ebbline(t, env, "", "import", file).want(t, exitCannot, "row 2 is marked as an example", "line 4, email", "not an address", "2 rows read, 1 new, 0 known before, 1 refused")
		ebbline(t, env, "", "import", file).want(t, exitCannot, "2 rows read, 0 new, 1 known before, 1 refused")
		mended := strings.Replace(template.out+good+bad, "not an address", "bob@example.com", 1)
		ebbline(t, env, mended, "import", "--kind=people", "-").want(t, exitDone, "2 rows read, 1 new, 1 known before, 0 refused")
	})
}

func TestImportWrongUse(t *testing.T) {
	env := inFolder(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "which file?"},
		{[]string{"rows.csv"}, "--kind does: "},
		{[]string{"--kind=cats", "rows.csv"}, "--kind=cats: want one of "},
		{[]string{"--kind=cats", "rows.xlsx"}, "--kind=cats: want one of "},
		{[]string{"--template=cats"}, "--template=cats: want one of "},
	} {
		ebbline(t, env, "", append([]string{"import"}, c.args...)...).want(t, exitWrongUse, c.want)
	}
	ebbline(t, env, "", "import", "people.csv").want(t, exitCannot, "people.csv")
}

// A workbook to fill in, filled in by what was taken out, comes in whole; what was
// taken out comes in again as known, whichever the form.
func TestExportComesInAgain(t *testing.T) {
	databases(t, func(t *testing.T, env []string) {
		addUser(t, env)
		folder := t.TempDir()
		at := func(name string) string { return filepath.Join(folder, name) }
		ebbline(t, env, "", "template", "workbook", "-o", at("form.xlsx")).want(t, exitDone)
		ebbline(t, env, "", "import", at("form.xlsx")).want(t, exitDone, "Sheet people: row 2 is marked as an example", "workbook: 0 rows read")
		ebbline(t, env, "key,name\np1,Ada\np2,Bo\n", "import", "--kind=people", "-").want(t, exitDone, "2 new")
		ebbline(t, env, "name,home,home_lat,home_lon,people,shifts\nNorth,Yard,33.4,-112,p1;p2,mon-fri 07:00-16:00\n", "import", "--kind=crews", "-").want(t, exitDone, "1 new")
		ebbline(t, env, "", "export", "people").want(t, exitDone, "p1,Ada", "p2,Bo")
		ebbline(t, env, "", "export", "workbook", "-o", at("all.xlsx")).want(t, exitDone)
		ebbline(t, env, "", "import", at("all.xlsx")).want(t, exitDone, "3 rows read, 0 new, 3 known before, 0 refused")
		ebbline(t, env, "", "export", "crews", "-o", at("crews.xlsx")).want(t, exitDone)
		ebbline(t, env, "", "import", at("crews.xlsx")).want(t, exitDone, "crews: 1 row read, 0 new, 1 known before")
	})
}

func TestTemplateWrongUse(t *testing.T) {
	env := inFolder(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"template", "cats"}, "KIND cats: want one of "},
		{[]string{"template", "people", "-o", "people.doc"}, "ends in .csv or .xlsx"},
		{[]string{"template", "workbook"}, "a workbook needs --output=FILE.xlsx"},
		{[]string{"export", "history"}, "KIND history: want one of "},
	} {
		ebbline(t, env, "", c.args...).want(t, exitWrongUse, c.want)
	}
}
