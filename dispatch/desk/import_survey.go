package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"strings"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// surveyRow is one row of a survey file: a subject, and a value of it.
type surveyRow struct {
	jobs.ImportRow
	subject jobs.Subject
	field   string
	value   jobs.Value
	key     string // what the row says, so that it counts once
	asIs    string // the same to the letter, as rows were known by before
}

// keys sets by what the row is known: 32 with ft beside it is 32.0 ft, so that a
// sheet's number and a file's text are one.
func (r *surveyRow) keys(jobKey string) {
	sum := func(text, unit string) string {
		s := sha256.Sum256([]byte(strings.Join([]string{jobKey, r.subject.ID, string(r.subject.Kind), r.subject.Name, r.subject.Of,
			strings.Join(r.subject.Ends, " "), r.field, text, unit, string(r.value.Known), r.value.Note}, "\n")))
		return hex.EncodeToString(s[:])
	}
	r.asIs = sum(r.value.Text, r.value.Unit)
	r.key = r.asIs
	spec, ok := jobs.FieldOf(r.subject.Kind, r.field)
	if !ok || !spec.Quantity.Measured() {
		return
	}
	if base, _, err := jobs.ParseMeasure(spec.Quantity, r.value.Text, r.value.Unit); err == nil {
		r.key = sum(itoa(int(base)), "in base units")
	}
}

// takeInSurvey takes the rows of each job's site together: they make one
// change of its survey.
func (d *Desk) takeInSurvey(ctx context.Context, im *importing, rows []jobs.ImportRow) error {
	var order []string
	of := map[string][]surveyRow{}
	for _, row := range rows {
		c := row.Cells()
		r := surveyRow{ImportRow: row, field: c.Text("field"), subject: jobs.Subject{ID: c.Text("subject"), Kind: jobs.SubjectKind(c.Text("subject_kind")),
			Name: c.Text("subject_name"), Of: c.Text("of"), Ends: splitWords(c.Text("ends"))}}
		r.value = jobs.Value{Text: c.Text("text"), Unit: c.Text("unit"), Known: jobs.Known(c.Text("known")), By: c.Text("by"), Note: c.Text("note")}
		r.keys(c.Text("job_key"))
		job := c.Text("job_key")
		if of[job] == nil {
			order = append(order, job)
		}
		of[job] = append(of[job], r)
	}
	left := int64(len(rows))
	for _, job := range order {
		if im.full() {
			im.tally.Left = left
			return nil
		}
		left -= int64(len(of[job]))
		if err := d.takeSurvey(ctx, im, job, of[job]); err != nil {
			return err
		}
	}
	return nil
}

func (d *Desk) takeSurvey(ctx context.Context, im *importing, jobKey string, rows []surveyRow) error {
	type found struct {
		site   jobs.Site
		survey jobs.Survey
		fresh  []surveyRow
		known  []surveyRow
	}
	have, err := read(ctx, d, func(tx *store.Tx) (found, error) {
		j, err := jobOfKey(tx, im.branch.ID, jobKey)
		if err != nil {
			return found{}, err
		}
		site, err := tx.Site(j.SiteID)
		if err != nil {
			return found{}, err
		}
		survey, err := tx.Survey(site)
		if err != nil {
			return found{}, err
		}
		f, seen := found{site: site, survey: survey}, map[string]bool{}
		for _, r := range rows {
			id, err := tx.ImportedAs(im.branch.ID, "survey", r.key)
			if err == nil && id == "" && r.asIs != r.key {
				id, err = tx.ImportedAs(im.branch.ID, "survey", r.asIs)
			}
			if err != nil {
				return f, err
			}
			if id == "" && !seen[r.key] && !r.standsIn(survey) {
				f.fresh = append(f.fresh, r)
			} else {
				f.known = append(f.known, r)
			}
			seen[r.key] = true
		}
		return f, nil
	})
	if jobs.CodeOf(err) == jobs.CodeNotFound && im.would[wouldKey("job", jobKey)] {
		err = nil
		have = found{survey: jobs.Survey{Version: jobs.SurveyVersion, Zone: im.branch.Zone}, fresh: rows}
	}
	if jobs.CodeOf(err) == jobs.CodeNotFound {
		for _, r := range rows {
			im.refuse(jobs.RefusedCell{Sheet: r.Sheet, Line: r.Line, Column: "job_key", Value: jobs.Short(jobKey), Reason: "the key of an enquiry that came in before"})
		}
		return nil
	}
	if err != nil {
		return err
	}
	for _, r := range have.known {
		im.note(r.ImportRow, RowKnown)
	}
	survey, kept := im.merge(have.survey, have.fresh)
	if len(kept) == 0 {
		return nil
	}
	if im.looking {
		im.noteAll(kept)
		return nil
	}
	settled, err := settleSurvey(im.call, survey, have.site.Zone)
	if err != nil {
		return err
	}
	_, err = d.act(ctx, im.call, "importSurvey", func(tx *store.Tx) (Outcome, error) {
		for _, r := range kept {
			if err := tx.InsertImportKey(im.branch.ID, "survey", r.key, have.site.ID); err != nil {
				return Outcome{}, err
			}
		}
		return d.putSurvey(tx, im.call, have.site, have.site.SurveyVersion, settled)
	})
	if err == nil {
		im.noteAll(kept)
	}
	return err
}

