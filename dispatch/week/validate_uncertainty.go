package week

import "fmt"

// maxLogSD is three natural logarithms: 8 of 10 lengths between a fiftieth and fifty
// times the median say that a unit is wrong.
const maxLogSD = 3000

func (c *checker) uncertainty() {
	u := c.w.Uncertainty
	if u == nil {
		return
	}
	for _, q := range []struct {
		name  string
		value int64
	}{{"planned_permille", u.PlannedPermille}, {"late_permille", u.LatePermille}, {"early_permille", u.EarlyPermille}, {"drive_permille", u.DrivePermille}} {
		c.is("uncertainty."+q.name, 1 <= q.value && q.value <= 999, q.value, "a quantile of 1 to 999 thousandths")
	}
	c.is("uncertainty.early_permille", u.EarlyPermille <= u.LatePermille, u.EarlyPermille, fmt.Sprintf("%d (late_permille) or less", u.LatePermille))
	if u.DriveLogSD != nil {
		c.logSD("uncertainty.drive_log_sd_permille", *u.DriveLogSD)
	}
	c.logSD("uncertainty.work_day_log_sd_permille", u.WorkDayLogSD)
	c.logSD("uncertainty.traffic_day_log_sd_permille", u.TrafficDayLogSD)
	c.logSD("uncertainty.water_day_log_sd_permille", u.WaterDayLogSD)
}

func (c *checker) logSD(path string, v int64) {
	c.is(path, 0 <= v && v <= maxLogSD, v, fmt.Sprintf("a log standard deviation of 0 to %d thousandths", maxLogSD))
}

// length wants a median with its log standard deviation, and the week to say what the
// quantiles are.
func (c *checker) length(path, median, logSD string, m, s, most int64) {
	c.is(path+"."+median, 0 <= m && m <= most, m, fmt.Sprintf("1 to %d seconds, or the field left out", most))
	c.logSD(path+"."+logSD, s)
	c.is(path+"."+logSD, s == 0 || m > 0, s, "the median beside it in "+median)
	c.is(path+"."+median, m == 0 || c.w.Uncertainty != nil, m, "uncertainty stated for the week, or the field left out")
}
