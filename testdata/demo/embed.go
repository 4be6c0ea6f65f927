// Package demo holds the files of the invented demo company. Town, streets,
// people and company do not exist; telephones are of the range kept for that
// (555-01xx), addresses end in example.com, and the coordinates lie on empty
// desert. Days are not in the files: `ebbline demo` sets them from the day on
// which it runs.
package demo

import "embed"

// Files are CSV files in the form of `ebbline import`, and two of the demo's
// own: story.csv says how far each enquiry has come, finished.csv which pools
// were converted in the weeks before.
//
//go:embed *.csv
var Files embed.FS
