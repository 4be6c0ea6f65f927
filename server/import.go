package server

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// maxRefused bounds the refused cells in one answer.
const maxRefused = 5000

// POST /imports. Office.
func (h *handlers) ImportFile(ctx context.Context, r api.ImportFileRequestObject) (api.ImportFileResponseObject, error) {
	in, err := fileIn(r.Body, r.Params.BranchID, string(r.Params.Kind), r.Params.FileName, r.Params.Most)
	if err != nil {
		return nil, err
	}
	out, err := h.s.Desk.Import(ctx, h.s.call(ctx, r.Params.IdempotencyKey), in)
	if err != nil {
		return nil, err
	}
	im, err := h.s.Desk.ShowImport(ctx, out.NounID)
	return api.ImportFile201JSONResponse{Body: toImport(im), Headers: api.ImportFile201ResponseHeaders{Location: place("imports", im.ID)}}, err
}

// POST /import-looks. Office. Nothing of it is kept.
func (h *handlers) LookAtFile(ctx context.Context, r api.LookAtFileRequestObject) (api.LookAtFileResponseObject, error) {
	in, err := fileIn(r.Body, r.Params.BranchID, string(r.Params.Kind), r.Params.FileName, r.Params.Most)
	if err != nil {
		return nil, err
	}
	look, err := h.s.Desk.LookAtImport(ctx, h.s.call(ctx, r.Params.IdempotencyKey), in)
	if err != nil {
		return nil, err
	}
	refused, notes := toRefused(look.Import)
	return api.LookAtFile200JSONResponse{
		Kind: string(look.Kind), RowsNew: look.New, RowsKnown: look.Known, RowsRefused: look.NotTaken, RowsLeft: look.Left, Refused: refused, Notes: notes,
		Pages: mapped(look.Pages, func(p desk.LookPage) api.ImportPage {
			return api.ImportPage{Sheet: p.Sheet, Kind: string(p.Kind), Columns: notNil(p.Columns), Rows: mapped(p.Rows, func(row desk.LookRow) api.ImportPageRow {
				return api.ImportPageRow{Line: row.Line, State: api.ImportPageRowState(row.State), Cells: notNil(row.Cells)}
			})}
		}),
	}, nil
}

func fileIn(body io.Reader, branchID, kind string, name *string, most *int64) (desk.ImportFile, error) {
	data, err := io.ReadAll(body) // bounded where the body came in
	return desk.ImportFile{BranchID: branchID, Kind: jobs.ImportKind(kind), Name: val(name), Most: val(most), Data: data}, err
}

// GET /imports. Office.
func (h *handlers) ListImports(ctx context.Context, r api.ListImportsRequestObject) (api.ListImportsResponseObject, error) {
	list, err := h.s.Desk.Imports(ctx, val(r.Params.BranchID))
	return api.ListImports200JSONResponse{Items: mapped(list, toImport)}, err
}

// GET /imports/{id}. Office.
func (h *handlers) ShowImport(ctx context.Context, r api.ShowImportRequestObject) (api.ShowImportResponseObject, error) {
	im, err := h.s.Desk.ShowImport(ctx, r.ID)
	return api.ShowImport200JSONResponse(toImport(im)), err
}

// GET /import-templates/{kind}. Office.
func (h *handlers) ShowImportTemplate(ctx context.Context, r api.ShowImportTemplateRequestObject) (api.ShowImportTemplateResponseObject, error) {
	form := formOf(r.Kind, (*string)(r.Params.Form))
	data, err := desk.ImportTemplate(jobs.ImportKind(r.Kind), form)
	if err != nil {
		return nil, err
	}
	attach(ctx, "ebbline-"+r.Kind+"-form", form)
	if form == desk.FormXLSX {
		out := api.ShowImportTemplate200ApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{}
		out.Body, out.ContentLength = bytes.NewReader(data), int64(len(data))
		return out, nil
	}
	out := api.ShowImportTemplate200TextCsvResponse{}
	out.Body, out.ContentLength = bytes.NewReader(data), int64(len(data))
	return out, nil
}

// GET /exports/{kind}. Office.
func (h *handlers) TakeOut(ctx context.Context, r api.TakeOutRequestObject) (api.TakeOutResponseObject, error) {
	form := formOf(r.Kind, (*string)(r.Params.Form))
	data, err := h.s.Desk.TakeOut(ctx, r.Params.BranchID, jobs.ImportKind(r.Kind), form)
	if err != nil {
		return nil, err
	}
	attach(ctx, "ebbline-"+r.Kind, form)
	if form == desk.FormXLSX {
		out := api.TakeOut200ApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{}
		out.Body, out.ContentLength = bytes.NewReader(data), int64(len(data))
		return out, nil
	}
	out := api.TakeOut200TextCsvResponse{}
	out.Body, out.ContentLength = bytes.NewReader(data), int64(len(data))
	return out, nil
}

// formOf is the form asked for; without one a workbook for several sheets and
// CSV else.
func formOf(kind string, form *string) desk.FileForm {
	switch {
	case form != nil:
		return desk.FileForm(*form)
	case kind == string(jobs.ImportWorkbook):
		return desk.FormXLSX
	}
	return desk.FormCSV
}

// attach names the file that a browser saves. The kind was checked before.
func attach(ctx context.Context, name string, form desk.FileForm) {
	ginOf(ctx).Writer.Header().Set("Content-Disposition", `attachment; filename="`+name+`.`+string(form)+`"`)
}

// toRefused lists what was refused, as much as an answer holds.
func toRefused(im jobs.Import) ([]api.RefusedRow, []string) {
	cells, notes := im.Refused, im.Notes
	if len(cells) > maxRefused {
		notes = append([]string{fmt.Sprintf("Of %d refused values the first %d are listed", len(cells), maxRefused)}, notes...)
		cells = cells[:maxRefused]
	}
	if len(notes) > maxRefused {
		notes = notes[:maxRefused]
	}
	return mapped(cells, func(c jobs.RefusedCell) api.RefusedRow {
		return api.RefusedRow{Line: c.Line, Column: c.Column, Value: c.Value, Reason: c.Reason, Sheet: opt(c.Sheet)}
	}), notNil(notes)
}

func notNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func toImport(im jobs.Import) api.Import {
	refused, notes := toRefused(im)
	return api.Import{
		ID: im.ID, FileName: im.FileName, Kind: string(im.Kind), RowsRead: im.Read, RowsNew: im.New, RowsKnown: im.Known, RowsRefused: im.NotTaken, RowsLeft: im.Left,
		Refused: refused, Notes: notes, MadeAt: im.MadeAt, MadeBy: im.MadeBy,
		Sheets: mapped(im.Sheets, func(t jobs.ImportTally) api.ImportTally {
			return api.ImportTally{Sheet: t.Sheet, Kind: string(t.Kind), RowsNew: t.New, RowsKnown: t.Known, RowsRefused: t.NotTaken, RowsLeft: t.Left}
		}),
	}
}
