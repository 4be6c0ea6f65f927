package week

// Rates is what each head of the cost is counted by. Pay and cost per kilometre are
// the tour's own.
type Rates struct {
	// WaitingPermille of a placed job's value, for each whole 86,400 s from T0 to its
	// conversion.
	WaitingPermille int64 `json:"waiting_permille_per_day"`
	// LateCents for each civil day from the due day to the day in which the conversion
	// ends. An instant belongs to the day that begins at it or before; before the first
	// and after the last day, days have 86,400 s.
	LateCents int64 `json:"late_cents_per_day"`
	// LeftOutPermille of the value of a job whose conversion is not in the plan (one
	// week's worth); lateness to NextWorkday.Day is added to the same head.
	LeftOutPermille int64 `json:"left_out_permille_per_week"`
	// PromiseCents for each promise broken and each sent interval moved.
	PromiseCents int64 `json:"promise_cents"`
	// PromiseLateCents for each hour, by the second, that a visit in the plan starts after
	// the end of a window promised for it; on top of PromiseCents, once for each promise.
	PromiseLateCents int64 `json:"promise_late_cents_per_hour,omitempty"`
	// PromiseWorstCents for each hour, by the second, of the plan's largest such lateness:
	// what the worst-served customer costs beyond the others.
	PromiseWorstCents int64 `json:"promise_worst_cents_per_hour,omitempty"`
	// ToldAnewCents for each tour whose list of stops differs from what was handed
	// out, or any start by more than ToldAnewSeconds (usual: 900). Stops of the tour's
	// own begun prefix are taken out of both lists first; a tour that has returned is
	// not told anything.
	ToldAnewCents   int64 `json:"told_anew_cents"`
	ToldAnewSeconds int64 `json:"told_anew_seconds"`
	// LowCents for each started hour beyond LowFreeSeconds between LowEarly(d) and
	// Covered(e), for each placed job (to NextWorkday.End while a visit that needs low
	// water is owed).
	LowCents       int64 `json:"low_cents_per_hour"`
	LowFreeSeconds int64 `json:"low_free_seconds"`
	// OwedCents for each visit owed.
	OwedCents int64 `json:"owed_cents"`
	// What breaking a rule once costs, where it may be broken at all.
	BreakLowLimitCents     int64 `json:"break_low_limit_cents"`
	BreakCommissionCents   int64 `json:"break_commission_limit_cents"`
	BreakAvailabilityCents int64 `json:"break_availability_cents"`
	BreakPinCents          int64 `json:"break_pin_cents"`
}
