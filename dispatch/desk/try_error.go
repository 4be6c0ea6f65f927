package desk

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// tryError tells what of a question the engine can't take, in the terms in which
// it was asked: the engine counts seconds of its week and names tours. at is the
// path in front of the fields.
func (v *looked) tryError(err error, c jobs.WeekChange, at string) error {
	var faults week.FieldErrors
	if !errors.As(err, &faults) {
		return err
	}
	var f jobs.Faults
	for _, x := range faults {
		switch name := lastField(x.Path); name {
		case "by":
			f.Add(at+"by_day", string(c.ByDay), "a later day: the visits of the job can't be over by then")
		case "start":
			value := ""
			if !c.StartAt.IsZero() {
				value = c.StartAt.Format(time.RFC3339)
			}
			f.Add(at+"start_at", value, v.say(v.at(max(0, v.w.T0)))+" to "+v.say(v.at(v.w.End)))
		case "after":
			f.Add(at+"after_visit_id", c.AfterVisitID, "another visit of that crew's day, one that has not begun or the last that has")
		case "tour":
			f.Add(at+"day", string(c.Day), "a day from which the crew has not returned yet, and one for a visit that is on none")
		case "from":
			f.Add(at+"from_day", string(c.FromDay), "a day of the plan")
		case "visit":
			want := x.Want
			if strings.Contains(want, "is left out") {
				want = "a visit of a job in the plan; this one's is left out: try to put the job in"
			}
			f.Add(at+"visit_id", c.VisitID, want)
		case "job":
			f.Add(at+"job_id", c.JobID, x.Want)
		default:
			value := x.Value
			if plain, err := strconv.Unquote(value); err == nil {
				value = plain
			}
			f.Add(at+name, value, x.Want)
		}
	}
	return f.Err()
}

func lastField(path string) string {
	if _, rest, ok := strings.Cut(path, "]."); ok {
		path = rest
	}
	return path
}
