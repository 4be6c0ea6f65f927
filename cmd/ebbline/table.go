package main

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"ebbline/dispatch/week"
)

// printPlan writes a plan for a person to read: every crew's day, the water of
// every pool, what is left out and why, and the cost by heads. The plan must fit
// the week, as one that has passed the checker does.
func printPlan(out io.Writer, w *week.Week, p *week.Plan) error {
	c, err := newCivil(w)
	if err != nil {
		return err
	}
	s := &sheet{week: w, plan: p, index: week.NewIndex(w), civil: c}
	s.title()
	for day := range w.Days {
		s.day(day)
	}
	s.pools()
	s.leftOut()
	s.owed()
	s.broken()
	s.cost()
	_, err = s.text.WriteTo(out)
	return err
}

// sheet is the page being written.
type sheet struct {
	civil
	week  *week.Week
	plan  *week.Plan
	index *week.Index
	text  bytes.Buffer
}

func (s *sheet) line(format string, args ...any) { fmt.Fprintf(&s.text, format+"\n", args...) }

// rows writes lines whose cells, parted by tabs, stand below each other.
func (s *sheet) rows(lines []string) {
	var columns bytes.Buffer
	t := tabwriter.NewWriter(&columns, 0, 0, 2, ' ', 0)
	for _, line := range lines {
		fmt.Fprintln(t, "  "+line)
	}
	t.Flush() // into memory: no error
	for _, line := range strings.SplitAfter(columns.String(), "\n") {
		s.text.WriteString(strings.TrimRight(line, " \n"))
		if strings.HasSuffix(line, "\n") {
			s.text.WriteByte('\n')
		}
	}
}

func (s *sheet) heading(text string) { s.line("\n%s", strings.ToUpper(text)) }

func (s *sheet) title() {
	label := s.week.Label
	if label == "" {
		label = "Plan"
	}
	s.line("%s, %s to %s (%s)", label, s.date(0), s.date(len(s.week.Days)-1), s.week.Zone)
	placed := len(s.week.Jobs) - len(s.plan.LeftOut)
	s.line("%s planned, %d left out, %s, total cost %s", count(placed, "job"), len(s.plan.LeftOut),
		count(len(s.plan.Tours), "crew's day", "crews' days"), money(s.plan.Cost.Total))
	if s.week.Travel.Roads != "" {
		s.line("drives by the roads of %s", s.week.Travel.Roads)
	}
}

// day writes one civil day: its closures, then every crew that could work.
func (s *sheet) day(day int) {
	s.heading(s.date(day))
	from, to := s.week.DayStart(day), s.week.DayStart(day+1)
	for _, closure := range s.week.Closures {
		if closure.From < to && closure.To > from {
			s.line("Closed: %s, %s to %s%s", s.closed(closure), s.hourFrom(day, closure.From), s.hourFrom(day, closure.To), s.because(closure))
		}
	}
	planned := map[string]*week.PlanTour{}
	for i := range s.plan.Tours {
		planned[s.plan.Tours[i].Tour] = &s.plan.Tours[i]
	}
	none := true
	for i := range s.week.Tours {
		tour := &s.week.Tours[i]
		if tour.Day != day {
			continue
		}
		none = false
		if made := planned[tour.ID]; made != nil {
			s.crewDay(tour, made)
		} else {
			s.line("%s: nothing planned", s.crewName(tour))
		}
	}
	if none {
		s.line("No crew works.")
	}
}

func (s *sheet) closed(closure week.Closure) string {
	switch {
	case closure.All:
		return "everything"
	case closure.Area != "":
		return "area " + closure.Area
	default:
		return s.placeName(closure.Place)
	}
}

func (s *sheet) because(closure week.Closure) string {
	text := ""
	if closure.Label != "" {
		text = ", " + closure.Label
	}
	if closure.StopsPumping {
		text += "; no pumping either"
	}
	return text
}

