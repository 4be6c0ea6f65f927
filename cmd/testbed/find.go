package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
)

// programs says where the three programs are; an empty path is one not found.
type programs struct {
	pgBin    string // folder that holds initdb and postgres
	redis    string
	chromium string
	wrong    []error // variables that point nowhere
}

// findPrograms looks at PG_BIN, REDIS_SERVER and CHROMIUM first, then where
// Debian puts the programs, then along PATH. A variable that is set and wrong
// is an error, never a reason to look elsewhere.
func findPrograms() programs {
	var p programs
	p.pgBin = p.named("PG_BIN", "initdb", findPostgres)
	p.redis = p.named("REDIS_SERVER", "", func() string { return firstInPath("redis-server") })
	p.chromium = p.named("CHROMIUM", "", func() string { return firstInPath("chromium", "chromium-browser") })
	return p
}

func (p *programs) named(variable, inside string, otherwise func() string) string {
	value := os.Getenv(variable)
	if value == "" {
		return otherwise()
	}
	if _, err := exec.LookPath(filepath.Join(value, inside)); err != nil {
		p.wrong = append(p.wrong, fmt.Errorf("%s=%s: %w", variable, value, err))
	}
	return value
}

// complete says what is missing and how to get it. Chromium may be missing.
func (p programs) complete() error {
	problems := p.wrong
	if p.pgBin == "" {
		problems = append(problems, errors.New("no Postgres server found: set PG_BIN to the folder with initdb and postgres, or use -install"))
	}
	if p.redis == "" {
		problems = append(problems, errors.New("no Redis server found: set REDIS_SERVER to the program, or use -install"))
	}
	return errors.Join(problems...)
}

// findPostgres answers the folder of the newest Postgres server, or "".
func findPostgres() string {
	folders, _ := filepath.Glob("/usr/lib/postgresql/*/bin") // the pattern is right, so no error
	version := func(folder string) int {
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(folder))) // an odd name sorts last
		return n
	}
	sort.Slice(folders, func(i, j int) bool { return version(folders[i]) > version(folders[j]) })
	for _, folder := range folders {
		if _, err := exec.LookPath(filepath.Join(folder, "initdb")); err == nil {
			return folder
		}
	}
	if initdb := firstInPath("initdb"); initdb != "" {
		return filepath.Dir(initdb)
	}
	return ""
}

func firstInPath(names ...string) string {
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}
