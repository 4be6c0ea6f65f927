package desk

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"ebbline/dispatch/travel"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// WeekMap is where a week's places are, and the ways that crews drive.
type WeekMap struct {
	BranchID string
	TileSet  *TileSet // nil: no roads are loaded
	Places   []MapPlace
	Days     []MapDay
}

// MapPlace is a yard or a site.
type MapPlace struct {
	ID           string
	Home         bool
	Name, Street string
	LatE7, LonE7 *int64 // nil: not known yet
	Precision    jobs.Precision
	Says         string // the precision in words, with what follows for drives
	Straight     bool   // drives are straight lines
	OffRoad      *int64 // metres from its road; nil: no road reaches it
	Limited      bool   // not everybody may use its road
	JobIDs       []string
}

// MapDay is one crew's day on the road.
type MapDay struct {
	CrewID string
	Day    jobs.Day
	Legs   []MapLeg
}

// MapLeg is one drive.
type MapLeg struct {
	FromID, ToID string // places
	Straight     bool
	// Steps are latitude and longitude of the first point, then the steps to each
	// next one, degrees times a million.
	Steps []int64
}

// WeekMapAsk names the week: a draft's, or the handed-out days of a branch.
type WeekMapAsk struct {
	DraftID  string
	BranchID string
	FirstDay jobs.Day
	Days     int64 // 0: five
}

// WeekMap answers where a week's places are, and how crews drive between them.
// A tech sees the own crew's days of what was handed out. CodeInvalid,
// CodeNotFound.
func (d *Desk) WeekMap(ctx context.Context, who jobs.Actor, ask WeekMapAsk) (WeekMap, error) {
	var f jobs.Faults
	if ask.DraftID != "" {
		f.ID("draft_id", ask.DraftID)
		f.Check(ask.BranchID == "" && ask.FirstDay == "" && ask.Days == 0, "draft_id", ask.DraftID, "either a draft, or a branch and its days")
	} else {
		f.ID("branch_id", ask.BranchID)
	}
	if err := f.Err(); err != nil {
		return WeekMap{}, err
	}
	if !who.Office() && (ask.DraftID != "" || who.CrewID == "" || ask.BranchID != who.BranchID) {
		return WeekMap{}, jobs.Errorf(jobs.CodeNotFound, "There is no such week, or it is not yours")
	}
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (WeekMap, error) {
		var v *weekViewer
		var err error
		if ask.DraftID != "" {
			v, err = d.viewDraft(tx, ask.DraftID, now)
		} else {
			v, err = d.viewWeek(tx, ask.BranchID, ask.FirstDay, ask.Days, now)
		}
		if err != nil {
			return WeekMap{}, err
		}
		crew := ""
		if !who.Office() {
			crew = who.CrewID
		}
		return v.weekMap(crew), nil
	})
}

