package jobs

import (
	"fmt"
	"strconv"
)

// PlanningSettings are the rates and rules of the week plan. Money is in cents,
// minutes count from local midnight in the branch's zone, permille of a value
// is a thousandth of it.
type PlanningSettings struct {
	// WaterHours are when pumping and filling may run; CustomerHours when a
	// customer may be asked to start a drain; NoticeHours when a notice may go
	// out (in the branch's zone for crews, the recipient's for customers).
	WaterHours    []Hours `json:"water_hours"`
	CustomerHours []Hours `json:"customer_hours"`
	NoticeHours   []Hours `json:"notice_hours"`
	// NoticeLeadHours is how long before a drain a customer must know of it;
	// ToldWidthMinutes how wide the interval is in which to start it.
	NoticeLeadHours  int64 `json:"notice_lead_hours"`
	ToldWidthMinutes int64 `json:"told_width_minutes"`
	// WindowMinutes is the width of an arrival window promised to a customer.
	WindowMinutes int64 `json:"window_minutes"`

	// Lunch is due when a crew is out for longer than LunchAfterMinutes.
	LunchMinutes      int64 `json:"lunch_minutes"`
	LunchFromMinute   int64 `json:"lunch_from_minute"`
	LunchToMinute     int64 `json:"lunch_to_minute"`
	LunchAfterMinutes int64 `json:"lunch_after_minutes"`
	LunchPaid         bool  `json:"lunch_paid"`

	// A whole crew's hour, and a kilometre of its truck.
	PayCentsPerHour      Cents `json:"pay_cents_per_hour"`
	OvertimeCentsPerHour Cents `json:"overtime_cents_per_hour"`
	DrivingCentsPerKm    Cents `json:"driving_cents_per_km"`
	// Drives without roads: straight line times the factor, at the speed.
	SpeedKmPerHour     int64 `json:"speed_km_per_hour"`
	RoadFactorPermille int64 `json:"road_factor_permille"`
	// ParkingSeconds are added to every drive by road to a customer: finding the
	// house, parking, walking to the pool.
	ParkingSeconds int64 `json:"parking_seconds"`
	// TravelPeriods are the hours in which traffic is not the usual.
	TravelPeriods []TravelPeriod `json:"travel_periods"`
	// DaylightOnly keeps every visit between civil dawn and civil dusk at its site.
	DaylightOnly bool `json:"daylight_only"`

	// What it costs to let a job wait: a share of its value for each whole day;
	// for each civil day past its due day; and when it is left out of a plan.
	WaitingPermillePerDay  int64 `json:"waiting_permille_per_day"`
	LateCentsPerDay        Cents `json:"late_cents_per_day"`
	LeftOutPermillePerWeek int64 `json:"left_out_permille_per_week"`

	// A promise to a customer broken or moved; a crew whose day is changed
	// after it was handed out, when its stops or a start by more than so much.
	PromiseCents     Cents `json:"promise_cents"`
	ToldAnewCents    Cents `json:"told_anew_cents"`
	ToldAnewMinutes  int64 `json:"told_anew_minutes"`
	OwedCents        Cents `json:"owed_cents"` // a commission that waits for after the plan
	CommissionInDays int64 `json:"commission_in_days"`

	// A pool that stands low: free for some hours, then priced by the started
	// hour, and never longer than LowDays.
	LowFreeHours    int64 `json:"low_free_hours"`
	LowCentsPerHour Cents `json:"low_cents_per_hour"`
	LowDays         int64 `json:"low_days"`

	// Rules that give way only where something begun or pinned leaves no other
	// way.
	BreakLowLimitCents     Cents `json:"break_low_limit_cents"`
	BreakCommissionCents   Cents `json:"break_commission_cents"`
	BreakAvailabilityCents Cents `json:"break_availability_cents"`
	BreakPinCents          Cents `json:"break_pin_cents"`

	// QuantilePermille is how sure a planned length should be (800: four visits
	// in five take no longer).
	QuantilePermille int64 `json:"quantile_permille"`
	// TrustPromisedParts lets a part that is promised for a day count from the
	// day after; else only a received one counts.
	TrustPromisedParts bool `json:"trust_promised_parts"`
	// HighGroundWaterUM: ground water closer below the deck than this needs a
	// sign-off before the shell is lowered, in micrometres.
	HighGroundWaterUM int64 `json:"high_ground_water_um"`
}

// Hours is a span of one weekday's clock.
type Hours struct {
	Weekday    int   `json:"weekday"` // 0 is Sunday
	FromMinute int64 `json:"from_minute"`
	ToMinute   int64 `json:"to_minute"`
}

// daily is the same hours on every day from one weekday to another.
func daily(first, last int, from, to int64) []Hours {
	var list []Hours
	for d := first; d <= last; d++ {
		list = append(list, Hours{d, from, to})
	}
	return list
}

// DefaultPlanning is a full set of invented but sensible numbers. The notice
// hours keep inside the 8 a.m. to 9 p.m. of 47 CFR 64.1200(c)(1) for calls (from
// memory), with an hour to spare at its end.
func DefaultPlanning() PlanningSettings {
	return PlanningSettings{
		WaterHours:    daily(0, 6, 7*60, 22*60),
		CustomerHours: daily(0, 6, 7*60, 20*60),
		NoticeHours:   daily(0, 6, 8*60, 20*60),

		NoticeLeadHours: 18, ToldWidthMinutes: 120, WindowMinutes: 120,
		LunchMinutes: 30, LunchFromMinute: 11 * 60, LunchToMinute: 14 * 60, LunchAfterMinutes: 6 * 60,
		PayCentsPerHour: 84_00, OvertimeCentsPerHour: 126_00, DrivingCentsPerKm: 45,
		SpeedKmPerHour: 45, RoadFactorPermille: 1350, ParkingSeconds: 60, TravelPeriods: []TravelPeriod{},
		WaitingPermillePerDay: 4, LateCentsPerDay: 60_00, LeftOutPermillePerWeek: 500,
		PromiseCents: 75_00, ToldAnewCents: 15_00, ToldAnewMinutes: 15, OwedCents: 40_00, CommissionInDays: 7,
		LowFreeHours: 24, LowCentsPerHour: 5_00, LowDays: 3,
		BreakLowLimitCents: 2_000_00, BreakCommissionCents: 300_00, BreakAvailabilityCents: 500_00, BreakPinCents: 1_000_00,
		QuantilePermille: 800, TrustPromisedParts: true,
		HighGroundWaterUM: 10 * ft,
	}
}

