package check

import (
	"fmt"
	"time"

	"ebbline/dispatch/week"
)

// clock shows an instant as "Tue 09:45", with seconds where there are any. Clocks
// change in the small hours (common practice), so from 4 o'clock on the time of day
// is counted back from the next midnight.
func (c *checker) clock(t int64) string {
	d := int(c.dayOf(t))
	if d < 0 || d >= len(c.w.Days) {
		return fmt.Sprintf("%+d s from the first midnight", t)
	}
	of := t - c.w.Days[d].Start
	if of >= 4*3600 {
		of = 86_400 - (c.w.DayStart(d+1) - t)
	}
	name := fmt.Sprintf("day %d", d)
	if day, err := time.Parse(time.DateOnly, c.w.Days[d].Date); err == nil {
		name = day.Format("Mon")
	}
	text := fmt.Sprintf("%s %02d:%02d", name, of/3600, of/60%60)
	if of%60 != 0 {
		text += fmt.Sprintf(":%02d", of%60)
	}
	return text
}

// length shows seconds as "2 h 5 min" or "40 s".
func length(s int64) string {
	switch {
	case s < 0:
		return "-" + length(-s)
	case s < 60 || s%60 != 0 && s < 3600:
		return fmt.Sprintf("%d s", s)
	case s%60 != 0:
		return fmt.Sprintf("%d h %d min %d s", s/3600, s/60%60, s%60)
	case s < 3600:
		return fmt.Sprintf("%d min", s/60)
	case s%3600 == 0:
		return fmt.Sprintf("%d h", s/3600)
	}
	return fmt.Sprintf("%d h %d min", s/3600, s/60%60)
}

// naming a thing: its label, or its id.
func called(label, id string) string {
	if label != "" {
		return label
	}
	return id
}

func (c *checker) visitName(v *week.Visit) string { return called(v.Label, v.ID) }

func (c *checker) jobName(j *week.Job) string { return called(j.Label, j.ID) }

func (c *checker) tourName(t *week.Tour) string { return called(t.Label, t.ID) }

func (c *checker) placeName(id string) string {
	return called(c.w.Places[c.ix.Place[id]].Label, id)
}

// jobOf is the job of a visit.
func (c *checker) jobOf(v *week.Visit) *week.Job { return &c.w.Jobs[c.ix.Visit[v.ID].Job] }
