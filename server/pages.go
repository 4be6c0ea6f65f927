package server

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"ebbline/jobs"
)

// pages serves the embedded front end. A path that is no file gets the page
// itself: what a view shows stands in the address. Files under assets carry
// their content's hash in their names and never change.
func (s *Server) pages(c *gin.Context) {
	name := strings.TrimPrefix(path.Clean(c.Request.URL.Path), "/")
	if name == "api" || strings.HasPrefix(name, "api/") {
		refuse(c, jobs.Errorf(jobs.CodeNotFound, "There is no such path"))
		return
	}
	if c.Request.Method != http.MethodGet && c.Request.Method != http.MethodHead {
		refuse(c, jobs.Errorf(codeMethod, "%s is not for this path", c.Request.Method))
		return
	}
	info, err := fs.Stat(s.Pages, name)
	switch {
	case err == nil && !info.IsDir():
	case path.Ext(name) != "" && name != ".":
		refuse(c, jobs.Errorf(jobs.CodeNotFound, "There is no such file"))
		return
	default:
		name = "index.html"
	}
	if strings.HasPrefix(name, "assets/") {
		c.Header("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		c.Header("Cache-Control", "no-cache")
	}
	content, err := fs.ReadFile(s.Pages, name)
	if err != nil {
		refuse(c, err)
		return
	}
	if packs(name, len(content)) {
		c.Header("Vary", "Accept-Encoding")
		if takesGzip(c.Request.Header) && c.GetHeader("Range") == "" {
			if content, err = s.packedPage(name, content); err != nil {
				refuse(c, err)
				return
			}
			c.Header("Content-Encoding", "gzip")
		}
	}
	c.Status(http.StatusOK)
	http.ServeContent(c.Writer, c.Request, name, time.Time{}, bytes.NewReader(content))
}

// packs says whether a file is worth packing: text, and longer than a packet.
func packs(name string, size int) bool {
	switch path.Ext(name) {
	case ".js", ".mjs", ".css", ".html", ".svg", ".json", ".md", ".txt":
		return size > 1400
	}
	return false
}

// packedPage is a file of the front end as gzip. Each is packed once, when it is
// first asked for; there are as many as were built in.
func (s *Server) packedPage(name string, content []byte) ([]byte, error) {
	if kept, ok := s.packed.Load(name); ok {
		return kept.([]byte), nil
	}
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	kept, _ := s.packed.LoadOrStore(name, out.Bytes())
	return kept.([]byte), nil
}
