package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// tryCommand tries one change of a plan from files.
type tryCommand struct {
	Week   string `arg:"" help:"File with the week, or - for the standard input."`
	Plan   string `arg:"" help:"File with the plan, or - for the standard input."`
	Change string `arg:"" help:"File with the change, or - for the standard input: {\"kind\": \"visit\", \"visit\": ..., \"tour\": ...}."`
	JSON   bool   `name:"json" help:"Print what comes of it as JSON."`
	Take   bool   `help:"Print {\"week\": ..., \"plan\": ...} with the change taken in, each as check reads it."`
}

func (cmd *tryCommand) Run(a *app) error {
	q, err := a.asked(cmd.Week, cmd.Plan, cmd.Change)
	if err != nil {
		return err
	}
	change, err := read(a, cmd.Change, decodeChange)
	if err != nil {
		return err
	}
	if cmd.Take {
		w, p, err := q.warm.TryPlan(change)
		if err != nil {
			return err
		}
		if p != nil {
			return writeJSON(a.out, map[string]any{"week": w, "plan": p})
		}
	}
	got, err := q.warm.Try(change)
	if err != nil {
		return err
	}
	if cmd.JSON {
		return writeJSON(a.out, got)
	}
	q.tried(got)
	if _, err := q.text.WriteTo(a.out); err != nil {
		return err
	}
	if !got.Fits {
		return fmt.Errorf("it does not fit")
	}
	return nil
}

// question is a plan laid out for one question, and the page for the answer.
type question struct {
	sheet
	warm *dispatch.Warm
}

// asked reads a week and a plan of it. others are the files that are read beside
// them: only one may be the standard input.
func (a *app) asked(weekFile, planFile string, others ...string) (*question, error) {
	in := 0
	for _, file := range append(others, weekFile, planFile) {
		if file == "-" {
			in++
		}
	}
	if in > 1 {
		return nil, wrongUsef("only one of the files can come from the standard input")
	}
	w, err := a.readWeek(weekFile)
	if err != nil {
		return nil, err
	}
	p, err := a.readPlan(planFile)
	if err != nil {
		return nil, err
	}
	q := &question{}
	if q.warm, err = dispatch.NewWarm(w, p); err != nil {
		return nil, fmt.Errorf("%s: %w", planFile, err)
	}
	c, err := newCivil(w)
	if err != nil {
		return nil, err
	}
	q.sheet = sheet{week: w, plan: p, index: week.NewIndex(w), civil: c}
	return q, nil
}

// decodeChange reads one change strictly.
func decodeChange(in io.Reader) (dispatch.Change, error) {
	list, err := decodeChanges(in)
	if err == nil && len(list) != 1 {
		err = fmt.Errorf("%d changes; want one", len(list))
	}
	if err != nil {
		return dispatch.Change{}, err
	}
	return list[0], nil
}

// decodeChanges reads a change, or a list of them.
func decodeChanges(in io.Reader) ([]dispatch.Change, error) {
	text, err := io.ReadAll(in)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(strings.NewReader(string(text)))
	d.DisallowUnknownFields()
	var list []dispatch.Change
	if strings.HasPrefix(strings.TrimSpace(string(text)), "[") {
		err = d.Decode(&list)
	} else {
		var one dispatch.Change
		err = d.Decode(&one)
		list = []dispatch.Change{one}
	}
	if err == nil && d.More() {
		err = fmt.Errorf("there is more after the change")
	}
	return list, err
}

func (q *question) tried(got dispatch.Tried) {
	if !got.Fits {
		q.line("It does not fit.")
		for _, l := range got.Limits {
			q.line("  %s", l.Text)
		}
		return
	}
	q.line("It fits, and costs %s.", difference(got.After.Total-got.Before.Total))
	q.costs(got.Before, got.After)
	q.moves(got.Moved)
	for _, id := range got.Out {
		q.line("Falls out: %s", q.jobName(id))
	}
	for _, id := range got.In {
		q.line("Comes in: %s", q.jobName(id))
	}
	q.lates(got.Late)
}

// costs writes two costs beside each other, the heads that differ.
func (q *question) costs(before, after week.Cost) {
	was := costHeads(before)
	var lines []string
	for i, h := range costHeads(after) {
		if h.cents != was[i].cents {
			lines = append(lines, fmt.Sprintf("%s\t%s\t%s\t%s", h.name, money(was[i].cents), money(h.cents), difference(h.cents-was[i].cents)))
		}
	}
	q.rows(append(lines, fmt.Sprintf("total\t%s\t%s\t%s", money(before.Total), money(after.Total), difference(after.Total-before.Total))))
}

func (q *question) moves(list []dispatch.MovedVisit) {
	for _, m := range list {
		switch {
		case m.TourBefore == "":
			q.line("New: %s, %s with %s", q.visitAndJob(m.Visit), q.dayHour(m.Start), q.tourCrew(m.Tour))
		case m.Tour == "":
			q.line("No more: %s, %s with %s", q.visitAndJob(m.Visit), q.dayHour(m.Before), q.tourCrew(m.TourBefore))
		default:
			q.line("Moves: %s, from %s with %s to %s with %s", q.visitAndJob(m.Visit), q.dayHour(m.Before), q.tourCrew(m.TourBefore), q.dayHour(m.Start), q.tourCrew(m.Tour))
		}
	}
}

func (q *question) lates(list []dispatch.LatePromise) {
	for _, l := range list {
		text := "nobody comes"
		if l.By != nil && *l.By >= 0 {
			text = length(*l.By) + " after its window"
		} else if l.By != nil {
			text = length(-*l.By) + " before its window"
		}
		q.line("Promise not kept: %s, %s", q.visitAndJob(l.Visit), text)
	}
}

// tourCrew is the name of a tour's crew.
func (q *question) tourCrew(id string) string {
	if i, ok := q.index.Tour[strings.TrimSuffix(id, "+")]; ok {
		return q.crewName(&q.week.Tours[i])
	}
	return id
}

// difference says what costs more or less: 212.00 more.
func difference(cents int64) string {
	switch {
	case cents > 0:
		return money(cents) + " more"
	case cents < 0:
		return money(-cents) + " less"
	}
	return "no more"
}