func (p PlanningSettings) check(f *Faults) {
	checkHours(f, "planning.water_hours", p.WaterHours)
	checkHours(f, "planning.customer_hours", p.CustomerHours)
	checkHours(f, "planning.notice_hours", p.NoticeHours)
	checkTravelPeriods(f, "planning.travel_periods", p.TravelPeriods)
	for _, r := range []struct {
		name     string
		n        int64
		min, max int64
	}{
		{"notice_lead_hours", p.NoticeLeadHours, 0, 14 * 24},
		{"told_width_minutes", p.ToldWidthMinutes, 0, 24 * 60},
		{"window_minutes", p.WindowMinutes, 15, 24 * 60},
		{"lunch_minutes", p.LunchMinutes, 0, 3 * 60},
		{"lunch_from_minute", p.LunchFromMinute, 0, 24 * 60},
		{"lunch_to_minute", p.LunchToMinute, 0, 24 * 60},
		{"lunch_after_minutes", p.LunchAfterMinutes, 0, 24 * 60},
		{"pay_cents_per_hour", int64(p.PayCentsPerHour), 0, maxRate},
		{"overtime_cents_per_hour", int64(p.OvertimeCentsPerHour), 0, maxRate},
		{"driving_cents_per_km", int64(p.DrivingCentsPerKm), 0, maxRate},
		{"speed_km_per_hour", p.SpeedKmPerHour, 1, 200},
		{"road_factor_permille", p.RoadFactorPermille, 1000, 5000},
		{"parking_seconds", p.ParkingSeconds, 0, 1800},
		{"waiting_permille_per_day", p.WaitingPermillePerDay, 0, 1000},
		{"late_cents_per_day", int64(p.LateCentsPerDay), 0, maxRate},
		{"left_out_permille_per_week", p.LeftOutPermillePerWeek, 0, 10_000},
		{"promise_cents", int64(p.PromiseCents), 0, maxRate},
		{"told_anew_cents", int64(p.ToldAnewCents), 0, maxRate},
		{"told_anew_minutes", p.ToldAnewMinutes, 0, 24 * 60},
		{"owed_cents", int64(p.OwedCents), 0, maxRate},
		{"commission_in_days", p.CommissionInDays, 1, 60},
		{"low_free_hours", p.LowFreeHours, 0, 14 * 24},
		{"low_cents_per_hour", int64(p.LowCentsPerHour), 0, maxRate},
		{"low_days", p.LowDays, 1, 30},
		{"break_low_limit_cents", int64(p.BreakLowLimitCents), 0, maxRate},
		{"break_commission_cents", int64(p.BreakCommissionCents), 0, maxRate},
		{"break_availability_cents", int64(p.BreakAvailabilityCents), 0, maxRate},
		{"break_pin_cents", int64(p.BreakPinCents), 0, maxRate},
		{"quantile_permille", p.QuantilePermille, 500, 990},
		{"high_ground_water_um", p.HighGroundWaterUM, 0, 300 * ft},
	} {
		f.Check(r.n >= r.min && r.n <= r.max, "planning."+r.name, strconv.FormatInt(r.n, 10), fmt.Sprintf("between %d and %d", r.min, r.max))
	}
	f.Check(p.OvertimeCentsPerHour >= p.PayCentsPerHour, "planning.overtime_cents_per_hour", strconv.FormatInt(int64(p.OvertimeCentsPerHour), 10), "not less than pay_cents_per_hour")
	f.Check(p.LunchToMinute >= p.LunchFromMinute, "planning.lunch_to_minute", strconv.FormatInt(p.LunchToMinute, 10), "not before lunch_from_minute")
}

// maxRate is a million dollars: more than any rate can be.
const maxRate = 1_000_000_00

// checkHours refuses hours that end before they begin, and those of one day
// that overlap or stand out of order.
func checkHours(f *Faults, at string, list []Hours) {
	f.Check(len(list) > 0 && len(list) <= 28, at, itoa(len(list))+" spans", "between 1 and 28 spans")
	for i, h := range list {
		here := at + "." + itoa(i)
		f.Check(h.Weekday >= 0 && h.Weekday <= 6, here+".weekday", itoa(h.Weekday), "0 (Sunday) to 6 (Saturday)")
		f.Check(h.FromMinute >= 0 && h.FromMinute < 24*60, here+".from_minute", strconv.FormatInt(h.FromMinute, 10), "minutes from midnight, 0 to 1439")
		f.Check(h.ToMinute > h.FromMinute && h.ToMinute <= 24*60, here+".to_minute", strconv.FormatInt(h.ToMinute, 10), "after from_minute and at most 1440")
		if i > 0 {
			b := list[i-1]
			f.Check(h.Weekday > b.Weekday || h.Weekday == b.Weekday && h.FromMinute >= b.ToMinute, here, fmt.Sprintf("weekday %d from %d", h.Weekday, h.FromMinute), "after the span before it")
		}
	}
}
