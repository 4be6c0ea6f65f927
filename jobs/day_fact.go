package jobs

import "time"

// GroundWater is how high the ground water of a branch's area stands.
type GroundWater string

// What can be known of ground water. The empty word means not known yet.
const (
	GroundWaterLow  GroundWater = "low"
	GroundWaterHigh GroundWater = "high"
)

// DayFact is what is known or forecast of one day: heat and rain set that
// day's limits on a lowered pool.
type DayFact struct {
	ID       string
	BranchID string
	DayFactData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// DayFactData is what people enter. Nil means not known yet.
type DayFactData struct {
	Day         Day
	HighTempMC  *int64 // thousandths of a degree Celsius
	RainUM      *int64 // micrometres of rain
	GroundWater GroundWater
	Note        string
}

// Check refuses what is wrong, all of it at once.
func (d DayFactData) Check() error {
	var f Faults
	f.Check(d.Day.Valid(), "day", string(d.Day), "a day like 2026-03-08")
	if t := d.HighTempMC; t != nil {
		f.Check(*t >= -60_000 && *t <= 65_000, "high_temp_mc", itoa64(*t), "thousandths of a degree Celsius, between -60000 and 65000")
	}
	if r := d.RainUM; r != nil {
		f.Check(*r >= 0 && *r <= 2_000_000, "rain_um", itoa64(*r), "micrometres, between 0 and 2000000")
	}
	if d.GroundWater != "" {
		OneOf(&f, "ground_water", d.GroundWater, []GroundWater{GroundWaterLow, GroundWaterHigh})
	}
	f.Note("note", d.Note)
	return f.Err()
}
