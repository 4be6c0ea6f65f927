// Package web holds the built front end inside the binary.
//
// `npm run build` writes the pages into dist, of which only dist/.keep is
// committed. A program built without them still starts: it serves one plain
// page that says how to build the real ones.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

//go:embed unbuilt/index.html
var unbuilt embed.FS

// Files gives the front end by slash-separated path, index.html at the root.
// Where nothing was built it holds the page that says so, and nothing else.
func Files() fs.FS {
	if Built() {
		return under(dist, "dist")
	}
	return under(unbuilt, "unbuilt")
}

// Built reports whether the real pages were there when the program was built.
func Built() bool {
	_, err := fs.Stat(dist, "dist/index.html")
	return err == nil
}

// Zips gives the middles of ZIP codes as `npm run build` wrote them, in the form
// that package address reads; nil where nothing was built.
func Zips() []byte {
	data, err := dist.ReadFile("dist/zips.bin")
	if err != nil {
		return nil
	}
	return data
}

// under is fs.Sub for a folder that is known to be embedded: Sub fails only
// on a malformed path, and both paths above are constants.
func under(files embed.FS, folder string) fs.FS {
	sub, err := fs.Sub(files, folder)
	if err != nil {
		panic(err)
	}
	return sub
}
