package main

import (
	"slices"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// noBranch says that no branch has the name that was asked for: wrong use.
type noBranch struct{ error }

func (n noBranch) Unwrap() error { return n.error }

// findBranch finds a branch by its name, and takes the only one where no name
// is given.
func (a *app) findBranch(d *desk.Desk, name string) (jobs.Branch, error) {
	branches, err := d.Branches(a.ctx)
	if err != nil {
		return jobs.Branch{}, err
	}
	if name == "" {
		if len(branches) == 1 {
			return branches[0], nil
		}
		return jobs.Branch{}, wrongUsef("there are %d branches: --branch says which", len(branches))
	}
	at := slices.IndexFunc(branches, func(b jobs.Branch) bool { return strings.EqualFold(b.Name, name) })
	if at < 0 {
		var names []string
		for _, b := range branches {
			names = append(names, b.Name)
		}
		return jobs.Branch{}, noBranch{wrongUsef("there is no branch %q; there are: %s", name, strings.Join(names, ", "))}
	}
	return branches[at], nil
}

// commandLine is who acts when a command does.
func commandLine(d *desk.Desk) desk.Call {
	return desk.Call{Actor: jobs.Actor{Role: jobs.RoleSystem, Name: "command line"}, Now: d.Now()}
}
