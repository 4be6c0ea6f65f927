package server

import (
	"context"
	"io"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// POST /imports. Office.
func (h *handlers) ImportFile(ctx context.Context, r api.ImportFileRequestObject) (api.ImportFileResponseObject, error) {
	data, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	out, err := h.s.Desk.Import(ctx, h.s.call(ctx, r.Params.IdempotencyKey), desk.ImportFile{
		BranchID: r.Params.BranchID, Kind: jobs.ImportKind(r.Params.Kind), Name: val(r.Params.FileName), Data: data})
	if err != nil {
		return nil, err
	}
	im, err := h.s.Desk.ShowImport(ctx, out.NounID)
	return api.ImportFile201JSONResponse{Body: toImport(im), Headers: api.ImportFile201ResponseHeaders{Location: place("imports", im.ID)}}, err
}

// GET /imports/{id}. Office.
func (h *handlers) ShowImport(ctx context.Context, r api.ShowImportRequestObject) (api.ShowImportResponseObject, error) {
	im, err := h.s.Desk.ShowImport(ctx, r.ID)
	return api.ShowImport200JSONResponse(toImport(im)), err
}

// GET /import-templates/{kind}. Office.
func (h *handlers) ShowImportTemplate(_ context.Context, r api.ShowImportTemplateRequestObject) (api.ShowImportTemplateResponseObject, error) {
	var f jobs.Faults
	jobs.OneOf(&f, "kind", jobs.ImportKind(r.Kind), jobs.ImportKinds)
	if err := f.Err(); err != nil {
		return nil, err
	}
	text := string(jobs.Template(jobs.ImportKind(r.Kind)))
	return api.ShowImportTemplate200TextCsvResponse{Body: strings.NewReader(text), ContentLength: int64(len(text))}, nil
}

func toImport(im jobs.Import) api.Import {
	return api.Import{
		ID: im.ID, FileName: im.FileName, Kind: string(im.Kind), RowsRead: im.Read, RowsNew: im.New, RowsKnown: im.Known, RowsRefused: im.NotTaken,
		Refused: mapped(im.Refused, func(c jobs.RefusedCell) api.RefusedRow {
			return api.RefusedRow{Line: c.Line, Column: c.Column, Value: c.Value, Reason: c.Reason}
		}), MadeAt: im.MadeAt,
	}
}
