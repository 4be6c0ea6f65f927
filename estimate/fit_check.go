package estimate

// fitChecks are the light's body in the fitting and the depth of its lens.
func (c *calc) fitChecks(fit Fit) []Check { return []Check{c.lensCheck(fit), fitCheck(fit)} }

// lensCheck is the depth of the lens under the normal level.
func (c *calc) lensCheck(fit Fit) Check {
	least, _ := c.lensLeast()
	f := fit.Lens
	check := Check{Key: "light.depth", Name: "Depth of the lens", About: fit.Position, Source: f.Source, Decides: decidesAuthority}
	asked := ", at least " + show(least, UnitLength) + " asked"
	switch {
	case !f.Known:
		check.Result, check.Text, check.Missing = Unknown, NotKnown, f.Missing
	case f.Low >= least:
		check.Result, check.Text = Holds, "top of the lens "+f.Text+" under the tile line"+asked
	case f.High < least:
		check.Result, check.Text = Short, "top of the lens "+f.Text+" under the tile line, falls short of "+show(least, UnitLength)+" by "+show(least-f.Value, UnitLength)
	default:
		check.Result, check.Text = Unknown, NotKnown+": top of the lens from "+show(f.Low, UnitLength)+" to "+show(f.High, UnitLength)+" under the tile line"+asked
		check.Missing = []Miss{{Subject: fit.Position, Field: "depth", Text: fit.Name + ": depth of the fitting, measured"}}
	}
	return check
}

// fitCheck is the light's body in the wall fitting. Only a measurement settles
// it.
func fitCheck(fit Fit) Check {
	check := Check{Key: "light.fit", Name: "Light's body in the wall fitting", About: fit.Position, Source: fit.Width.Source, Decides: decidesOffice, Text: fit.Text}
	switch fit.Verdict {
	case FitFits, FitAdapter:
		check.Result = Holds
	case FitNo:
		check.Result = Short
	default:
		check.Result, check.Missing = Unknown, fit.Missing
	}
	return check
}
