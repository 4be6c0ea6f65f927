package main

import (
	"fmt"

	"ebbline/jobs"
)

// roadsPlaceCommand puts sites on the map that came in before the road file.
type roadsPlaceCommand struct {
	Branch string `help:"Name of the branch. May be left out where there is only one."`
}

func (cmd *roadsPlaceCommand) Run(a *app) error {
	d, st, err := a.openDesk()
	if err != nil {
		return err
	}
	defer st.Close()
	branch, err := a.findBranch(d, cmd.Branch)
	if err != nil {
		return err
	}
	placed, err := d.PlaceSites(a.ctx, commandLine(d), branch.ID)
	for _, row := range []struct {
		precision jobs.Precision
		says      string
	}{
		{jobs.PrecisionExact, "at their house number"}, {jobs.PrecisionStreet, "somewhere in their street"},
		{jobs.PrecisionPostcode, "in the middle of their ZIP code"}, {jobs.PrecisionUnknown, "still not found"},
	} {
		fmt.Fprintf(a.out, "%6d sites %s\n", placed[row.precision], row.says)
	}
	return err
}
