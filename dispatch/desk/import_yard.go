package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

func (d *Desk) takePerson(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	data := jobs.PersonData{Name: c.Text("name"), Email: c.Text("email"), Phone: c.Text("phone"), Active: c.Yes("active", true)}
	for _, word := range splitWords(c.Text("skills")) {
		data.Skills = append(data.Skills, jobs.Skill(word))
	}
	if len(c.Refused) > 0 {
		return c.Refused, nil
	}
	data = cleanPerson(data)
	if err := data.Check(); err != nil {
		return nil, err
	}
	p := jobs.Person{ID: d.ids.New(), BranchID: im.branch.ID, PersonData: data, Version: 1, CreatedAt: im.call.Now, UpdatedAt: im.call.Now}
	return nil, d.once(ctx, im, "importPerson", "person", c.Text("key"), func(tx *store.Tx) (Outcome, error) {
		return made("person", p.ID, im.branch.ID), tx.InsertPerson(p)
	})
}

func (d *Desk) takeCrew(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	overtime := int64(0)
	if n := c.Count("overtime_minutes"); n != nil {
		overtime = *n
	}
	data := jobs.CrewData{Name: jobs.CleanLine(c.Text("name")), Active: c.Yes("active", true)}
	for column, to := range map[string]*int64{"place": &data.Place, "pump_berths": &data.PumpBerths} {
		if n := c.Count(column); n != nil {
			*to = *n
		}
	}
	shifts, ok := jobs.ParseShifts(c.Text("shifts"), overtime)
	if data.Shifts = shifts; !ok {
		c.Refuse("shifts", "hours like mon-fri 07:00-16:00; sat 08:00-12:00, each day once")
	}
	yard := jobs.HomeData{Name: jobs.CleanLine(c.Text("home")), Street: c.Text("home_street")}
	lat, lon := c.Degrees("home_lat"), c.Degrees("home_lon")
	if len(c.Refused) > 0 {
		return c.Refused, nil
	}
	ids := []string{d.ids.New(), d.ids.New()}
	im.along = []string{wouldKey("home", yard.Name)}
	return nil, d.once(ctx, im, "importCrew", "crew", data.Name, func(tx *store.Tx) (Outcome, error) {
		crews, err := tx.Crews(im.branch.ID)
		if err != nil {
			return Outcome{}, err
		}
		for _, old := range crews {
			if old.Name == data.Name {
				return Outcome{}, errKnown
			}
		}
		if data.HomeID, err = homeNamed(tx, im, yard, lat, lon, ids[1]); err != nil {
			return Outcome{}, err
		}
		data.People = nil
		for i, key := range splitWords(c.Text("people")) {
			id, err := cameAs(tx, im.branch.ID, "person", key)
			if err != nil {
				return Outcome{}, err
			}
			if id == "" && im.would[wouldKey("person", key)] {
				continue
			}
			if id == "" {
				return Outcome{}, jobs.Faults{{Field: "people." + itoa(i), Value: key, Want: "keys of people that came in before; there is no " + key}}.Err()
			}
			data.People = append(data.People, id)
		}
		if err := data.Check(); err != nil {
			return Outcome{}, err
		}
		crew := jobs.Crew{ID: ids[0], BranchID: im.branch.ID, CrewData: data, Version: 1, CreatedAt: im.call.Now, UpdatedAt: im.call.Now}
		return made("crew", crew.ID, im.branch.ID), tx.InsertCrew(crew)
	})
}

// homeNamed finds a yard by name, or opens it where the row says where it is.
func homeNamed(tx *store.Tx, im *importing, in jobs.HomeData, lat, lon *int64, newID string) (string, error) {
	homes, err := tx.Homes(im.branch.ID)
	if err != nil {
		return "", err
	}
	for _, h := range homes {
		if h.Name == in.Name {
			return h.ID, nil
		}
	}
	if im.would[wouldKey("home", in.Name)] {
		lat, lon = new(int64), new(int64)
	}
	if lat == nil || lon == nil {
		return "", jobs.Faults{{Field: "home_id", Value: in.Name, Want: "a yard of this branch, or home_lat and home_lon of a new one"}}.Err()
	}
	in.LatE7, in.LonE7 = *lat, *lon
	if err := in.Check(); err != nil {
		return "", err
	}
	return newID, tx.InsertHome(jobs.Home{ID: newID, BranchID: im.branch.ID, HomeData: in, Version: 1, CreatedAt: im.call.Now, UpdatedAt: im.call.Now})
}

func (d *Desk) takePump(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	data := jobs.PumpData{Name: jobs.CleanLine(c.Text("name")), State: jobs.PumpState(c.Text("state")), Note: c.Text("note")}
	if data.State == "" {
		data.State = jobs.PumpWorking
	}
	if flow := c.Measure(jobs.QuantityFlow, "flow", "flow_unit"); flow != nil {
		data.FlowMLPS = (*flow + 30) / 60 // from millilitres a minute
	}
	if len(c.Refused) > 0 {
		return c.Refused, nil
	}
	id, homeID := d.ids.New(), d.ids.New()
	return nil, d.once(ctx, im, "importPump", "pump", data.Name, func(tx *store.Tx) (Outcome, error) {
		pumps, err := tx.Pumps(im.branch.ID)
		if err != nil {
			return Outcome{}, err
		}
		for _, old := range pumps {
			if old.Name == data.Name {
				return Outcome{}, errKnown
			}
		}
		if data.HomeID, err = homeNamed(tx, im, jobs.HomeData{Name: jobs.CleanLine(c.Text("home"))}, nil, nil, homeID); err != nil {
			return Outcome{}, err
		}
		if err := data.Check(); err != nil {
			return Outcome{}, err
		}
		p := jobs.Pump{ID: id, BranchID: im.branch.ID, PumpData: data, Version: 1, CreatedAt: im.call.Now, UpdatedAt: im.call.Now}
		return made("pump", p.ID, im.branch.ID), tx.InsertPump(p)
	})
}
