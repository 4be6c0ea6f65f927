package jobs

import "strings"

var weekdayNames = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// ParseShifts reads hours like "mon-fri 07:00-16:00; sat 08:00-12:00", each
// with the same overtime. ok is false for anything else, also for a weekday
// named twice.
func ParseShifts(text string, overtimeMinutes int64) (shifts []Shift, ok bool) {
	seen := map[int]bool{}
	for _, part := range strings.Split(text, ";") {
		days, hours, found := strings.Cut(strings.ToLower(CleanLine(part)), " ")
		from, to, span := strings.Cut(hours, "-")
		first, last, _ := strings.Cut(days, "-")
		if last == "" {
			last = first
		}
		a, b := weekdayOf(first), weekdayOf(last)
		start, okFrom := parseClock(from)
		end, okTo := parseClock(to)
		if !found || !span || a < 0 || b < 0 || !okFrom || !okTo {
			return nil, false
		}
		for d := a; ; d = (d + 1) % 7 {
			if seen[d] {
				return nil, false
			}
			seen[d] = true
			shifts = append(shifts, Shift{Weekday: int64(d), FromMinute: start, ToMinute: end, OvertimeMinutes: overtimeMinutes})
			if d == b {
				break
			}
		}
	}
	return shifts, true
}

func weekdayOf(name string) int {
	for i, w := range weekdayNames {
		if w == name {
			return i
		}
	}
	return -1
}

// ShiftText writes a shift as ParseShifts reads it: mon 07:00-16:00.
func ShiftText(s Shift) string {
	clock := func(m int64) string {
		text := itoa64(m % 60)
		if len(text) == 1 {
			text = "0" + text
		}
		return itoa64(m/60) + ":" + text
	}
	return weekdayNames[s.Weekday%7] + " " + clock(s.FromMinute) + "-" + clock(s.ToMinute)
}
