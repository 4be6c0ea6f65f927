package week

// Uncertainty says how the week's lengths are uncertain, as far as all of them share it.
// No rule of the plan looks at it: plans are made with the planning quantiles; how sure
// they are follows from this.
//
// A length is log-normal: the median times e to the power of its log standard deviation
// times a standard normal number. Log standard deviations are in thousandths and hold the
// day's shared part: of what they say, the day's factor takes its share and the rest is
// the length's own (own² = log_sd² - day²; a day's factor above it counts as it).
// Visits ([Visit.MedianSeconds], [Visit.LogSD]) and waters ([Water.DrainMedian],
// [Water.FillMedian]) state their own; what states no median is not known yet.
type Uncertainty struct {
	// PlannedPermille: [Visit.Seconds] without draining on arrival are about this
	// quantile of the visit's length, in thousandths; usual: 800.
	PlannedPermille int64 `json:"planned_permille"`
	// LatePermille: [Water.LowLate], [Water.Covered] and [Water.ArrivalSeconds] are this
	// quantile of the draining and the filling; usual: 900.
	LatePermille int64 `json:"late_permille"`
	// EarlyPermille: [Water.LowEarly] is about this quantile; usual: 100.
	EarlyPermille int64 `json:"early_permille"`
	// DrivePermille: [Travel.Seconds] are this quantile of a drive; usual: 500.
	DrivePermille int64 `json:"drive_permille"`
	// DriveLogSD of one drive in thousandths; nil: not known yet.
	DriveLogSD *int64 `json:"drive_log_sd_permille,omitempty"`
	// WorkDayLogSD is what all work of one civil day shares (heat, access), in
	// thousandths; TrafficDayLogSD all its drives; WaterDayLogSD all draining and filling
	// that begins on it (rain, ground water).
	WorkDayLogSD    int64 `json:"work_day_log_sd_permille"`
	TrafficDayLogSD int64 `json:"traffic_day_log_sd_permille"`
	WaterDayLogSD   int64 `json:"water_day_log_sd_permille"`
}
