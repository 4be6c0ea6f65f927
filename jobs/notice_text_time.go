package jobs

import (
	"fmt"
	"time"
)

func (t *texting) in(unix int64) time.Time { return time.Unix(unix, 0).In(t.w.Zone) }

// dayOf says a day with its weekday; people live by weekdays.
func (t *texting) dayOf(at time.Time) string {
	return fmt.Sprintf(t.Day, t.Weekdays[int(at.Weekday())], t.Months[int(at.Month())], at.Day())
}

func (t *texting) day(unix int64) string { return t.dayOf(t.in(unix)) }

func (t *texting) civil(d Day) string { return t.dayOf(d.date()) }

func (t *texting) clock(unix int64) string {
	at, half := t.in(unix), t.AM
	if at.Hour() >= 12 {
		half = t.PM
	}
	return fmt.Sprintf(t.Clock, (at.Hour()+11)%12+1, at.Minute(), half)
}

func (t *texting) at(unix int64) string { return fmt.Sprintf(t.At, t.day(unix), t.clock(unix)) }

// window says the second day only where it is another one.
func (t *texting) window(from, to int64) string {
	if DayOf(t.in(from), t.w.Zone) == DayOf(t.in(to), t.w.Zone) {
		return fmt.Sprintf(t.SameDay, t.day(from), t.clock(from), t.clock(to))
	}
	return fmt.Sprintf(t.TwoDays, t.at(from), t.at(to))
}

// span says a length of time in whole days, or hours below two days.
func (t *texting) span(seconds int64) string {
	switch h := (seconds + 1800) / 3600; {
	case h == 1:
		return t.OneHour
	case h < 48:
		return fmt.Sprintf(t.Hours, h)
	}
	return fmt.Sprintf(t.Days, (seconds+43_200)/86_400)
}
