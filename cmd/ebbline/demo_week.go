package main

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// pins are the days that the office holds visits to, so that every state of a
// job is there on the morning of the planned week, whatever weekday it is. A
// pool is drained on the eve of its conversion, not over a weekend; where there
// is no way round that, its finish bears it (see survey).
func (d demoDays) pins(word string) map[jobs.VisitKind]jobs.Day {
	drainAndConvert := func(convert int) map[jobs.VisitKind]jobs.Day {
		if convert > 1 && d.back(convert).Weekday() == time.Monday {
			convert--
		}
		return map[jobs.VisitKind]jobs.Day{jobs.VisitDrain: d.back(convert + 1), jobs.VisitConvert: d.back(convert)}
	}
	switch word {
	case "closed", "inspection":
		pins := drainAndConvert(3)
		pins[jobs.VisitCommission] = d.back(1)
		return pins
	case "converted":
		pins := drainAndConvert(2)
		pins[jobs.VisitCommission] = d.first
		return pins
	case "made_safe":
		pins := drainAndConvert(1)
		pins[jobs.VisitConnect] = d.first
		return pins
	case "drained":
		return map[jobs.VisitKind]jobs.Day{jobs.VisitDrain: d.back(1), jobs.VisitConvert: d.first}
	case "prepared":
		return map[jobs.VisitKind]jobs.Day{jobs.VisitPrepare: d.back(1), jobs.VisitConvert: d.ahead(1)}
	case "told":
		return map[jobs.VisitKind]jobs.Day{jobs.VisitConvert: d.first}
	case "told_later":
		return map[jobs.VisitKind]jobs.Day{jobs.VisitConvert: d.ahead(1)}
	}
	return nil
}

// layWeeks lays the two plans: the one of the week before, which reaches into
// the planned week, and the planned week itself, handed out on the evening
// before it.
func (f *demoFill) layWeeks() {
	d := f.days
	f.later(d.at(d.back(5), 15, 0), "", func() error { return f.pin(true) })
	f.later(d.at(d.back(5), 15, 30), "planning the week before", func() error {
		_, w, p, err := f.planDays(d.back(4), d.ahead(2), max(f.ask.rounds/4, 1)) // most of it is held to days anyhow
		if err != nil {
			return err
		}
		return f.live(w, p)
	})
	f.later(d.at(d.back(1), 14, 0), "a storm is forecast", f.storm)
	f.later(d.at(d.back(1), 17, 40), "", func() error { return f.pin(false) })
	f.later(d.at(d.back(1), 17, 45), "planning the week", func() error {
		draft, w, p, err := f.planDays(d.first, d.first.Add(6), f.ask.rounds)
		if err != nil {
			return err
		}
		f.draft = draft
		f.answers(w, p)
		return nil
	})
}

// pin holds the visits of the week before to their days, or lets them go.
func (f *demoFill) pin(hold bool) error {
	for _, s := range f.stories {
		pins := f.days.pins(s.word)
		if pins == nil {
			continue
		}
		j, err := f.job(s)
		if err != nil {
			return err
		}
		for _, v := range j.Visits {
			day, pinned := pins[v.Kind]
			if !pinned {
				continue
			}
			if !hold {
				day = ""
			}
			if v.State != jobs.VisitOpen && v.State != jobs.VisitRouted {
				continue
			}
			if _, err := f.desk.ChangeVisit(f.ctx, f.office(), v.ID, v.Version, jobs.VisitChange{PinDay: &day}); err != nil {
				return err
			}
		}
	}
	return nil
}

// planDays plans the days and hands the plan out.
func (f *demoFill) planDays(first, last jobs.Day, rounds int64) (draftID string, w *week.Week, p *week.Plan, err error) {
	out, err := f.desk.CreateDraft(f.ctx, f.office(), f.branch, jobs.NewDraft{FirstDay: first, Days: int64(last.Sub(first) + 1)})
	if err != nil {
		return "", nil, nil, err
	}
	draftID = out.NounID
	run, err := f.desk.StartPlanRun(f.ctx, f.office(), draftID, jobs.RunData{Seed: f.ask.seed, Rounds: rounds, Seconds: 600})
	if err != nil {
		return "", nil, nil, err
	}
	if err := f.desk.RunPlan(f.ctx, run.NounID, nil); err != nil {
		return "", nil, nil, err
	}
	done, err := f.desk.PlanRun(f.ctx, run.NounID)
	if err != nil {
		return "", nil, nil, err
	}
	if done.State != jobs.RunDone {
		return "", nil, nil, fmt.Errorf("no plan was made: %s", done.Error)
	}
	f.ask.say("  %d rounds: %s planned, %d left out, total cost %s", done.DoneRounds, count(int(*done.Placed), "job"), *done.LeftOut, *done.Best)
	draft, err := f.desk.Draft(f.ctx, draftID)
	if err != nil {
		return "", nil, nil, err
	}
	if _, err := f.desk.HandOut(f.ctx, f.office(), draftID, draft.Version); err != nil {
		return "", nil, nil, err
	}
	w, p, err = readDraft(f.ctx, f.desk, draftID)
	if err == nil {
		err = f.deliver()
	}
	return draftID, w, p, err
}

// storm closes the fourth planned day and notes what is forecast.
func (f *demoFill) storm() error {
	day := f.days.ahead(3)
	_, err := f.desk.CreateClosure(f.ctx, f.office(), f.branch, jobs.ClosureData{Kind: jobs.ClosureEverything, FromAt: f.days.at(day, 0, 0),
		ToAt: f.days.at(day.Add(1), 0, 0), StopsPumping: true, Reason: "storm"})
	for i := 0; err == nil && i < 7; i++ {
		high, rain := int64(29_000+f.rng.IntN(5_000)), int64(0)
		if f.days.first.Add(i) == day {
			high, rain = 19_000, 31_000
		}
		_, err = f.desk.NoteDay(f.ctx, f.office(), f.branch, jobs.DayFactData{Day: f.days.first.Add(i), HighTempMC: &high, RainUM: &rain,
			GroundWater: jobs.GroundWaterLow})
	}
	return err
}

// instants answers what a second of a plan is by the calendar.
func instants(w *week.Week, zone *time.Location) func(int64) time.Time {
	base := jobs.Day(w.Days[0].Date).Start(zone)
	return func(s int64) time.Time { return base.Add(time.Duration(s) * time.Second).UTC() }
}

// readDraft reads the problem and the plan of a draft.
func readDraft(ctx context.Context, d *desk.Desk, id string) (*week.Week, *week.Plan, error) {
	file, err := d.DraftFile(ctx, id)
	if err != nil {
		return nil, nil, err
	}
	w, err := week.DecodeWeek(bytes.NewReader(file.Week))
	if err != nil {
		return nil, nil, err
	}
	p, err := week.DecodePlan(bytes.NewReader(file.Plan))
	return w, p, err
}
