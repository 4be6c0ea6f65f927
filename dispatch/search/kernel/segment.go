package kernel

// segment is a stretch of a route as far as time goes (Vidal et al. 2013): how
// long it takes, how far back in time it must jump where it comes too late, and
// the earliest and latest start at which it does so least.
type segment struct{ dur, warp, early, late int32 }

// join puts b behind a, with the given drive between them.
func join(a segment, drive int32, b segment) segment {
	delta := a.dur - a.warp + drive
	wait := max(b.early-delta-a.late, 0)
	warp := max(a.early+delta-b.late, 0)
	return segment{
		dur:   a.dur + b.dur + drive + wait,
		warp:  a.warp + b.warp + warp,
		early: max(b.early-delta, a.early) - wait,
		late:  min(b.late-delta, a.late) + warp,
	}
}

// warpOf is the warp of a with b behind it.
func warpOf(a segment, drive int32, b segment) int32 {
	return a.warp + b.warp + max(a.early+a.dur-a.warp+drive-b.late, 0)
}
