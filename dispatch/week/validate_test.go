package week

import (
	"bytes"
	"errors"
	"testing"
)

func ptr[T any](v T) *T { return &v }

// spoiled is one change to the example week and the fault that it has to give.
type spoiled struct {
	name              string
	change            func(w *Week)
	path, value, want string
}

// flat is a table that adds the same seconds everywhere.
func flat(by int64) Table { return Table{{-86_400, -86_400 + by}, {864_000, 864_000 + by}} }

// begin makes the example's Monday tour of Heron a begun one, at 8:10 in the drain.
func begin(w *Week) *Begun {
	w.T0 = 29_400
	w.Jobs[0].Begun = true
	w.Tours[0].Begun = &Begun{Depart: 27_000, Load: 1, Place: "willow", FreeAt: 30_600,
		Stops: []Stop{{Visit: "willow.drain", Leave: 27_000, Arrive: 28_200, Start: 28_800, End: 30_600}}}
	return w.Tours[0].Begun
}

var spoiledWeeks = []spoiled{
	{"version", func(w *Week) { w.Version = 3 }, "version", "3", "1"},
	{"zone", func(w *Week) { w.Zone = "" }, "zone", `""`, "time zone"},
	{"no days", func(w *Week) { w.Days = nil }, "days", "a list of 0", "1 to 14 days"},
	{"fifteen days", func(w *Week) { w.Days = make([]Day, 15) }, "days", "a list of 15", "1 to 14 days"},
	{"date", func(w *Week) { w.Days[0].Date = "9 March" }, "days[0].date", `"9 March"`, "2026-03-09"},
	{"a gap between days", func(w *Week) { w.Days[1].Date = "2026-03-11" }, "days[1].date", `"2026-03-11"`, "2026-03-10"},
	{"first midnight", func(w *Week) { w.Days[0].Start = 5 }, "days[0].start", "5", "0, the first midnight"},
	{"a day of 12 h", func(w *Week) { w.Days[1].Start = 43_200 }, "days[1].start", "43200", "86400"},
	{"a quantile of all", func(w *Week) { w.Uncertainty.PlannedPermille = 1000 }, "uncertainty.planned_permille", "1000", "1 to 999"},
	{"early after late", func(w *Week) { w.Uncertainty.EarlyPermille = 950 }, "uncertainty.early_permille", "950", "900 (late_permille) or less"},
	{"negative spread of drives", func(w *Week) { w.Uncertainty.DriveLogSD = ptr(int64(-1)) }, "uncertainty.drive_log_sd_permille", "-1", "0 to 3000"},
	{"percent for thousandths", func(w *Week) { w.Uncertainty.WorkDayLogSD = 8000 }, "uncertainty.work_day_log_sd_permille", "8000", "0 to 3000"},
	{"spread of traffic", func(w *Week) { w.Uncertainty.TrafficDayLogSD = -5 }, "uncertainty.traffic_day_log_sd_permille", "-5", "0 to 3000"},
	{"spread of water", func(w *Week) { w.Uncertainty.WaterDayLogSD = 3001 }, "uncertainty.water_day_log_sd_permille", "3001", "0 to 3000"},
	{"median past a day", func(w *Week) { w.Jobs[0].Visits[1].MedianSeconds = 90_000 }, "jobs[0].visits[1].median_seconds", "90000", "1 to 86400 seconds"},
	{"spread without a median", func(w *Week) { w.Jobs[0].Visits[1].MedianSeconds = 0 }, "jobs[0].visits[1].log_sd_permille", "300", "the median beside it"},
	{"drain without a median", func(w *Week) { w.Jobs[0].Water.DrainMedian = 0 }, "jobs[0].water.drain_log_sd_permille", "142", "the median beside it in drain_median_seconds"},
	{"negative refill", func(w *Week) { w.Jobs[0].Water.FillMedian = -4 }, "jobs[0].water.fill_median_seconds", "-4", "1 to 34560000 seconds"},
	{"horizon ends before the last day", func(w *Week) { w.End = 100_000 }, "end", "100000", "259200"},
	{"now past the horizon", func(w *Week) { w.T0 = 300_000 }, "t0", "300000", "earlier than 259200"},
	{"milliseconds", func(w *Week) { w.T0 = 21_600_000_000 }, "t0", "21600000000", "whole seconds"},
	{"next working day inside", func(w *Week) { w.NextWorkday.Day = 2 }, "next_workday.day", "2", "3 or more"},
	{"next working day ends inside", func(w *Week) { w.NextWorkday.End = 259_200 }, "next_workday.end", "259200", "later than 259200"},
	{"no places", func(w *Week) { w.Places = nil }, "places", "a list of 0", "at least one"},
	{"place without id", func(w *Week) { w.Places[2].ID = "" }, "places[2].id", `""`, "not empty"},
	{"place twice", func(w *Week) { w.Places[2].ID = "yard" }, "places[2].id", `"yard"`, "places[0].id has it already"},
	{"skill twice", func(w *Week) { w.Skills = append(w.Skills, w.Skills[0]) }, "skills[1].id", `"licensed"`, "skills[0].id"},
	{"kind twice", func(w *Week) { w.Kinds[1].ID = "survey" }, "kinds[1].id", `"survey"`, "kinds[0].id"},
	{"crew twice", func(w *Week) { w.Crews[1].ID = "heron" }, "crews[1].id", `"heron"`, "crews[0].id"},
	{"home twice", func(w *Week) { w.Homes = append(w.Homes, w.Homes[0]) }, "homes[1].id", `"yard"`, "homes[0].id"},
	{"matrix short of a row", func(w *Week) { w.Travel.Seconds = w.Travel.Seconds[:4] }, "travel.seconds", "a list of 4", "5 rows"},
	{"matrix short of a number", func(w *Week) { w.Travel.Metres[3] = w.Travel.Metres[3][:2] }, "travel.metres[3]", "a list of 2", "5 numbers"},
	{"negative drive", func(w *Week) { w.Travel.Seconds[1][2] = -1 }, "travel.seconds[1][2]", "-1", "0 to 1000000 seconds"},
	{"drive from a place to itself", func(w *Week) { w.Travel.Metres[1][1] = 4 }, "travel.metres[1][1]", "4", "0 metres"},
	{"standing traffic", func(w *Week) { w.Travel.Periods[0].Permille = 0 }, "travel.periods[0].permille", "0", "1 to 10,000"},
	{"periods out of order", func(w *Week) { w.Travel.Periods[1].From = 25_200 }, "travel.periods[1].from", "25200", "later than 25200"},
	{"pumps of too few days", func(w *Week) { w.Homes[0].Pumps = []int{1} }, "homes[0].pumps", "a list of 1", "3 numbers"},
	{"negative pumps", func(w *Week) { w.Homes[0].Pumps[1] = -2 }, "homes[0].pumps[1]", "-2", "0 to 10,000"},

	{"tour twice", func(w *Week) { w.Tours[1].ID = "heron-mon" }, "tours[1].id", `"heron-mon"`, "tours[0].id"},
	{"unknown crew", func(w *Week) { w.Tours[0].Crew = "egret" }, "tours[0].crew", `"egret"`, "one of crews"},
	{"two tours of a crew on a day", func(w *Week) { w.Tours[1].Crew = "heron" }, "tours[1].crew", `"heron"`, "tours[0] is its tour already"},
	{"day past the horizon", func(w *Week) { w.Tours[0].Day = 3 }, "tours[0].day", "3", "0 to 2"},
	{"unknown start", func(w *Week) { w.Tours[0].Start = "moon" }, "tours[0].start", `"moon"`, "one of places"},
	{"unknown end", func(w *Week) { w.Tours[0].End = "moon" }, "tours[0].end", `"moon"`, "one of places"},
	{"unknown home", func(w *Week) { w.Tours[0].Home = "moon" }, "tours[0].home", `"moon"`, "one of homes"},
	{"a crew with no shift", func(w *Week) { w.Tours[0].ShiftTo = w.Tours[0].ShiftFrom }, "tours[0].shift_to", "25200", "a crew without a shift has no tour"},
	{"a shift that ends before it starts", func(w *Week) { w.Tours[0].ShiftTo = 20_000 }, "tours[0].shift_to", "20000", "later than 25200"},
	{"overtime before the shift's end", func(w *Week) { w.Tours[0].OvertimeTo = 50_000 }, "tours[0].overtime_to", "50000", "55800"},
	{"shift on another day", func(w *Week) { w.Tours[0].Day, w.Tours[2].Day = 1, 0 }, "tours[0].shift_from", "25200", "an instant of day 1"},
	{"unknown skill of a tour", func(w *Week) { w.Tours[0].Skills = []string{"diving"} }, "tours[0].skills[0]", `"diving"`, "one of skills"},
	{"nobody in the crew", func(w *Week) { w.Tours[0].People = 0 }, "tours[0].people", "0", "1 or more people"},
	{"negative berths", func(w *Week) { w.Tours[0].Berths = -1 }, "tours[0].berths", "-1", "0 or more"},
	{"negative room", func(w *Week) { w.Tours[0].Room = -1 }, "tours[0].room", "-1", "0 (not looked at) to 1,000,000 litres"},
	{"berths without a home", func(w *Week) { w.Tours[0].Home = "" }, "tours[0].berths", "2", "a home to load"},
	{"negative pay", func(w *Week) { w.Tours[0].PayPerHour = -5 }, "tours[0].pay_per_hour", "-5", "cents"},
	{"lunch of nothing", func(w *Week) { w.Tours[0].Lunch.Seconds = 0 }, "tours[0].lunch.seconds", "0", "1 to 21,600"},
	{"lunch window reversed", func(w *Week) { w.Tours[0].Lunch.To = 30_000 }, "tours[0].lunch.to", "30000", "39600 (from) or later"},
	{"lunch at night", func(w *Week) { w.Tours[0].Lunch.From, w.Tours[0].Lunch.To = 80_000, 81_000 }, "tours[0].lunch.to", "81000", "meets the shift"},
	{"unknown frozen visit", func(w *Week) { w.Tours[0].Frozen = []string{"x"} }, "tours[0].frozen[0]", `"x"`, "a visit of one of jobs"},
	{"frozen twice", func(w *Week) { w.Tours[0].Frozen, w.Tours[1].Frozen = []string{"agave.back"}, []string{"agave.back"} }, "tours[1].frozen[0]", `"agave.back"`, "tours[0].frozen[0]"},

	{"begun in the future", func(w *Week) { begin(w).Depart = 29_401 }, "tours[0].begun.depart", "29401", "29400 (t0) or earlier"},
	{"begun with too many pumps", func(w *Week) { begin(w).Load = 3 }, "tours[0].begun.load", "3", "0 to 2 pumps"},
	{"begun stop not begun", func(w *Week) { s := begin(w).Stops; s[0].Start = 29_401 }, "tours[0].begun.stops[0].start", "29401", "it has begun"},
	{"begun stop ends before it starts", func(w *Week) { s := begin(w).Stops; s[0].End = 28_800 }, "tours[0].begun.stops[0].end", "28800", "later than 28800"},
	{"begun stop arrives before it leaves", func(w *Week) { s := begin(w).Stops; s[0].Arrive = 26_999 }, "tours[0].begun.stops[0].arrive", "26999", "27000 (leave)"},
	{"begun stop leaves before departing", func(w *Week) { s := begin(w).Stops; s[0].Leave = 26_999 }, "tours[0].begun.stops[0].leave", "26999", "27000"},
	{"unknown begun visit", func(w *Week) { s := begin(w).Stops; s[0].Visit = "x" }, "tours[0].begun.stops[0].visit", `"x"`, "a visit of one of jobs"},
	{"begun twice", func(w *Week) { b := begin(w); w.Tours[1].Begun = ptr(*b) }, "tours[1].begun.stops[0].visit", `"willow.drain"`, "tours[0].begun.stops[0].visit has it already"},
	{"a crew on two begun tours", func(w *Week) {
		begin(w)
		w.Jobs[1].Begun = true
		w.Tours[2].Begun = &Begun{Depart: 29_400, Place: "ocotillo", FreeAt: 32_000,
			Stops: []Stop{{Visit: "ocotillo.look", Leave: 29_400, Arrive: 29_400, Start: 29_400, End: 32_000}}}
	}, "tours[2].begun.depart", "29400", "apart from tours[0].begun, 27000 to 30600"},
	{"out too long, and lunch is over", func(w *Week) { begin(w).FreeAt = 48_601 }, "tours[0].begun.free_at", "48601", "48600 (lunch.to) or earlier"},
	{"crew nowhere", func(w *Week) { begin(w).Place = "x" }, "tours[0].begun.place", `"x"`, "one of places"},
	{"free before its stop ends", func(w *Week) { begin(w).FreeAt = 30_599 }, "tours[0].begun.free_at", "30599", "30600 or later"},
	{"free before now", func(w *Week) { begin(w); w.T0 = 30_601 }, "tours[0].begun.free_at", "30600", "30601 (t0) or later"},
	{"lunch in the future", func(w *Week) { begin(w).LunchStart = ptr(int64(29_401)) }, "tours[0].begun.lunch_start", "29401", "29400 (t0)"},
	{"lunch inside no stop", func(w *Week) { b := begin(w); b.LunchStart, b.LunchInside = ptr(int64(29_000)), "x" }, "tours[0].begun.lunch_inside", `"x"`, "stops' visits"},
	{"returned before its stop ends", func(w *Week) { begin(w).Returned = ptr(int64(29_000)) }, "tours[0].begun.returned", "29000", "30600"},
	{"begun visit, job not begun", func(w *Week) { begin(w); w.Jobs[0].Begun = false }, "jobs[0].begun", "false", "true: a visit of it has begun at tours[0].begun"},
	{"begun and frozen", func(w *Week) { begin(w); w.Tours[0].Frozen = []string{"willow.drain"} }, "tours[0].frozen[0]", `"willow.drain"`, "has not begun"},

	{"job twice", func(w *Week) { w.Jobs[1].ID = "willow" }, "jobs[1].id", `"willow"`, "jobs[0].id"},
	{"visit twice", func(w *Week) { w.Jobs[1].Visits[0].ID = "willow.drain" }, "jobs[1].visits[0].id", `"willow.drain"`, "jobs[0].visits[0].id"},
	{"negative value", func(w *Week) { w.Jobs[0].Value = -1 }, "jobs[0].value", "-1", "cents"},
	{"due far away", func(w *Week) { w.Jobs[0].DueDay = 20_260_309 }, "jobs[0].due_day", "20260309", "a day counted"},
	{"ends before it starts", func(w *Week) { w.Jobs[0].NotBefore, w.Jobs[0].NotAfter = ptr(int64(90_000)), ptr(int64(80_000)) }, "jobs[0].not_after", "80000", "104400 or later"},
	{"too short for its longest visit", func(w *Week) { w.Jobs[0].NotBefore, w.Jobs[0].NotAfter = ptr(int64(0)), ptr(int64(14_399)) }, "jobs[0].not_after", "14399", "14400 or later"},
	{"no visits", func(w *Week) { w.Jobs[1].Visits, w.Promises = nil, nil }, "jobs[1].visits", "a list of 0", "1 to 6 visits"},
	{"seven visits", func(w *Week) {
		for i := range 6 {
			v := w.Jobs[1].Visits[0]
			v.ID += string(rune('a' + i))
			w.Jobs[1].Visits = append(w.Jobs[1].Visits, v)
		}
	}, "jobs[1].visits", "a list of 7", "1 to 6 visits"},
	{"unknown kind", func(w *Week) { w.Jobs[0].Visits[0].Kind = "x" }, "jobs[0].visits[0].kind", `"x"`, "one of kinds"},
	{"unknown place", func(w *Week) { w.Jobs[0].Visits[0].Place = "x" }, "jobs[0].visits[0].place", `"x"`, "one of places"},
	{"no time for the work", func(w *Week) { w.Jobs[0].Visits[0].Seconds = 0 }, "jobs[0].visits[0].seconds", "0", "1 to 86,400"},
	{"milliseconds of work", func(w *Week) { w.Jobs[0].Visits[0].Seconds = 1_800_000 }, "jobs[0].visits[0].seconds", "1800000", "1 to 86,400"},
	{"nobody needed", func(w *Week) { w.Jobs[0].Visits[0].People = 0 }, "jobs[0].visits[0].people", "0", "1 or more"},
	{"room in millilitres", func(w *Week) { w.Jobs[0].Visits[0].Room = 12_000_000 }, "jobs[0].visits[0].room", "12000000", "0 to 1,000,000 litres"},
	{"unknown skill", func(w *Week) { w.Jobs[0].Visits[1].Skills = []string{"x"} }, "jobs[0].visits[1].skills[0]", `"x"`, "one of skills"},
	{"window that ends before it starts", func(w *Week) { w.Jobs[3].Visits[0].Allowed = []Span{{50, 40}} }, "jobs[3].visits[0].allowed[0].to", "40", "50 (from) or later"},
	{"windows out of order", func(w *Week) { w.Jobs[3].Visits[0].Allowed = []Span{{9000, 12_000}, {0, 9000}} }, "jobs[3].visits[0].allowed[1].from", "0", "later than 12000"},
	{"too long for its windows", func(w *Week) { w.Jobs[3].Visits[0].Allowed = []Span{{0, 2699}} }, "jobs[3].visits[0].seconds", "2700", "2699 or less"},
	{"unknown need", func(w *Week) { w.Jobs[0].Visits[0].Water = "wet" }, "jobs[0].visits[0].water", `"wet"`, "nothing, low or covered"},
	{"low without water", func(w *Week) { w.Jobs[3].Visits[0].Water = NeedLow }, "jobs[3].visits[0].water", `"low"`, "a job with water"},
	{"only owed", func(w *Week) { w.Jobs[3].Visits[0].MayOwe = true }, "jobs[3].visits", "may be owed", "a first visit without may_owe"},
	{"owes what needs low water", func(w *Week) { w.Jobs[0].Visits[1].MayOwe = true }, "jobs[0].visits[1].may_owe", "true", "false for a visit that needs low"},
	{"owes in the middle", func(w *Week) {
		w.Jobs[2].Visits = append(w.Jobs[2].Visits, Visit{ID: "n", Kind: "survey", Place: "yard", Seconds: 1, People: 1, Water: NeedNothing})
	}, "jobs[2].visits[2].may_owe", "false", "true after"},
	{"drops where nothing is drained", func(w *Week) { w.Jobs[3].Visits[0].DropsPump = true }, "jobs[3].visits[0].drops_pump", "true", "the drain_visit"},
	{"nobody collects", func(w *Week) { w.Jobs[0].Visits[1].CollectsPump = false }, "jobs[0].visits[1].collects_pump", "false", "true: the first visit after a drop collects"},
	{"collects nothing", func(w *Week) { w.Jobs[0].Visits[2].CollectsPump = true }, "jobs[0].visits[2].collects_pump", "true", "false"},
	{"drops and never collects", func(w *Week) { w.Jobs[0].Visits, w.Jobs[0].Links = w.Jobs[0].Visits[:1], nil }, "jobs[0].visits[0].drops_pump", "true", "a visit after it"},

	{"link of a stranger", func(w *Week) { w.Jobs[0].Links[0].From = "agave.back" }, "jobs[0].links[0].from", `"agave.back"`, "the job's own visits"},
	{"link backwards", func(w *Week) { l := &w.Jobs[0].Links[0]; l.From, l.To = l.To, l.From }, "jobs[0].links[0].to", `"willow.convert"`, `a visit after "willow.light"`},
	{"link to itself", func(w *Week) { l := &w.Jobs[0].Links[0]; l.From = l.To }, "jobs[0].links[0].to", `"willow.light"`, "a visit after"},
	{"link open on both sides", func(w *Week) { l := &w.Jobs[0].Links[0]; l.Lo, l.Hi = nil, nil }, "jobs[0].links[0]", "open on both sides", "lo, hi or both"},
	{"link that ends before it starts", func(w *Week) { *w.Jobs[0].Links[0].Hi = -1 }, "jobs[0].links[0].hi", "-1", "0 (lo) or more"},
	{"link twice", func(w *Week) { w.Jobs[0].Links = append(w.Jobs[0].Links, w.Jobs[0].Links[0]) }, "jobs[0].links[1]", "twice", "one link with both"},
	{"links in a circle", func(w *Week) {
		// light within a minute of the drain, and yet after the conversion of four hours
		w.Jobs[0].Links = append(w.Jobs[0].Links, Link{From: "willow.drain", To: "willow.light", Hi: ptr(int64(60))})
	}, "jobs[0].links", "a circle", "some times can meet"},

	{"unknown way", func(w *Week) { w.Jobs[0].Water.Way = "bucket" }, "jobs[0].water.way", `"bucket"`, "pump, outlet, customer, arrival or window"},
	{"table missing", func(w *Week) { w.Jobs[0].Water.LowLate = nil }, "jobs[0].water.low_late", "missing", "a table of points (way pump)"},
	{"window beside a pump", func(w *Week) { w.Jobs[0].Water.Window = &Span{0, 5} }, "jobs[0].water.window", "given", "nothing (way pump)"},
	{"no drain visit", func(w *Week) { w.Jobs[0].Water.DrainVisit = "" }, "jobs[0].water.drain_visit", "missing", "a visit of the job, or drained_at"},
	{"drain visit of another job", func(w *Week) { w.Jobs[0].Water.DrainVisit = "agave.back" }, "jobs[0].water.drain_visit", `"agave.back"`, "the job's own visits"},
	{"drain visit after the work", func(w *Week) { v := w.Jobs[0].Visits; v[0], v[1] = v[1], v[0] }, "jobs[0].water.drain_visit", `"willow.drain"`, "before all that need"},
	{"drain visit without a pump", func(w *Week) { w.Jobs[0].Visits[0].DropsPump = false }, "jobs[0].water.drain_visit", `"willow.drain"`, "drops_pump true (way pump)"},
	{"outlet with a pump", func(w *Week) { w.Jobs[0].Water.Way = WayOutlet }, "jobs[0].water.drain_visit", `"willow.drain"`, "drops_pump false (way outlet)"},
	{"a table that falls", func(w *Week) { w.Jobs[2].Water.LowLate[0].Y = 2_000_000 }, "jobs[2].water.low_late[1].y", "914400", "tables never fall"},
	{"a table that repeats x", func(w *Week) { w.Jobs[2].Water.LowLate[1].X = w.Jobs[2].Water.LowLate[0].X }, "jobs[2].water.low_late[1].x", "-172800", "more than -172800"},
	{"water that is quicker than time", func(w *Week) { w.Jobs[2].Water.Covered[1].Y = w.Jobs[2].Water.Covered[1].X - 1 }, "jobs[2].water.covered[1].y", "863999", "water needs time"},
	{"a drain that can never fit", func(w *Week) { w.Jobs[0].Water.LowLimit = flat(3600) }, "jobs[0].water.low_limit", "no start of the drain can keep", "this drain can never fit"},
	{"a customer's drain that can never fit", func(w *Week) { w.Jobs[2].Water.LowLate = flat(9 * 86_400) }, "jobs[2].water.low_limit", "no start", "can never fit"},
	{"drained in the future", func(w *Week) {
		j := &w.Jobs[2]
		j.Begun, j.Water.Customer, j.Water.DrainedAt = true, nil, ptr(int64(21_601))
	}, "jobs[2].water.drained_at", "21601", "21600 (t0) or earlier"},
	{"drained, not begun", func(w *Week) { j := &w.Jobs[2]; j.Water.Customer, j.Water.DrainedAt = nil, ptr(int64(0)) }, "jobs[2].water.drained_at", "0", "begun true"},
	{"customer and drained", func(w *Week) { j := &w.Jobs[2]; j.Begun, j.Water.DrainedAt = true, ptr(int64(0)) }, "jobs[2].water.customer", "both or neither", "exactly one"},
	{"filled while it must be low", func(w *Week) { j := &w.Jobs[2]; j.Begun, j.Water.FillFrom = true, ptr(int64(0)) }, "jobs[2].water.fill_from", "0", "no visit that still needs low"},
	{"pump of nobody on site", func(w *Week) { w.Jobs[0].Begun, w.Jobs[0].Water.PumpOnSite = true, "x" }, "jobs[0].water.pump_on_site", `"x"`, "one of homes"},
	{"covered before low", func(w *Week) {
		v := w.Jobs[2].Visits
		v[0].Water, v[1].Water, v[1].MayOwe = NeedCovered, NeedLow, false
	}, "jobs[2].water", "needs low water after", "all that need low water first"},
	{"covered and never low", func(w *Week) { w.Jobs[2].Visits[0].Water = NeedNothing }, "jobs[2].water", "needs covered", "fill_from"},
	{"window too short", func(w *Week) { w.Jobs[2].Water = &Water{Way: WayWindow, Window: &Span{0, 14_399}} }, "jobs[2].water.window.to", "14399", "14400 or later"},
	{"arrival longer than water hours", func(w *Week) {
		w.Jobs[2].Visits[0].Seconds = 50_000
		w.Jobs[2].Water = &Water{Way: WayArrival, ArrivalSeconds: 46_801, LowEarly: flat(3600), Covered: flat(7200), LowLimit: flat(600_000)}
	}, "jobs[2].water.arrival_seconds", "46801", "46800 or less, the longest of water_hours: this drain can never fit"},
	{"arrival longer than the visit", func(w *Week) {
		w.Jobs[2].Water = &Water{Way: WayArrival, ArrivalSeconds: 14_401, LowEarly: flat(3600), Covered: flat(7200), LowLimit: flat(600_000)}
	}, "jobs[2].water.arrival_seconds", "14401", "14400 or less, the seconds of visit"},
	{"customer hours too short", func(w *Week) { w.Jobs[2].Water.Customer.Width = 18_001 }, "jobs[2].water.customer.width", "18001", "18000 or less, the longest of hours"},
	{"customer without hours", func(w *Week) { w.Jobs[2].Water.Customer.Hours = nil }, "jobs[2].water.customer.hours", "a list of 0", "at least one span"},
	{"no notice hours", func(w *Week) { w.Jobs[2].Water.Customer.NoticeHours = nil }, "jobs[2].water.customer.notice_hours", "a list of 0", "at least one span"},
	{"negative lead", func(w *Week) { w.Jobs[2].Water.Customer.Lead = -1 }, "jobs[2].water.customer.lead", "-1", "0 or more seconds"},
	{"sent interval reversed", func(w *Week) { w.Jobs[2].Water.Customer.Sent = &Interval{60_000, 50_000} }, "jobs[2].water.customer.sent.latest", "50000", "60000 (earliest) or later"},

	{"water hours overlap", func(w *Week) { w.WaterHours[1].From = 72_000 }, "water_hours[1].from", "72000", "later than 72000"},
	{"closure twice", func(w *Week) { w.Closures = append(w.Closures, w.Closures[0]) }, "closures[1].id", `"street-works"`, "closures[0].id"},
	{"closure of what", func(w *Week) { w.Closures[0].Place = "" }, "closures[0]", "0 of place, area and all", "exactly one"},
	{"closure of two things", func(w *Week) { w.Closures[0].All = true }, "closures[0]", "2 of place", "exactly one"},
	{"closure of an unknown place", func(w *Week) { w.Closures[0].Place = "x" }, "closures[0].place", `"x"`, "one of places"},
	{"closure of an unknown area", func(w *Week) { w.Closures[0].Place, w.Closures[0].Area = "", "west" }, "closures[0].area", `"west"`, "the area of one of places"},
	{"closure that ends as it starts", func(w *Week) { w.Closures[0].To = w.Closures[0].From }, "closures[0].to", "21600", "later than 21600"},
	{"promise twice", func(w *Week) { w.Promises = append(w.Promises, w.Promises[0]) }, "promises[1].id", `"p1"`, "promises[0].id"},
	{"promise of an unknown visit", func(w *Week) { w.Promises[0].Visit = "x" }, "promises[0].visit", `"x"`, "a visit of one of jobs"},
	{"promise reversed", func(w *Week) { w.Promises[0].To = 5 }, "promises[0].to", "5", "28800 (from) or later"},
	{"handed out to an unknown tour", func(w *Week) { w.HandedOut.Tours[0].Tour = "x" }, "handed_out.tours[0].tour", `"x"`, "one of tours"},
	{"handed out twice", func(w *Week) { w.HandedOut.Tours = append(w.HandedOut.Tours, w.HandedOut.Tours[0]) }, "handed_out.tours[1].tour", `"quail-mon"`, "handed_out.tours[0].tour"},
	{"a penalty for being early", func(w *Week) { w.Rates.PromiseLateCents = -60 }, "rates.promise_late_cents_per_hour", "-60", "cents"},
	{"the worst paid back", func(w *Week) { w.Rates.PromiseWorstCents = -1 }, "rates.promise_worst_cents_per_hour", "-1", "cents"},
	{"negative rate", func(w *Week) { w.Rates.OwedCents = -1 }, "rates.owed_cents", "-1", "cents"},
	{"rate in dollars of a nation", func(w *Week) { w.Rates.LowCents = 1_000_000_001 }, "rates.low_cents_per_hour", "1000000001", "0 to 1,000,000,000 cents"},
	{"permille above ten", func(w *Week) { w.Rates.WaitingPermille = 10_001 }, "rates.waiting_permille_per_day", "10001", "0 to 10,000"},

	{"empty pin", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{} }, "jobs[0].visits[0].pin", "an empty pin", "tour, day or start"},
	{"pin to an unknown tour", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{Tour: "x"} }, "jobs[0].visits[0].pin.tour", `"x"`, "one of tours"},
	{"pin to an unknown day", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{Day: ptr(3)} }, "jobs[0].visits[0].pin.day", "3", "0 to 2"},
	{"pin before now", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{Start: ptr(int64(21_599))} }, "jobs[0].visits[0].pin.start", "21599", "21600 (t0)"},
	{"pin: tour against day", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{Tour: "heron-mon", Day: ptr(1)} },
		"jobs[0].visits[0].pin.tour", `tour "heron-mon" (day 0)`, "to agree with jobs[0].visits[0].pin.day = day 1: two days"},
	{"pin: start against day", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{Day: ptr(1), Start: ptr(int64(30_000))} },
		"jobs[0].visits[0].pin.day", "day 1", "to agree with jobs[0].visits[0].pin.start = 30000: starts"},
	{"pin: start against tour", func(w *Week) { w.Jobs[0].Visits[0].Pin = &Pin{Tour: "heron-mon", Start: ptr(int64(62_000))} },
		"jobs[0].visits[0].pin.tour", "heron-mon", "jobs[0].visits[0].pin.start = 62000"},
	{"pin: tour against frozen order", func(w *Week) {
		w.Tours[1].Frozen = []string{"agave.back"}
		w.Jobs[3].Visits[0].Pin = &Pin{Tour: "heron-mon"}
	},
		"jobs[3].visits[0].pin.tour", "heron-mon", `tours[1].frozen[0] = tour "quail-mon" (day 0): two tours`},
	{"pin: two starts on one tour", func(w *Week) {
		w.Jobs[1].Visits[0].Pin = &Pin{Tour: "quail-mon", Start: ptr(int64(30_000))}
		w.Jobs[3].Visits[0].Pin = &Pin{Tour: "quail-mon", Start: ptr(int64(33_599))}
	}, "jobs[1].visits[0].pin.start", "30000", "jobs[3].visits[0].pin.start = 33599: both on tour"},
	{"pin: two starts against a frozen order", func(w *Week) {
		w.Tours[1].Frozen = []string{"agave.back", "ocotillo.look"}
		w.Jobs[1].Visits[0].Pin = &Pin{Start: ptr(int64(30_000))}
		w.Jobs[3].Visits[0].Pin = &Pin{Start: ptr(int64(40_000))}
	}, "jobs[1].visits[0].pin.start", "30000", "jobs[3].visits[0].pin.start = 40000"},
	{"pin: days against the chain", func(w *Week) {
		w.Jobs[0].Visits[0].Pin, w.Jobs[0].Visits[1].Pin = &Pin{Day: ptr(2)}, &Pin{Day: ptr(1)}
	}, "jobs[0].visits[0].pin.day", "day 2", "jobs[0].visits[1].pin.day = day 1: the order of visits[0] and visits[1] of their job cannot hold"},
	{"pin: starts against a link", func(w *Week) {
		*w.Jobs[0].Links[0].Hi = 3600
		w.Jobs[0].Visits[1].Pin, w.Jobs[0].Visits[2].Pin = &Pin{Start: ptr(int64(115_200))}, &Pin{Day: ptr(2)}
	}, "jobs[0].visits[1].pin.start", "115200", "jobs[0].visits[2].pin.day = day 2: links[0].hi of their job cannot hold"},
}

