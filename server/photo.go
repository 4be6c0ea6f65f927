package server

import (
	"bytes"
	"context"
	"io"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// POST /photos. A tech adds to the own crew's jobs.
func (h *handlers) AddPhoto(ctx context.Context, r api.AddPhotoRequestObject) (api.AddPhotoResponseObject, error) {
	content, err := io.ReadAll(r.Body) // bounded where the body came in
	if err != nil {
		return nil, err
	}
	call := h.s.call(ctx, r.Params.IdempotencyKey)
	out, err := h.s.Desk.AddPhoto(ctx, call, desk.NewPhoto{JobID: r.Params.JobID, VisitID: val(r.Params.VisitID),
		Caption: val(r.Params.Caption), Content: content})
	if err != nil {
		return nil, err
	}
	p, _, err := h.s.Desk.Photo(ctx, call.Actor, out.NounID, false)
	return api.AddPhoto201JSONResponse{Body: toPhoto(p), Headers: api.AddPhoto201ResponseHeaders{Location: place("photos", p.ID)}}, err
}

// GET /jobs/{id}/photos. A tech sees those of the own crew's jobs.
func (h *handlers) ListPhotos(ctx context.Context, r api.ListPhotosRequestObject) (api.ListPhotosResponseObject, error) {
	list, err := h.s.Desk.Photos(ctx, h.s.call(ctx, "").Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ListPhotos200JSONResponse{Items: mapped(list, toPhoto)}, nil
}

// GET /photos/{id}. A tech sees those of the own crew's jobs. Somebody made the
// bytes, so a browser that opens them alone must run nothing and only save.
func (h *handlers) ShowPhoto(ctx context.Context, r api.ShowPhotoRequestObject) (api.ShowPhotoResponseObject, error) {
	p, content, err := h.s.Desk.Photo(ctx, h.s.call(ctx, "").Actor, r.ID, true)
	if err != nil {
		return nil, err
	}
	head := ginOf(ctx).Writer.Header()
	head.Set("Content-Disposition", `attachment; filename="photo-`+p.ID+`.jpg"`)
	head.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	return api.ShowPhoto200ImageJpegResponse{Body: bytes.NewReader(content), ContentLength: int64(len(content))}, nil
}

func toPhoto(p jobs.Photo) api.Photo {
	return api.Photo{ID: p.ID, MediaType: p.MediaType, Bytes: p.Bytes, Width: p.Width, Height: p.Height, Caption: p.Caption, TakenAt: p.TakenAt}
}
