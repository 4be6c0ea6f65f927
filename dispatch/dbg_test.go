package dispatch_test

import (
	"context"
	"os"
	"testing"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/internal/weeks"
	"ebbline/dispatch/week"
)

func TestDbg(t *testing.T) {
	if os.Getenv("DBG") == "" {
		t.Skip()
	}
	w := weeks.Make(weeks.Shape{Seed: 0, Crews: 20, Days: 5, Jobs: 100})
	ctx, c := context.WithTimeout(context.Background(), 4*time.Second)
	defer c()
	p := solvedIn(ctx, t, w, dispatch.Options{Seed: 1, NoReasons: true})
	out := map[string]bool{}
	for _, l := range p.LeftOut {
		out[l.Job] = true
	}
	for j := range w.Jobs {
		if !out[w.Jobs[j].ID] {
			continue
		}
		x := *w
		x.Jobs = []week.Job{w.Jobs[j]}
		x.Promises = nil
		q := solvedIn(context.Background(), t, &x, dispatch.Options{Seed: 1, Rounds: 1, NoReasons: true})
		y := w.Jobs[j]
		way := ""
		if y.Water != nil {
			way = y.Water.Way
		}
		t.Logf("%s value %d due %d way %s visits %d links %d: alone left out %d cost %d", y.ID, y.Value, y.DueDay, way, len(y.Visits), len(y.Links), len(q.LeftOut), q.Cost.Total)
		for _, v := range y.Visits {
			t.Logf("    %s %d s skills %v people %d owe %v", v.ID, v.Seconds, v.Skills, v.People, v.MayOwe)
		}
	}
}
