package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"net/http"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3filter"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// typeTile is the media type of vector tiles.
const typeTile = "application/vnd.mapbox-vector-tile"

func init() { openapi3filter.RegisterBodyDecoder(typeTile, openapi3filter.FileBodyDecoder) }

// GET /tiles. Anyone who signed in: it is a public map.
func (h *handlers) ListTileSets(context.Context, api.ListTileSetsRequestObject) (api.ListTileSetsResponseObject, error) {
	list, err := h.s.Desk.TileSets()
	if err != nil {
		return nil, err
	}
	return api.ListTileSets200JSONResponse{Items: mapped(list, toTileSet)}, nil
}

// GET /tiles/{z}/{x}/{y}. Anyone who signed in.
func (h *handlers) ShowTile(ctx context.Context, r api.ShowTileRequestObject) (api.ShowTileResponseObject, error) {
	t, err := h.s.Desk.Tile(val(r.Params.Version), int(r.Z), int(r.X), int(r.Y))
	if err != nil {
		return nil, err
	}
	c := ginOf(ctx)
	out := tileAnswer{tile: t, tag: `"` + t.Tag + `"`, packed: takesGzip(c.Request.Header), known: c.Request.Header.Get("If-None-Match")}
	if val(r.Params.Version) != "" {
		out.keep = "private, max-age=86400" // the address changes with the roads
	} else {
		out.keep = "private, no-cache"
	}
	return out, nil
}

// tileAnswer hands a tile out as it is kept, packed; who can't unpack gets it
// unpacked.
type tileAnswer struct {
	tile       desk.Tile
	tag, known string
	packed     bool
	keep       string
}

// VisitShowTileResponse writes the answer.
func (a tileAnswer) VisitShowTileResponse(w http.ResponseWriter) error {
	head := w.Header()
	head.Set("Cache-Control", a.keep)
	head.Set("Vary", "Accept-Encoding")
	head.Set("ETag", a.tag)
	if a.known != "" && strings.Contains(a.known, a.tag) {
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	head.Set("Content-Type", typeTile)
	body := a.tile.Packed
	if len(body) > 0 && a.packed {
		head.Set("Content-Encoding", "gzip")
	} else if len(body) > 0 {
		r, err := gzip.NewReader(bytes.NewReader(body))
		if err != nil {
			return jobs.Wrap(jobs.CodeInternal, err, "A tile that was kept cannot be unpacked")
		}
		if body, err = io.ReadAll(r); err != nil {
			return jobs.Wrap(jobs.CodeInternal, err, "A tile that was kept cannot be unpacked")
		}
	}
	head.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(http.StatusOK)
	_, err := w.Write(body)
	return err
}

// takesGzip says whether a caller unpacks gzip (RFC 9110, 12.5.3; a weight of
// zero refuses it).
func takesGzip(h http.Header) bool {
	for one := range strings.SplitSeq(strings.Join(h.Values("Accept-Encoding"), ","), ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(one), ";")
		if strings.EqualFold(strings.TrimSpace(name), "gzip") {
			q, ok := strings.CutPrefix(strings.ReplaceAll(weight, " ", ""), "q=")
			n, err := strconv.ParseFloat(q, 64)
			return !ok || err == nil && n > 0
		}
	}
	return false
}

func toTileSet(t desk.TileSet) api.TileSet {
	return api.TileSet{Version: t.Version, Attribution: t.Attribution, SouthE7: int64(t.South), WestE7: int64(t.West), NorthE7: int64(t.North),
		EastE7: int64(t.East), MinZoom: 0, MaxZoom: int64(t.MaxZoom)}
}
