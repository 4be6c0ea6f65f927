package jobs

import "time"

// Home is a yard: where crews' days start and end and where pumps are kept.
type Home struct {
	ID       string
	BranchID string
	HomeData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// HomeData is what people enter and change.
type HomeData struct {
	Name   string
	Street string
	// LatE7 and LonE7 are WGS 84 degrees times ten million.
	LatE7, LonE7 int64
}

// Check refuses what is wrong, all of it at once.
func (d HomeData) Check() error {
	var f Faults
	f.Line("name", d.Name, 1, MaxName)
	f.Line("street", d.Street, 0, 300)
	CheckPosition(&f, d.LatE7, d.LonE7)
	return f.Err()
}

// CheckPosition notes coordinates that lie on no globe.
func CheckPosition(f *Faults, latE7, lonE7 int64) {
	f.Check(latE7 >= -90e7 && latE7 <= 90e7, "lat_e7", itoa64(latE7), "degrees north times 10,000,000, between -900000000 and 900000000")
	f.Check(lonE7 >= -180e7 && lonE7 <= 180e7, "lon_e7", itoa64(lonE7), "degrees east times 10,000,000, between -1800000000 and 1800000000")
}
