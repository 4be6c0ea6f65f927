package desk

import (
	"math"
	"slices"
	"sync"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// learnt is how much longer the branch's crews drive than their road file says.
type learnt struct {
	permille int64 // of the road file's time; 0: nothing is known, 1000
	drives   int   // that it was learnt from
}

func (l learnt) over(seconds int64) int64 {
	if l.permille == 0 {
		return seconds
	}
	return (seconds*l.permille + 999) / 1000
}

// What counts as a drive, and how slowly it is learnt from them.
const (
	drivesDays     = 90
	leastDrive     = 3 * 60      // shorter ones are mostly parking
	longestBetween = 2 * 60 * 60 // who took longer did something else on the way
	oddRatio       = 3           // the same
	fewestDrives   = 8           // fewer say nothing
	doubtDrives    = 20          // so many drives weigh as much as the road file's own word
	leastPermille  = 500         // what is learnt stays between these
	mostPermille   = 2000
)

// learntCache keeps what each branch has learnt, by civil day: what is learnt in
// a day counts from the next, so that one day's plans agree.
type learntCache struct {
	mu sync.Mutex
	of map[string]learntOn
}

type learntOn struct {
	day   jobs.Day
	table *roadTable
	learnt
}

// learntOf compares the drives that crews recorded, from leaving one pool to
// arriving at the next, with the road file's: the median of the ratios, drawn
// towards 1 while they are few.
func (d *Desk) learntOf(tx *store.Tx, f *weekFacts, table *roadTable) (learnt, error) {
	today := jobs.DayOf(f.Now, f.Zone)
	d.learnt.mu.Lock()
	had, ok := d.learnt.of[f.Branch.ID]
	d.learnt.mu.Unlock()
	if ok && had.day == today && had.table == table {
		return had.learnt, nil
	}
	records, err := tx.EndedRecords(f.Branch.ID, today.Add(-drivesDays).Start(f.Zone), today.Start(f.Zone))
	if err != nil {
		return learnt{}, err
	}
	where, err := placesOfRecords(tx, records)
	if err != nil {
		return learnt{}, err
	}
	got := learntFrom(recordedDrives(records, where, f.Zone, f.Rules.TravelPeriods), table, f.Rules.ParkingSeconds)
	d.learnt.mu.Lock()
	defer d.learnt.mu.Unlock()
	if d.learnt.of == nil {
		d.learnt.of = map[string]learntOn{}
	}
	d.learnt.of[f.Branch.ID] = learntOn{today, table, got}
	return got, nil
}

// placesOfRecords finds where each record's job is.
func placesOfRecords(tx *store.Tx, records []jobs.FieldRecord) (map[string]point, error) {
	var jobIDs []string
	for _, r := range records {
		if !slices.Contains(jobIDs, r.JobID) {
			jobIDs = append(jobIDs, r.JobID)
		}
	}
	list, err := tx.JobsByID(jobIDs...)
	if err != nil {
		return nil, err
	}
	var siteIDs []string
	for _, j := range list {
		siteIDs = append(siteIDs, j.SiteID)
	}
	sites, err := tx.SitesByID(siteIDs...)
	if err != nil {
		return nil, err
	}
	bySite, out := map[string]point{}, map[string]point{}
	for _, s := range sites {
		if s.LatE7 != nil && s.LonE7 != nil {
			bySite[s.ID] = point{*s.LatE7, *s.LonE7}
		}
	}
	for _, j := range list {
		if p, ok := bySite[j.SiteID]; ok {
			out[j.ID] = p
		}
	}
	return out, nil
}

// recordedDrive is one from pool to pool, as it was recorded.
type recordedDrive struct {
	from, to point
	seconds  int64
	speed    int64 // permille of the usual, at its hour
}

// recordedDrives pairs each record with the next of its crew on the same day.
func recordedDrives(records []jobs.FieldRecord, where map[string]point, zone *time.Location, periods []jobs.TravelPeriod) []recordedDrive {
	list := slices.Clone(records)
	slices.SortStableFunc(list, func(a, b jobs.FieldRecord) int { return a.ArrivedAt.Compare(b.ArrivedAt) })
	last := map[string]jobs.FieldRecord{}
	var out []recordedDrive
	for _, r := range list {
		before, ok := last[r.CrewID]
		last[r.CrewID] = r
		if !ok || r.CrewID == "" || before.LeftAt.IsZero() || r.ArrivedAt.IsZero() || jobs.DayOf(before.LeftAt, zone) != jobs.DayOf(r.ArrivedAt, zone) {
			continue
		}
		from, ok1 := where[before.JobID]
		to, ok2 := where[r.JobID]
		if s := int64(r.ArrivedAt.Sub(before.LeftAt) / time.Second); ok1 && ok2 && from != to && s > 0 && s <= longestBetween {
			out = append(out, recordedDrive{from, to, s, speedAt(before.LeftAt.In(zone), periods)})
		}
	}
	return out
}

// speedAt is the speed that the settings expect at a local time.
func speedAt(t time.Time, periods []jobs.TravelPeriod) int64 {
	minute := int64(t.Hour()*60 + t.Minute())
	for _, p := range periods {
		if p.Weekday == int(t.Weekday()) && minute >= p.FromMinute && minute < p.ToMinute {
			return p.SpeedPermille
		}
	}
	return 1000
}

// learntFrom draws the multiplier from drives.
func learntFrom(list []recordedDrive, table *roadTable, parking int64) learnt {
	var ratios []float64
	for _, d := range list {
		seconds, _, _ := table.between([]point{d.from, d.to})
		road := seconds[0][1]
		if road < leastDrive {
			continue
		}
		if r := float64(d.seconds-parking) * float64(d.speed) / 1000 / float64(road); r > 1.0/oddRatio && r < oddRatio {
			ratios = append(ratios, r)
		}
	}
	n := len(ratios)
	if n < fewestDrives {
		return learnt{drives: n}
	}
	slices.Sort(ratios)
	median := (ratios[(n-1)/2] + ratios[n/2]) / 2
	drawn := (median*float64(n) + doubtDrives) / float64(n+doubtDrives)
	return learnt{permille: int64(math.Round(min(max(drawn*1000, leastPermille), mostPermille))), drives: n}
}
