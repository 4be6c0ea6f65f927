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
		columns := strings.Split(strings.TrimSpace(template.out), ",")
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
		ebbline(t, env, "", "import", file).want(t, exitCannot, "line 3, email", "not an address", "2 rows read, 1 new, 0 known before, 1 refused")
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
		{[]string{"--template=cats"}, "--template=cats: want one of "},
	} {
		ebbline(t, env, "", append([]string{"import"}, c.args...)...).want(t, exitWrongUse, c.want)
	}
	ebbline(t, env, "", "import", "people.csv").want(t, exitCannot, "people.csv")
}