// TestValidate spoils the example one fault at a time.
func TestValidate(t *testing.T) {
	data := readFile(t, "week.example.json")
	for _, s := range spoiledWeeks {
		t.Run(s.name, func(t *testing.T) {
			w, err := DecodeWeek(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			s.change(w)
			wantFault(t, w.Validate(), s.path, s.value, s.want)
		})
	}
}

// TestValidateTakes has weeks near the limits that are right.
func TestValidateTakes(t *testing.T) {
	data := readFile(t, "week.example.json")
	for name, change := range map[string]func(w *Week){
		"as it is":               func(*Week) {},
		"begun":                  func(w *Week) { begin(w) },
		"now before the horizon": func(w *Week) { w.T0 = -86_400 },
		"a day of 23 hours": func(w *Week) {
			w.Days[2].Start, w.End = w.Days[2].Start-3600, w.End-3600
		},
		"not_after just long enough": func(w *Week) { w.Jobs[0].NotBefore, w.Jobs[0].NotAfter = ptr(int64(0)), ptr(int64(14_400)) },
		"just as long as its window": func(w *Week) { w.Jobs[3].Visits[0].Allowed = []Span{{0, 2700}} },
		"pins that agree": func(w *Week) {
			w.Jobs[0].Visits[0].Pin = &Pin{Tour: "heron-mon", Day: ptr(0), Start: ptr(int64(28_800))}
			w.Jobs[0].Visits[1].Pin = &Pin{Day: ptr(1)}
			w.Tours[0].Frozen = []string{"willow.drain"}
		},
		"pinned starts that just follow": func(w *Week) {
			w.Jobs[1].Visits[0].Pin = &Pin{Tour: "quail-mon", Start: ptr(int64(30_000))}
			w.Jobs[3].Visits[0].Pin = &Pin{Tour: "quail-mon", Start: ptr(int64(33_600))}
		},
		// Low may come 9 h and surely 14 h after d; 2 h of told width, 4 h of work, 12 h to
		// cover: 14 + 2 + 4 + 12 - 9 = 23 h.
		"a drain that just fits": func(w *Week) { w.Jobs[2].Water.LowLimit = flat(23 * 3600) },
		"a drained pool past its limit is a fact": func(w *Week) {
			j := &w.Jobs[2]
			j.Begun, j.Water.Customer, j.Water.DrainedAt, j.Water.LowLimit = true, nil, ptr(int64(0)), flat(1)
		},
	} {
		t.Run(name, func(t *testing.T) {
			w, err := DecodeWeek(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			change(w)
			if err := w.Validate(); err != nil {
				t.Error(err)
			}
		})
	}
	w, _ := DecodeWeek(bytes.NewReader(data))
	w.Jobs[2].Water.LowLimit = flat(23*3600 - 4) // 3 s are left for rounding
	wantFault(t, w.Validate(), "jobs[2].water.low_limit", "", "can never fit")
}

// TestFaultsAreBounded: a file that is wrong all over gives a list of bounded length.
func TestFaultsAreBounded(t *testing.T) {
	w := &Week{Jobs: make([]Job, 1000)}
	var faults FieldErrors
	if err := w.Validate(); !errors.As(err, &faults) || len(faults) != maxFaults {
		t.Errorf("%d faults, want %d", len(faults), maxFaults)
	}
}

// Medians mean nothing while the week does not say which quantiles it plans with.
func TestSpreadsNeedUncertainty(t *testing.T) {
	w := new(Week)
	if err := decodeStrict(bytes.NewReader(readFile(t, "week.example.json")), w); err != nil {
		t.Fatal(err)
	}
	w.Uncertainty = nil
	var faults FieldErrors
	if err := w.Validate(); !errors.As(err, &faults) || len(faults) != 3 {
		t.Fatalf("%v, want a fault for each of the three medians", err)
	}
}