// jobOfKey finds the job that came in under a key, or was taken out under its
// own. CodeNotFound.
func jobOfKey(tx *store.Tx, branchID, key string) (jobs.Job, error) {
	j, err := tx.JobByImportKey(branchID, key)
	if jobs.CodeOf(err) != jobs.CodeNotFound || !strings.HasPrefix(key, ownKey) {
		return j, err
	}
	id, keyErr := cameAs(tx, branchID, "job", key)
	if keyErr != nil || id == "" {
		return j, err
	}
	return tx.Job(id)
}

// standsIn says that a survey holds the row as it is already.
func (r surveyRow) standsIn(s jobs.Survey) bool {
	sub, ok := s.Subject(r.subject.ID)
	if !ok || sub.Kind != r.subject.Kind || r.subject.Name != "" && sub.Name != r.subject.Name || r.subject.Of != "" && sub.Of != r.subject.Of ||
		len(r.subject.Ends) > 0 && !slices.Equal(sub.Ends, r.subject.Ends) {
		return false
	}
	v, ok := sub.Values[r.field]
	return r.field == "" || ok && v.Text == r.value.Text && v.Unit == r.value.Unit && v.Known == r.value.Known && v.By == r.value.By && v.Note == r.value.Note
}

func (im *importing) noteAll(rows []surveyRow) {
	for _, r := range rows {
		im.note(r.ImportRow, RowNew)
	}
}

// merge lays rows over a survey, one after the other, and keeps those with
// which it still settles; the others are refused by name.
func (im *importing) merge(survey jobs.Survey, rows []surveyRow) (jobs.Survey, []surveyRow) {
	var kept []surveyRow
	for waiting := rows; len(waiting) > 0; {
		var later []surveyRow
		for _, r := range waiting {
			next := overlay(survey, r)
			_, err := next.Settle()
			if err == nil {
				survey, kept = next, append(kept, r)
				continue
			}
			later = append(later, r)
		}
		if len(later) == len(waiting) { // nothing went in: none of them can
			for _, r := range later {
				_, err := overlay(survey, r).Settle()
				im.refuse(r.refuse(err)...)
			}
			return survey, kept
		}
		waiting = later // a subject that another row hangs on may have come since
	}
	return survey, kept
}

// overlay is the survey with the row in it. The survey given is not changed.
func overlay(s jobs.Survey, r surveyRow) jobs.Survey {
	out := s
	out.Subjects = append([]jobs.Subject{}, s.Subjects...)
	at := -1
	for i, sub := range out.Subjects {
		if sub.ID == r.subject.ID {
			at = i
		}
	}
	if at < 0 {
		out.Subjects = append(out.Subjects, jobs.Subject{ID: r.subject.ID, Kind: r.subject.Kind})
		at = len(out.Subjects) - 1
	}
	sub := out.Subjects[at]
	sub.Kind = r.subject.Kind
	if r.subject.Name != "" {
		sub.Name = r.subject.Name
	}
	if r.subject.Of != "" {
		sub.Of = r.subject.Of
	}
	if len(r.subject.Ends) > 0 {
		sub.Ends = r.subject.Ends
	}
	values := map[string]jobs.Value{}
	for name, v := range sub.Values {
		values[name] = v
	}
	if r.field != "" {
		values[r.field] = r.value
	}
	sub.Values = values
	out.Subjects[at] = sub
	return out
}

// refuse names the cells of a row that did not go in.
func (r surveyRow) refuse(err error) []jobs.RefusedCell {
	var e *jobs.Error
	if !errors.As(err, &e) {
		return []jobs.RefusedCell{{Sheet: r.Sheet, Line: r.Line, Reason: err.Error()}}
	}
	var out []jobs.RefusedCell
	for _, f := range e.Fields {
		column := "text"
		switch {
		case f.Field == r.subject.ID+".of", f.Field == r.subject.ID+".ends", f.Field == r.subject.ID+".name":
			column = strings.TrimPrefix(f.Field, r.subject.ID+".")
			if column == "name" {
				column = "subject_name"
			}
		case f.Field == r.subject.ID+"."+r.field+".known":
			column = "known"
		case f.Field == r.subject.ID+"."+r.field:
			if _, ok := jobs.FieldOf(r.subject.Kind, r.field); !ok {
				column = "field"
			}
		case strings.HasSuffix(f.Field, ".id"):
			column = "subject"
		case strings.HasSuffix(f.Field, ".kind"):
			column = "subject_kind"
		}
		out = append(out, jobs.RefusedCell{Sheet: r.Sheet, Line: r.Line, Column: column, Value: jobs.Short(f.Value), Reason: f.Want})
	}
	return out
}
