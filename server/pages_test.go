package server_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"strings"
	"testing"
	"testing/fstest"

	"ebbline/dispatch/desk/desktest"
	"ebbline/server"
	"ebbline/server/servertest"
)

// The pages go out packed to whoever unpacks them, whole to everybody else, and are the
// same either way. Pictures are packed already.
func TestPagesGoOutPacked(t *testing.T) {
	script := strings.Repeat("export const level = 12\n", 400)
	desktest.Each(t, func(t *testing.T, d *desktest.World) {
		office := servertest.New(t, d, func(c *server.Config) {
			c.Pages = fstest.MapFS{"index.html": {Data: []byte("<!doctype html>")}, "assets/a1b2.js": {Data: []byte(script)}, "assets/p.png": {Data: []byte(script)}}
		}).As("dispatcher")
		for range 2 {
			packed := office.Do("GET", "//assets/a1b2.js", nil, "Accept-Encoding", "br, gzip").Want(200)
			if packed.Header.Get("Content-Encoding") != "gzip" || packed.Header.Get("Vary") != "Accept-Encoding" || len(packed.Body) >= len(script) {
				t.Fatalf("%d of %d bytes, %v", len(packed.Body), len(script), packed.Header)
			}
			r, err := gzip.NewReader(bytes.NewReader(packed.Body))
			if err != nil {
				t.Fatal(err)
			}
			if text, err := io.ReadAll(r); err != nil || string(text) != script {
				t.Errorf("unpacked to %d bytes, %v", len(text), err)
			}
		}
		for _, at := range []string{"//assets/a1b2.js", "//assets/p.png"} {
			encoding := "gzip;q=0"
			if strings.HasSuffix(at, "png") {
				encoding = "gzip"
			}
			if plain := office.Do("GET", at, nil, "Accept-Encoding", encoding).Want(200); plain.Header.Get("Content-Encoding") != "" || string(plain.Body) != script {
				t.Errorf("%s: %d bytes, %v", at, len(plain.Body), plain.Header)
			}
		}
	})
}
