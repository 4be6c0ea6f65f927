package estimate

import "ebbline/jobs"

// spot is a point of a drawn path, µm.
type spot struct{ X, Y int64 }

// path is a conduit as drawn on the plan, from its end at the water; nil where
// none was drawn.
func (c *calc) path(run jobs.Subject) []spot { return nil }