// weekMap draws the days of one crew, or of all.
func (v *weekViewer) weekMap(crew string) WeekMap {
	out := WeekMap{BranchID: v.facts.Branch.ID}
	out.TileSet = v.desk.mapFor(v.facts.Homes).set()
	m := mapMaker{desk: v.desk, at: map[string]mapPoint{}}
	if t := v.facts.Drives.table; t != nil {
		m.roads = t.roads
	}
	for _, h := range v.facts.Homes {
		p := MapPlace{ID: h.ID, Home: true, Name: h.Name, Street: h.Street, LatE7: &h.LatE7, LonE7: &h.LonE7, Precision: jobs.PrecisionPin}
		m.add(p)
	}
	seen := map[string]bool{}
	for _, lane := range v.lanes() {
		if crew != "" && lane.CrewID != crew {
			continue
		}
		home := ""
		if i := slices.IndexFunc(v.facts.Crews, func(c jobs.Crew) bool { return c.ID == lane.CrewID }); i >= 0 {
			home = v.facts.Crews[i].HomeID
		}
		for _, day := range lane.Days {
			for _, s := range day.Stops {
				seen[s.JobID] = true
			}
			if len(day.Stops) > 0 {
				out.Days = append(out.Days, MapDay{CrewID: lane.CrewID, Day: day.Day, Legs: v.legs(&m, home, day.Stops)})
			}
		}
	}
	for _, id := range sortedKeys(v.jobs) {
		if crew == "" || seen[id] {
			m.addSite(v.sites[v.jobs[id].SiteID], id)
		}
	}
	for _, p := range m.places {
		p.Says = saysPlace(p, m.roads != nil)
		out.Places = append(out.Places, p)
	}
	slices.SortStableFunc(out.Places, func(a, b MapPlace) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
	return out
}

// legs are a day's drives from home by the stops and back.
func (v *weekViewer) legs(m *mapMaker, home string, stops []StopView) []MapLeg {
	ids := []string{home}
	for _, s := range stops {
		site := v.sites[v.jobs[s.JobID].SiteID]
		m.addSite(site, s.JobID)
		ids = append(ids, site.ID)
	}
	ids = slices.DeleteFunc(append(ids, home), func(id string) bool { _, known := m.at[id]; return !known })
	var legs []MapLeg
	for i := 1; i < len(ids); i++ {
		if ids[i] != ids[i-1] {
			legs = append(legs, m.leg(ids[i-1], ids[i]))
		}
	}
	return legs
}

// farOff is how many metres from its road a place is worth a word.
const farOff = 100

// saysPlace says in words how well a place is known, and what follows.
func saysPlace(p MapPlace, roads bool) string {
	says := map[jobs.Precision]string{
		jobs.PrecisionPin: "set by hand", jobs.PrecisionExact: "at the house number", jobs.PrecisionStreet: "somewhere in the street",
		jobs.PrecisionPostcode: "the middle of the ZIP code", jobs.PrecisionUnknown: "not on the map yet",
	}[p.Precision]
	if p.Home {
		says = "the yard"
	}
	switch {
	case p.LatE7 == nil || !roads:
	case p.OffRoad == nil:
		says += "; no road reaches it, drives are straight lines"
	case p.Limited:
		says += "; on a road that is not everybody's"
	case *p.OffRoad >= farOff:
		says += "; well off its road"
	}
	return says
}

// mapMaker gathers places and draws drives between them.
type mapMaker struct {
	desk   *Desk
	roads  *travel.Roads // nil: none are loaded for this branch
	places []MapPlace
	at     map[string]mapPoint // those whose place is known, by id
}

type mapPoint struct {
	at   travel.LatLon
	road travel.Point
}

func (m *mapMaker) add(p MapPlace) {
	if p.LatE7 != nil && p.LonE7 != nil {
		at := mapPoint{at: travel.LatLon{Lat: int32(*p.LatE7), Lon: int32(*p.LonE7)}}
		p.Straight = true
		if m.roads != nil {
			// As far as drives are measured by road.
			if road, off, ok := m.roads.Snap(at.at.Lat, at.at.Lon); ok && off <= reachMetres {
				at.road, p.Straight, p.OffRoad = road, false, &off
				p.Limited = m.roads.Edge(road.Edge()).Flags&travel.FlagLimited != 0
			}
		}
		m.at[p.ID] = at
	}
	m.places = append(m.places, p)
}

// addSite adds a site of a job once.
func (m *mapMaker) addSite(s jobs.Site, job string) {
	for i := range m.places {
		if p := &m.places[i]; p.ID == s.ID {
			if !slices.Contains(p.JobIDs, job) {
				p.JobIDs = append(p.JobIDs, job)
			}
			return
		}
	}
	if s.ID != "" {
		m.add(MapPlace{ID: s.ID, Name: s.Label(), Street: s.Street, LatE7: s.LatE7, LonE7: s.LonE7, Precision: s.Precision, JobIDs: []string{job}})
	}
}

func (m *mapMaker) leg(from, to string) MapLeg {
	a, b := m.at[from], m.at[to]
	steps, ok := m.desk.ways.steps(m.roads, a, b)
	return MapLeg{FromID: from, ToID: to, Straight: !ok, Steps: steps}
}

// ways keeps drives' lines: a plan is looked at more often than it changes, and
// plans share most of their drives.
type ways struct {
	mu   sync.Mutex
	kept map[[2]travel.LatLon][]int64
}

// mostWays bounds what is kept.
const mostWays = 20_000

// steps is the line from a to b; false where it is straight for want of a road.
func (w *ways) steps(roads *travel.Roads, a, b mapPoint) ([]int64, bool) {
	if roads == nil || !a.road.OnRoad() || !b.road.OnRoad() {
		return steps([]travel.LatLon{a.at, b.at}), false
	}
	key := [2]travel.LatLon{a.at, b.at}
	w.mu.Lock()
	kept, ok := w.kept[key]
	w.mu.Unlock()
	if ok {
		return kept, true
	}
	line := roads.Path(a.road, b.road)
	if len(line) < 2 {
		return steps([]travel.LatLon{a.at, b.at}), false
	}
	made := steps(line)
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.kept == nil || len(w.kept) >= mostWays {
		w.kept = map[[2]travel.LatLon][]int64{}
	}
	w.kept[key] = made
	return made, true
}

// steps writes a line as its first point and the steps from it, degrees times a
// million: as fine as a map shows, and short in an answer.
func steps(line []travel.LatLon) []int64 {
	round := func(e7 int32) int64 { return (int64(e7)+1<<40*10+5)/10 - 1<<40 }
	var out []int64
	var lat, lon int64
	for i, p := range line {
		y, x := round(p.Lat), round(p.Lon)
		if i > 0 && y == lat && x == lon && i < len(line)-1 {
			continue
		}
		out = append(out, y-lat, x-lon)
		lat, lon = y, x
	}
	return out
}
