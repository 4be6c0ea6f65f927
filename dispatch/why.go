package dispatch

import "ebbline/dispatch/week"

// Explain says for each job that a plan leaves out why.
func Explain(w *week.Week, p *week.Plan) {}
