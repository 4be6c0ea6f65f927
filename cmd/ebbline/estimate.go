package main

import (
	"fmt"
	"io"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
)

// estimateCommand computes estimates from surveys, without a database.
type estimateCommand struct {
	Surveys []string `arg:"" name:"survey" help:"Files with a survey each, or - for the standard input."`
	Working bool     `help:"Show how every figure comes about: formula, inputs, source, margin."`
	Zones   int      `default:"1" help:"Zones of light that the customer wants, 1 or 2."`
	JSON    bool     `name:"json" help:"Print one JSON object per survey instead of text."`
}

func (cmd *estimateCommand) Run(a *app) error {
	if cmd.Zones < 1 || cmd.Zones > 2 {
		return wrongUsef("--zones=%d: want 1 or 2", cmd.Zones)
	}
	for i, name := range cmd.Surveys {
		survey, err := read(a, name, decodeSurvey)
		if err != nil {
			return err
		}
		set, ask := estimate.DefaultSettings(), estimate.Ask{Zones: cmd.Zones}
		e := estimate.Make(survey, set, ask)
		if cmd.JSON {
			text, err := estimate.Encode(e)
			if err != nil {
				return err
			}
			fmt.Fprintf(a.out, "%s\n", text)
			continue
		}
		if i > 0 {
			fmt.Fprintln(a.out)
		}
		fmt.Fprintf(a.out, "Estimate from %s\n", name)
		if cmd.Working {
			fmt.Fprint(a.out, estimate.Sheet(e), estimate.OptionSheet(estimate.Options(survey, set, ask)), estimate.WorthSheet(estimate.Worth(survey, set, ask), 12))
		} else {
			fmt.Fprint(a.out, estimate.Brief(e))
		}
	}
	return nil
}

// decodeSurvey reads no more than a survey may have, and a byte that tells that
// there is more.
func decodeSurvey(in io.Reader) (jobs.Survey, error) {
	text, err := io.ReadAll(io.LimitReader(in, jobs.MaxSurveyBytes+1))
	if err != nil {
		return jobs.Survey{}, err
	}
	survey, err := jobs.DecodeSurvey(text)
	if err != nil {
		return jobs.Survey{}, err
	}
	if _, err := time.LoadLocation(survey.Zone); err != nil {
		return jobs.Survey{}, jobs.Faults{{Field: "zone", Value: survey.Zone, Want: "a zone that exists, like America/Phoenix"}}.Err()
	}
	return survey, nil
}