// crewDay writes one crew's day: drives, visits and lunch in order of time.
func (s *sheet) crewDay(tour *week.Tour, made *week.PlanTour) {
	head := fmt.Sprintf("%s: leaves %s, back %s", s.crewName(tour), s.hourFrom(tour.Day, made.Depart), s.hourFrom(tour.Day, made.Return))
	if over := made.Return - max(tour.ShiftTo, made.Depart); over > 0 {
		head += ", " + length(over) + " overtime"
	}
	if made.Load > 0 {
		head += ", " + count(made.Load, "pump") + " on the truck"
	}
	s.line("%s", head)

	var lines []string
	at := tour.Start
	lunch := made.Lunch
	lunchBefore := func(instant int64) {
		if lunch != nil && lunch.Inside == "" && lunch.Start < instant {
			lines = append(lines, s.lunchLine(tour, lunch, ""))
			lunch = nil
		}
	}
	for _, stop := range made.Stops {
		lunchBefore(stop.Leave + 1)
		visit, job := s.visit(stop.Visit)
		if visit == nil {
			lines = append(lines, s.times(tour.Day, stop.Start, stop.End)+"\t"+stop.Visit+"\t")
			continue
		}
		if stop.Arrive > stop.Leave {
			lines = append(lines, s.times(tour.Day, stop.Leave, stop.Arrive)+"\tdrive\t"+s.driven(at, visit.Place))
		}
		lunchBefore(stop.Start)
		lines = append(lines, fmt.Sprintf("%s\t%s\t%s", s.times(tour.Day, stop.Start, stop.End), s.visitName(visit), s.stopText(visit, job, stop)))
		if lunch != nil && lunch.Inside == stop.Visit {
			lines = append(lines, s.lunchLine(tour, lunch, "inside the visit above"))
			lunch = nil
		}
		at = visit.Place
	}
	lunchBefore(made.HeadHome + 1)
	if made.Return > made.HeadHome {
		lines = append(lines, s.times(tour.Day, made.HeadHome, made.Return)+"\tdrive back\t"+s.driven(at, tour.End))
	}
	lunchBefore(made.Return + 1)
	s.rows(lines)
}

func (s *sheet) lunchLine(tour *week.Tour, lunch *week.LunchTaken, note string) string {
	seconds := int64(0)
	if tour.Lunch != nil {
		seconds = tour.Lunch.Seconds
	}
	return s.times(tour.Day, lunch.Start, lunch.Start+seconds) + "\tlunch\t" + note
}

// stopText is the customer of a visit and what a crew must know beforehand.
func (s *sheet) stopText(visit *week.Visit, job *week.Job, stop week.Stop) string {
	text := name(job.ID, job.Label)
	if place := s.placeName(visit.Place); !strings.Contains(text, place) {
		text += ", " + place
	}
	var notes []string
	if visit.DropsPump {
		notes = append(notes, "leave a pump")
	}
	if visit.CollectsPump {
		notes = append(notes, "take the pump")
	}
	if wait := stop.Start - stop.Arrive; wait >= 60 {
		why := ""
		if stop.Binds != "" {
			why = " (" + stop.Binds + ")"
		}
		notes = append(notes, "waits "+length(wait)+why)
	}
	switch slack := stop.Slack; {
	case slack == nil:
	case *slack < 60:
		notes = append(notes, "can't slip")
	default:
		notes = append(notes, "can slip "+length(*slack))
	}
	if len(notes) > 0 {
		text += ": " + strings.Join(notes, ", ")
	}
	return text
}

func (s *sheet) leftOut() {
	if len(s.plan.LeftOut) == 0 {
		return
	}
	s.heading("Left out")
	for _, out := range s.plan.LeftOut {
		s.line("%s", s.jobName(out.Job))
		for _, why := range out.Why {
			s.line("    %s", why)
		}
		if len(out.Why) == 0 {
			s.line("    no reason worked out")
		}
	}
}

func (s *sheet) owed() {
	if len(s.plan.Owed) == 0 {
		return
	}
	s.heading("Owed after these days")
	for _, owed := range s.plan.Owed {
		label := s.visitAndJob(owed.Visit)
		if owed.Latest != nil {
			label += ", to start by " + s.at(*owed.Latest).Format("Mon 2 Jan 15:04")
		}
		s.line("  %s", label)
	}
}

func (s *sheet) broken() {
	if len(s.plan.RuleBreaks) == 0 {
		return
	}
	s.heading("Limits broken because no way was left")
	for _, broken := range s.plan.RuleBreaks {
		about := slices.DeleteFunc([]string{s.jobName(broken.Job), s.visitAndJob(broken.Visit), broken.Tour}, func(text string) bool { return text == "" })
		s.line("  %s: %s", strings.ReplaceAll(broken.Rule, "_", " "), strings.Join(about, ", "))
	}
}

// costHead is one head of a cost with its name for people.
type costHead struct {
	name  string
	cents int64
}

func costHeads(c week.Cost) []costHead {
	return []costHead{
		{"driving", c.Driving}, {"paid time", c.PaidTime}, {"overtime", c.Overtime}, {"waiting", c.Waiting},
		{"late", c.Late}, {"left out", c.LeftOut}, {"promises broken or moved", c.Promises}, {"crews told anew", c.ToldAnew},
		{"low beyond the free time", c.Low}, {"owed visits", c.Owed}, {"limits broken", c.RuleBreaks},
	}
}

// cost writes the heads that are not zero, and the total.
func (s *sheet) cost() {
	s.heading("Cost")
	for _, head := range costHeads(s.plan.Cost) {
		if head.cents != 0 {
			s.line("  %-25s %12s", head.name, money(head.cents))
		}
	}
	s.line("  %-25s %12s", "total", money(s.plan.Cost.Total))
}
