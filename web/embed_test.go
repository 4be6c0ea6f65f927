package web

import (
	"io/fs"
	"strings"
	"testing"
)

func TestFilesAlwaysHaveAFrontPage(t *testing.T) {
	page, err := fs.ReadFile(Files(), "index.html")
	if err != nil {
		t.Fatalf("index.html: %v", err)
	}
	if Built() {
		if !strings.Contains(string(page), `id="app"`) {
			t.Errorf("the built front page has no place for the application:\n%s", page)
		}
		if _, err := fs.Stat(Files(), "assets"); err != nil {
			t.Errorf("the built front end has no assets: %v", err)
		}
		return
	}
	if !strings.Contains(string(page), "npm run build") {
		t.Errorf("the placeholder does not say how to build the pages:\n%s", page)
	}
}

// The Census Bureau's gazetteer has 33,144 ZIP code tabulation areas of 2020 (from
// memory: a little over 33 thousand). Where the pages are built, the list is too.
func TestZips(t *testing.T) {
	if n := len(Zips()); Built() && (n%12 != 0 || n/12 < 33_000 || n/12 > 34_000) {
		t.Errorf("%d ZIP codes", n/12)
	}
}
