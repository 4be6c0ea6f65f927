package dispatch

import (
	"slices"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
)

// keeper asks the search for room where lives of the plans before say that it lacks.
type keeper struct {
	w   *week.Week
	ask KeepAsk
	// begun are promises (by id) of visits that have begun: nothing can be done.
	begun map[string]bool
	// room is how many seconds before its end a window is said to end, by promise, and
	// drains how much later a pool is said to be low, by job.
	room, drains map[string]int64
	// price multiplies what a broken promise costs, while some are not kept.
	price int64
	best  *tried
	trail []KeepStep
}

func newKeeper(w *week.Week, ask KeepAsk) *keeper {
	k := &keeper{w: w, ask: ask, begun: map[string]bool{}, room: map[string]int64{}, drains: map[string]int64{}, price: 1}
	k.ask.Odds.Want = ask.Permille
	visits := map[string]bool{}
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b != nil {
			for _, s := range b.Stops {
				visits[s.Visit] = true
			}
		}
	}
	for _, p := range w.Promises {
		k.begun[p.ID] = visits[p.Visit]
	}
	return k
}

// margin is all the room that is asked for.
func (k *keeper) margin() int64 {
	sum := int64(0)
	for _, x := range k.room {
		sum += x
	}
	for _, x := range k.drains {
		sum += x
	}
	return sum
}

// short lists what is kept with less than the wanted chance by more than so many standard
// errors, and the least share.
func (k *keeper) short(o *odds.Odds, errors int64) (promises, pools []string, least int64) {
	least = 1000
	falls := func(s odds.Share) bool {
		least = min(least, s.Permille)
		return s.Permille+errors*s.ErrorPermille < k.ask.Permille
	}
	for _, p := range o.Promises {
		if !k.begun[p.Promise] && falls(p.Kept) {
			promises = append(promises, p.Promise)
		}
	}
	for _, p := range o.Pools {
		if k.ask.Pools && falls(p.Low) {
			pools = append(pools, p.Job)
		}
	}
	return promises, pools, least
}

// Room that is asked for beyond what the lives say, and room that nobody needs which is
// worth another search to give back; seconds.
const (
	roomMore  = 120
	roomSpare = 900
)

// learn changes the wishes by what became of a plan; false if there is nothing to change.
func (k *keeper) learn(p *week.Plan, o *odds.Odds) bool {
	start := map[string]int64{}
	for _, t := range p.Tours {
		for _, s := range t.Stops {
			start[s.Visit] = s.Start
		}
	}
	windows, jobOf := map[string]week.Promise{}, map[string]string{}
	for _, x := range k.w.Promises {
		windows[x.ID] = x
	}
	changed, broken := false, false
	promises, pools, _ := k.short(o, 0)
	enough := len(promises)+len(pools) == 0
	low := map[string]bool{} // jobs whose promised visit waits for low water too often
	for j := range k.w.Jobs {
		for _, v := range k.w.Jobs[j].Visits {
			jobOf[v.ID] = k.w.Jobs[j].ID
		}
	}
	for _, x := range o.Promises {
		win := windows[x.Promise]
		at, in := start[x.Visit]
		short := x.Kept.Permille < k.ask.Permille
		switch {
		case k.begun[x.Promise]:
			continue
		case short && (!in || at > win.To-k.room[x.Promise]):
			broken = true // the search would rather break it
			if !in {
				continue
			}
		case short:
			low[jobOf[x.Visit]] = true
		}
		if !x.Reachable {
			continue
		}
		// How much later than planned it starts in the wanted share of lives.
		need := min(max(win.To+x.Short-at, 0), win.To-win.From)
		had := k.room[x.Promise]
		switch {
		case short && need+roomMore > had:
			need = min(need+roomMore, win.To-win.From)
		case short:
			need = min(had+max(4*roomMore, had/4), win.To-win.From)
		case need < had && (had-need < roomSpare || !enough):
			need = had
		}
		if need != had {
			k.room[x.Promise] = need
			changed = changed || short || had-need >= roomSpare
		}
	}
	for _, x := range o.Pools {
		if short := x.Low.Permille < k.ask.Permille; short && x.Reachable && (k.ask.Pools || low[x.Job]) {
			k.drains[x.Job] += x.Short + roomMore
			changed = true
		}
	}
	if broken && k.price < 100 {
		k.price *= 10
		changed = true
	}
	return changed
}

// wished is the week with the wishes in it: windows that end earlier, pools that are low
// later. What is planned in it keeps every rule of the week itself.
func (k *keeper) wished() *week.Week {
	x := *k.w
	x.Promises = slices.Clone(k.w.Promises)
	for i := range x.Promises {
		x.Promises[i].To -= k.room[x.Promises[i].ID]
	}
	if k.price > 1 {
		x.Rates.PromiseCents = min(max(x.Rates.PromiseCents, 10_000)*k.price, 1_000_000_000)
	}
	x.Jobs = slices.Clone(k.w.Jobs)
	for j := range x.Jobs {
		by := k.drains[x.Jobs[j].ID]
		if by == 0 {
			continue
		}
		k.drain(&x, j, by)
	}
	return &x
}

// drain has a pool be low later, unless that leaves its job no way at all.
func (k *keeper) drain(x *week.Week, j int, by int64) {
	job := &x.Jobs[j]
	old, wt := job.Water, *job.Water
	wt.LowLate = slices.Clone(wt.LowLate)
	for i := range wt.LowLate {
		wt.LowLate[i].Y += by
	}
	if job.Water = &wt; x.Validate() != nil {
		job.Water = old
		k.drains[job.ID] = 0
	}
}
