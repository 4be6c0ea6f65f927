package jobs

import (
	"fmt"
	"strconv"
)

// TravelPeriod is a span of a weekday's clock with a speed of its own: 800
// permille means that a drive takes a quarter longer. Minutes count from local
// midnight.
type TravelPeriod struct {
	Weekday       int   `json:"weekday"` // 0 is Sunday
	FromMinute    int64 `json:"from_minute"`
	ToMinute      int64 `json:"to_minute"`
	SpeedPermille int64 `json:"speed_permille"`
}

// checkTravelPeriods refuses spans that end before they begin, overlap or stand
// out of order, and speeds that can't be meant.
func checkTravelPeriods(f *Faults, at string, list []TravelPeriod) {
	if len(list) == 0 {
		return
	}
	hours := make([]Hours, len(list))
	for i, p := range list {
		hours[i] = Hours{p.Weekday, p.FromMinute, p.ToMinute}
		f.Check(p.SpeedPermille >= 200 && p.SpeedPermille <= 2000, fmt.Sprintf("%s.%d.speed_permille", at, i), strconv.FormatInt(p.SpeedPermille, 10),
			"between 200 and 2000 permille of the usual speed")
	}
	checkHours(f, at, hours)
}
