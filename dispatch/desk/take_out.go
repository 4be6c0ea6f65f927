package desk

import (
	"context"
	"strconv"
	"strings"

	"ebbline/dispatch/desk/workbook"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// ownKey begins the key of a thing that never came in by a file: id: and its id.
// Taking the row in again finds the thing by it.
const ownKey = "id:"

// TakeOutKinds lists what can be taken out: all that can be taken in but finished
// work, whose times the figures hold.
var TakeOutKinds = []jobs.ImportKind{jobs.ImportPeople, jobs.ImportCrews, jobs.ImportPumps, jobs.ImportParts,
	jobs.ImportCustomers, jobs.ImportEnquiries, jobs.ImportSurvey}

// TakeOut writes a branch's things in the columns in which they are taken in, so
// that the file taken in again brings nothing twice. CodeInvalid, CodeNotFound
// (branch).
func (d *Desk) TakeOut(ctx context.Context, branchID string, kind jobs.ImportKind, form FileForm) ([]byte, error) {
	var f jobs.Faults
	if kind != jobs.ImportWorkbook {
		jobs.OneOf(&f, "kind", kind, TakeOutKinds)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	if err := checkFile(kind, form); err != nil {
		return nil, err
	}
	kinds := []jobs.ImportKind{kind}
	if kind == jobs.ImportWorkbook {
		kinds = TakeOutKinds
	}
	pages, err := read(ctx, d, func(tx *store.Tx) ([]workbook.Page, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return nil, err
		}
		var pages []workbook.Page
		for _, k := range kinds {
			rows, err := takeOut(tx, branchID, k)
			if err != nil {
				return nil, err
			}
			pages = append(pages, workbook.Page{Name: string(k), Columns: jobs.Columns(k), Rows: rows})
		}
		return pages, nil
	})
	if err != nil {
		return nil, err
	}
	if form == FormXLSX {
		return workbook.Write(pages)
	}
	var names []string
	for _, c := range jobs.Columns(kind) {
		names = append(names, c.Name)
	}
	return jobs.WriteCSV(append([][]string{names}, pages[0].Rows...)), nil
}

// outRow is a row by column.
type outRow map[string]string

func takeOut(tx *store.Tx, branchID string, kind jobs.ImportKind) ([][]string, error) {
	rows, err := map[jobs.ImportKind]func(*store.Tx, string) ([]outRow, error){
		jobs.ImportPeople: outPeople, jobs.ImportCrews: outCrews, jobs.ImportPumps: outPumps, jobs.ImportParts: outParts,
		jobs.ImportCustomers: outCustomers, jobs.ImportEnquiries: outEnquiries, jobs.ImportSurvey: outSurvey,
	}[kind](tx, branchID)
	if err != nil {
		return nil, err
	}
	out := make([][]string, len(rows))
	for i, row := range rows {
		for _, c := range jobs.Columns(kind) {
			out[i] = append(out[i], row[c.Name])
		}
	}
	return out, nil
}

// keyOf is the key under which a thing came in, or its own.
func keyOf(keys map[string]string, id string) string {
	if key := keys[id]; key != "" {
		return key
	}
	return ownKey + id
}

func outPeople(tx *store.Tx, branchID string) ([]outRow, error) {
	people, err := tx.Persons(branchID)
	if err != nil {
		return nil, err
	}
	keys, err := tx.ImportKeys(branchID, "person")
	var rows []outRow
	for _, p := range people {
		var skills []string
		for _, s := range p.Skills {
			skills = append(skills, string(s))
		}
		rows = append(rows, outRow{"key": keyOf(keys, p.ID), "name": p.Name, "email": p.Email, "phone": p.Phone,
			"skills": strings.Join(skills, "; "), "active": yesNo(p.Active)})
	}
	return rows, err
}

func outHomes(tx *store.Tx, branchID string) (map[string]jobs.Home, error) {
	homes, err := tx.Homes(branchID)
	byID := map[string]jobs.Home{}
	for _, h := range homes {
		byID[h.ID] = h
	}
	return byID, err
}

func outCrews(tx *store.Tx, branchID string) ([]outRow, error) {
	crews, err := tx.Crews(branchID)
	if err != nil {
		return nil, err
	}
	homes, err := outHomes(tx, branchID)
	if err != nil {
		return nil, err
	}
	keys, err := tx.ImportKeys(branchID, "person")
	var rows []outRow
	for _, c := range crews {
		var people []string
		for _, id := range c.People {
			people = append(people, keyOf(keys, id))
		}
		var shifts []string
		overtime := ""
		for _, s := range c.Shifts {
			shifts = append(shifts, jobs.ShiftText(s))
			overtime = whole(s.OvertimeMinutes)
		}
		home := homes[c.HomeID]
		rows = append(rows, outRow{"name": c.Name, "home": home.Name, "home_street": home.Street, "home_lat": degreesText(home.LatE7), "home_lon": degreesText(home.LonE7),
			"place": whole(c.Place), "pump_berths": whole(c.PumpBerths), "people": strings.Join(people, "; "), "shifts": strings.Join(shifts, "; "),
			"overtime_minutes": overtime, "active": yesNo(c.Active)})
	}
	return rows, err
}

func outPumps(tx *store.Tx, branchID string) ([]outRow, error) {
	pumps, err := tx.Pumps(branchID)
	if err != nil {
		return nil, err
	}
	homes, err := outHomes(tx, branchID)
	var rows []outRow
	for _, p := range pumps {
		row := outRow{"name": p.Name, "home": homes[p.HomeID].Name, "state": string(p.State), "note": p.Note}
		if p.FlowMLPS > 0 {
			row["flow_unit"] = "L/min"
			row["flow"], _ = jobs.FormatMeasure(jobs.QuantityFlow, p.FlowMLPS*60, "L/min", 3)
		}
		rows = append(rows, row)
	}
	return rows, err
}

func outParts(tx *store.Tx, branchID string) ([]outRow, error) {
	var rows []outRow
	for page := (jobs.Page{Limit: 200}); ; {
		list, err := tx.Parts(store.PartFilter{BranchID: branchID}, page)
		if err != nil {
			return nil, err
		}
		for _, p := range list.Items {
			row := outRow{"code": p.Code, "name": p.Name, "stock_unit": p.StockUnit, "on_hand": whole(p.OnHand), "cost": dollars(&p.Cost), "price": dollars(&p.Price)}
			if p.LengthUM != nil {
				row["length_unit"] = "ft"
				row["length"], _ = jobs.FormatMeasure(jobs.QuantityLength, *p.LengthUM, "ft", 6)
			}
			rows = append(rows, row)
		}
		if page.Cursor = list.Next; list.Next == "" {
			return rows, nil
		}
	}
}

func outContacts(row outRow, contacts []jobs.Contact) {
	for i, c := range contacts {
		if i == 3 {
			break // the file has no more columns for them
		}
		n := []string{"contact", "contact2", "contact3"}[i]
		for name, text := range map[string]string{"role": string(c.Role), "name": c.Name, "email": c.Email, "phone": c.PhoneText,
			"language": c.Language, "channel": string(c.Channel), "may_decide": yesNo(c.MayDecide)} {
			row[n+"_"+name] = text
		}
	}
}

func outCustomers(tx *store.Tx, branchID string) ([]outRow, error) {
	keys, err := tx.ImportKeys(branchID, "customer")
	if err != nil {
		return nil, err
	}
	var rows []outRow
	for page := (jobs.Page{Limit: 200}); ; {
		list, err := tx.Customers(store.CustomerFilter{BranchID: branchID}, page)
		if err != nil {
			return nil, err
		}
		for _, c := range list.Items {
			if c, err = tx.Customer(c.ID); err != nil {
				return nil, err
			}
			row := outRow{"key": keyOf(keys, c.ID), "name": c.Name, "note": c.Note}
			outContacts(row, c.Contacts)
			rows = append(rows, row)
		}
		if page.Cursor = list.Next; list.Next == "" {
			return rows, nil
		}
	}
}

// eachJob walks the jobs of a branch, the newest first.
func eachJob(tx *store.Tx, branchID string, do func(jobs.Job) error) error {
	for page := (jobs.Page{Limit: 200}); ; {
		list, err := tx.Jobs(store.JobFilter{BranchID: branchID}, page)
		if err != nil {
			return err
		}
		for _, j := range list.Items {
			if err := do(j); err != nil {
				return err
			}
		}
		if page.Cursor = list.Next; list.Next == "" {
			return nil
		}
	}
}

func jobKey(j jobs.Job) string {
	if j.ImportKey != "" {
		return j.ImportKey
	}
	return ownKey + j.ID
}

func outEnquiries(tx *store.Tx, branchID string) ([]outRow, error) {
	keys, err := tx.ImportKeys(branchID, "customer")
	if err != nil {
		return nil, err
	}
	var rows []outRow
	err = eachJob(tx, branchID, func(j jobs.Job) error {
		c, err := tx.Customer(j.CustomerID)
		if err != nil {
			return err
		}
		s, err := tx.Site(j.SiteID)
		row := outRow{"key": jobKey(j), "customer_key": keyOf(keys, c.ID), "customer_name": c.Name, "customer_note": c.Note,
			"site_name": s.Name, "street": s.Street, "city": s.City, "region": s.Region, "postcode": s.Postcode, "zone": s.Zone,
			"gate_code": s.GateCode, "gate_note": s.GateNote, "pets": s.Pets, "vendor_pass": s.VendorPass, "work_from": minuteText(s.WorkFrom), "work_to": minuteText(s.WorkTo),
			"kind": string(j.Kind), "value": dollars(j.Value), "due_day": string(j.DueDay), "not_before_day": string(j.NotBeforeDay),
			"can_come_early": yesNo(j.CanComeEarly), "way_low": string(j.WayLow), "note": j.Note}
		if s.LatE7 != nil && s.LonE7 != nil {
			row["lat"], row["lon"] = degreesText(*s.LatE7), degreesText(*s.LonE7)
		}
		outContacts(row, c.Contacts)
		rows = append(rows, row)
		return err
	})
	return rows, err
}

// outSurvey writes each site's survey once, under its newest job.
func outSurvey(tx *store.Tx, branchID string) ([]outRow, error) {
	var rows []outRow
	seen := map[string]bool{}
	err := eachJob(tx, branchID, func(j jobs.Job) error {
		if seen[j.SiteID] {
			return nil
		}
		seen[j.SiteID] = true
		site, err := tx.Site(j.SiteID)
		if err != nil {
			return err
		}
		s, err := tx.Survey(site)
		for _, sub := range s.Subjects {
			base := outRow{"job_key": jobKey(j), "subject": sub.ID, "subject_kind": string(sub.Kind), "subject_name": sub.Name, "of": sub.Of, "ends": strings.Join(sub.Ends, ";")}
			if len(sub.Values) == 0 {
				rows = append(rows, base)
			}
			for _, spec := range jobs.FieldsOf(sub.Kind) {
				v, ok := sub.Values[spec.Name]
				if !ok {
					continue
				}
				row := outRow{"field": spec.Name, "text": v.Text, "unit": v.Unit, "known": string(v.Known), "by": v.By, "note": v.Note}
				for name, text := range base {
					row[name] = text
				}
				rows = append(rows, row)
			}
		}
		return err
	})
	return rows, err
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

func whole(n int64) string { return strconv.FormatInt(n, 10) }

func dollars(c *jobs.Cents) string {
	if c == nil {
		return ""
	}
	return fixed(int64(*c), 2)
}

func degreesText(e7 int64) string { return fixed(e7, 7) }

// fixed writes a number that is kept in units of its last place.
func fixed(n int64, places int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	text := strconv.FormatInt(n, 10)
	for len(text) <= places {
		text = "0" + text
	}
	return sign + text[:len(text)-places] + "." + text[len(text)-places:]
}

func minuteText(m *int64) string {
	if m == nil {
		return ""
	}
	return fixedTwo(*m/60) + ":" + fixedTwo(*m%60)
}

func fixedTwo(n int64) string {
	if n < 10 {
		return "0" + whole(n)
	}
	return whole(n)
}
