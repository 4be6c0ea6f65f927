package estimate

import "ebbline/jobs"

// along is the length of one conduit, as noted.
func (c *calc) along(run jobs.Subject) (length num, drawn bool) { return c.read(run, "length"), false }
