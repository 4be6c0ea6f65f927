package week

// Ways of becoming low.
const (
	// WayPump: a crew's drain visit leaves a pump; draining begins at its end.
	WayPump = "pump"
	// WayOutlet: a crew's drain visit opens the pool's own outlet; no pump. Draining
	// begins at its end.
	WayOutlet = "outlet"
	// WayCustomer: the customer starts the drain inside a told interval.
	WayCustomer = "customer"
	// WayArrival: the first visit that needs low water drains it itself, with a pump
	// from the truck that goes home with the truck; its seconds hold the draining.
	WayArrival = "arrival"
	// WayWindow: low by others or by season, inside Window.
	WayWindow = "window"
)

// Water is the water of a job's pool and what is known about its clock. Which
// tables are given depends on Way:
//
//	pump, outlet   low_late, low_early, covered, low_limit; drain_visit or drained_at
//	customer       low_late, low_early, covered, low_limit; customer, or drained_at
//	arrival        low_early, covered, low_limit; arrival_seconds
//	window         window; covered only if a visit needs it
//
// d is the end of the drain visit, or DrainedAt; for a customer both ends of the
// told interval take its place (late: latest, early: earliest); on arrival it is
// the start of the first visit that needs low water, if draining is not a fact by
// then. e is the latest end of the visits that need low water, or FillFrom.
//
// Rules: a visit that needs low water starts at LowLate(d) or later (window: it
// lies inside Window; arrival: only the later ones bind, when the first has ended). A
// visit that needs covered water starts at Covered(e) or later (window without a
// table: at Window.To or later). Covered(e) <= LowLimit(LowEarly(d)), unless Way is
// window or both d and e have happened; while a visit that needs low water is owed, LowLimit(LowEarly(d)) must be
// NextWorkday.End or later instead. The low head counts from LowEarly(d) to
// Covered(e); none for a window.
type Water struct {
	Way string `json:"way"`
	// DrainVisit is the visit of this job that begins the draining.
	DrainVisit string `json:"drain_visit,omitempty"`
	// DrainedAt is when draining began if that is already a fact.
	DrainedAt *int64 `json:"drained_at,omitempty"`
	// FillFrom is when the last visit that needs low water ended, if that is already
	// a fact and no such visit is left in the chain.
	FillFrom *int64 `json:"fill_from,omitempty"`
	// PumpOnSite is the home of the pump that stands there since before the horizon.
	PumpOnSite string `json:"pump_on_site,omitempty"`
	// ArrivalSeconds, from the start of the first visit that needs low water, must lie
	// inside one span of Week.WaterHours and in no closure that stops pumping there.
	ArrivalSeconds int64     `json:"arrival_seconds,omitempty"`
	Window         *Span     `json:"window,omitempty"`
	Customer       *Customer `json:"customer,omitempty"`
	// LowLate: surely low, if draining began at x (later quantile).
	LowLate Table `json:"low_late,omitempty"`
	// LowEarly: may be low from, if draining began at x (earlier quantile).
	LowEarly Table `json:"low_early,omitempty"`
	// Covered: lights under water again, if filling began at x.
	Covered Table `json:"covered,omitempty"`
	// LowLimit: if the pool may be low from x, it must be covered by y.
	LowLimit Table `json:"low_limit,omitempty"`
	// DrainMedian is the median of the pumping until it is low and FillMedian that of the
	// filling until it is covered, in seconds of water hours; 0: not known yet. The log
	// standard deviations are in thousandths; see [Uncertainty].
	DrainMedian int64 `json:"drain_median_seconds,omitempty"`
	DrainLogSD  int64 `json:"drain_log_sd_permille,omitempty"`
	FillMedian  int64 `json:"fill_median_seconds,omitempty"`
	FillLogSD   int64 `json:"fill_log_sd_permille,omitempty"`
}

// Table is a non-decreasing function given by points; see the package comment for
// the values between and outside of them.
type Table []Point

// Point is one breakpoint of a table; both are instants.
type Point struct {
	X int64 `json:"x"`
	Y int64 `json:"y"`
}

// Customer holds what binds the told interval [e, l] of a pool that the customer
// drains: it lies inside one span of Hours; l - e >= Width; e >= n + Lead, where n
// is the first instant at T0 or later inside NoticeHours. An interval that equals
// Sent needs none of the three.
type Customer struct {
	// Hours in which the customer can start the drain.
	Hours []Span `json:"hours"`
	// NoticeHours in which a notice may be sent.
	NoticeHours []Span `json:"notice_hours"`
	// Lead in seconds between sending and e.
	Lead int64 `json:"lead"`
	// Width in seconds, the least; usual: 7,200.
	Width int64 `json:"width"`
	// Sent is the interval that the customer was already told. A plan that tells
	// another, or none, pays for one moved promise.
	Sent *Interval `json:"sent,omitempty"`
}

// Interval is a told interval: start the drain between Earliest and Latest.
type Interval struct {
	Earliest int64 `json:"earliest"`
	Latest   int64 `json:"latest"`
}
