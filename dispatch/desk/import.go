package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// ImportFile is a file to take in: CSV, or an XLSX workbook.
type ImportFile struct {
	BranchID string
	// Kind says what the rows are; ImportWorkbook that the names of a workbook's
	// sheets say so.
	Kind jobs.ImportKind
	Name string
	Data []byte
	// Most bounds the rows that are taken in or refused at once; the others are
	// counted as left, and the same file again goes on with them. 0 is no bound.
	Most int64
}

// Import takes in a file row by row: each good row is an act of its own, a bad
// one is named with sheet, line, column, value and reason. A row that came in
// before changes nothing, so reading a file again after mending its bad rows, or
// after it was stopped, brings in just the others; whether CSV or XLSX makes no
// difference. The error is for a file that cannot be read at all. CodeInvalid,
// CodeNotFound (branch), CodeTooLarge.
func (d *Desk) Import(ctx context.Context, call Call, in ImportFile) (Outcome, error) {
	if call.Key != "" {
		before, err := read(ctx, d, func(tx *store.Tx) (*Outcome, error) {
			return tx.FindOutcome(call.owner(), "importFile", call.Key, call.Fingerprint)
		})
		if err != nil || before != nil {
			return val(before), err
		}
	}
	im, parts, err := d.beginImport(ctx, call, in)
	if err != nil {
		return Outcome{}, err
	}
	if err := d.takeParts(ctx, im, parts); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "importFile", func(tx *store.Tx) (Outcome, error) {
		note := fmt.Sprintf("%s: %d new, %d known, %d refused", im.im.Kind, im.im.New, im.im.Known, im.im.NotTaken)
		return Outcome{Noun: "import", NounID: im.im.ID, Version: 1, BranchID: im.im.BranchID, Note: note}, tx.InsertImport(*im.im)
	})
}

// beginImport checks what was asked and reads the file.
func (d *Desk) beginImport(ctx context.Context, call Call, in ImportFile) (*importing, []importPart, error) {
	branch, err := read(ctx, d, func(tx *store.Tx) (jobs.Branch, error) { return tx.Branch(in.BranchID) })
	if err != nil {
		return nil, nil, err
	}
	var f jobs.Faults
	f.Line("file_name", in.Name, 0, 200)
	f.Check(in.Most >= 0, "most", fmt.Sprint(in.Most), "a number of rows, or 0 for all")
	if err := f.Err(); err != nil {
		return nil, nil, err
	}
	parts, notes, err := readParts(in)
	if err != nil {
		return nil, nil, err
	}
	sum := sha256.Sum256(in.Data)
	own := call
	own.Key = "" // each row is guarded by its own key, for ever
	return &importing{call: own, branch: branch, left: in.Most, bounded: in.Most > 0, would: map[string]bool{}, states: map[rowAt]RowState{},
		im: &jobs.Import{ID: d.ids.New(), BranchID: in.BranchID, FileName: in.Name, SHA256: hex.EncodeToString(sum[:]), Kind: in.Kind,
			Notes: notes, MadeAt: call.Now, MadeBy: call.Actor.Name}}, parts, nil
}

func val(o *Outcome) Outcome {
	if o == nil {
		return Outcome{}
	}
	return *o
}

// ShowImport reads what an import did. CodeNotFound.
func (d *Desk) ShowImport(ctx context.Context, id string) (jobs.Import, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Import, error) { return tx.Import(id) })
}

// Imports lists what was taken in, the latest first, at most 50. An empty branch
// id is all branches.
func (d *Desk) Imports(ctx context.Context, branchID string) ([]jobs.Import, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Import, error) { return tx.Imports(branchID, 50) })
}

// importing is a file on its way in.
type importing struct {
	call    Call
	branch  jobs.Branch
	im      *jobs.Import
	tally   *jobs.ImportTally // of the sheet at hand
	left    int64             // how many rows may still be taken in or refused
	bounded bool
	looking bool            // nothing is kept
	would   map[string]bool // what would have come in by now, while looking
	along   []string        // what comes in along with the row at hand
	states  map[rowAt]RowState
}

// rowAt is a row of a file.
type rowAt struct {
	sheet string
	line  int64
}

// errKnown ends the act of a row that came in before.
var errKnown = errors.New("came in before")

func (d *Desk) takeIn(ctx context.Context, im *importing, rows []jobs.ImportRow) error {
	if im.tally.Kind == jobs.ImportSurvey {
		return d.takeInSurvey(ctx, im, rows)
	}
	one := map[jobs.ImportKind]func(context.Context, *importing, jobs.ImportRow) ([]jobs.RefusedCell, error){
		jobs.ImportCustomers: d.takeCustomer, jobs.ImportEnquiries: d.takeEnquiry, jobs.ImportParts: d.takePart,
		jobs.ImportPeople: d.takePerson, jobs.ImportCrews: d.takeCrew, jobs.ImportPumps: d.takePump, jobs.ImportHistory: d.takeHistory,
	}[im.tally.Kind]
	for i, row := range rows {
		if im.full() {
			im.tally.Left = int64(len(rows) - i)
			return nil
		}
		im.along = nil
		refused, err := one(ctx, im, row)
		if err := im.count(row, refused, err); err != nil {
			return err
		}
	}
	return nil
}

// full says that no further row may be taken in now.
func (im *importing) full() bool { return im.bounded && im.left <= 0 }

// count notes what became of a row. It gives back an error that is not the
// row's fault.
func (im *importing) count(row jobs.ImportRow, refused []jobs.RefusedCell, err error) error {
	switch {
	case len(refused) > 0:
		im.refuse(refused...)
		return nil
	case err == nil:
		im.note(row, RowNew)
		return nil
	case errors.Is(err, errKnown):
		im.note(row, RowKnown)
		return nil
	}
	cells := row.Refuse(err, importColumns)
	if cells == nil {
		return err
	}
	im.refuse(cells...)
	return nil
}

// note counts a row that came in, now or before.
func (im *importing) note(row jobs.ImportRow, state RowState) {
	im.states[rowAt{row.Sheet, row.Line}] = state
	if state == RowKnown {
		im.tally.Known++
		return
	}
	im.tally.New++
	im.left--
}

// refuse notes what is wrong with rows, and counts each of them once.
func (im *importing) refuse(cells ...jobs.RefusedCell) {
	for _, c := range cells {
		if at := (rowAt{c.Sheet, c.Line}); im.states[at] != RowRefused {
			im.states[at] = RowRefused
			im.tally.NotTaken++
			im.left--
		}
	}
	im.im.Refused = append(im.im.Refused, cells...)
}

// importColumns names the column of a field where its last part does not.
var importColumns = importColumnNames()

func importColumnNames() map[string]string {
	names := map[string]string{
		"customer.name": "customer_name", "customer.note": "customer_note", "customer_id": "customer_key",
		"site.name": "site_name", "site.lat_e7": "lat", "site.lon_e7": "lon", "site.precision": "lat",
		"site.work_from_minute": "work_from", "site.work_to_minute": "work_to", "job.value_cents": "value",
		"lat_e7": "home_lat", "lon_e7": "home_lon", "length_um": "length", "cost_cents": "cost", "price_cents": "price",
		"flow_ml_per_s": "flow", "home_id": "home",
	}
	for i, column := range []string{"contact", "contact2", "contact3"} {
		for _, field := range []string{"role", "name", "email", "phone", "language", "channel", "may_decide"} {
			names[fmt.Sprintf("contacts.%d.%s", i, field)] = column + "_" + field
			names[fmt.Sprintf("customer.contacts.%d.%s", i, field)] = column + "_" + field
		}
	}
	for i := range jobs.MaxCrewPeople {
		names[fmt.Sprintf("people.%d", i)] = "people"
	}
	for i := range 7 {
		for _, field := range []string{"weekday", "from_minute", "to_minute"} {
			names[fmt.Sprintf("shifts.%d.%s", i, field)] = "shifts"
		}
		names[fmt.Sprintf("shifts.%d.overtime_minutes", i)] = "overtime_minutes"
		names[fmt.Sprintf("skills.%d", i)] = "skills"
	}
	return names
}

// once runs do as an act unless something of this noun came in under the key
// before; then the error is errKnown and nothing happens. What do makes is
// remembered under the key in its own transaction.
func (d *Desk) once(ctx context.Context, im *importing, act, noun, key string, do func(tx *store.Tx) (Outcome, error)) error {
	known := func() (string, error) {
		return read(ctx, d, func(tx *store.Tx) (string, error) { return cameAs(tx, im.branch.ID, noun, key) })
	}
	if id, err := known(); err != nil || id != "" {
		return orKnown(err)
	}
	if im.looking {
		return d.wouldOnce(ctx, im, noun, key, do)
	}
	_, err := d.act(ctx, im.call, act, func(tx *store.Tx) (Outcome, error) {
		out, err := do(tx)
		if err != nil {
			return out, err
		}
		return out, tx.InsertImportKey(im.branch.ID, noun, key, out.NounID)
	})
	if jobs.CodeOf(err) == jobs.CodeConflict { // two read the same file at once
		if id, again := known(); again == nil && id != "" {
			return errKnown
		}
	}
	return err
}

// cameAs is the id of the thing that came in under a key, or that was taken out
// under its own; empty for none.
func cameAs(tx *store.Tx, branchID, noun, key string) (string, error) {
	id, own := strings.CutPrefix(key, ownKey)
	if !own || !jobs.ValidID(id) {
		return tx.ImportedAs(branchID, noun, key)
	}
	branch := ""
	var err error
	switch noun {
	case "customer":
		var c jobs.Customer
		c, err = tx.Customer(id)
		branch = c.BranchID
	case "job":
		var j jobs.Job
		j, err = tx.Job(id)
		branch = j.BranchID
	case "person":
		var p jobs.Person
		p, err = tx.Person(id)
		branch = p.BranchID
	}
	if jobs.CodeOf(err) == jobs.CodeNotFound || err == nil && branch != branchID {
		return "", nil
	}
	return id, err
}

func orKnown(err error) error {
	if err == nil {
		return errKnown
	}
	return err
}

// contactsOf reads the up to three contacts of a row. The first one without a
// name of its own is the customer.
func contactsOf(c *jobs.Cells, customer string) []jobs.ContactData {
	var list []jobs.ContactData
	for _, n := range []string{"contact", "contact2", "contact3"} {
		in := jobs.ContactData{
			Role: jobs.ContactRole(c.Text(n + "_role")), Name: c.Text(n + "_name"), Email: c.Text(n + "_email"), PhoneText: c.Text(n + "_phone"),
			Language: c.Text(n + "_language"), Channel: jobs.Channel(c.Text(n + "_channel")), MayDecide: c.Yes(n+"_may_decide", false),
		}
		if in.Role == "" && in.Name == "" && in.Email == "" && in.PhoneText == "" {
			continue
		}
		if in.Role == "" {
			in.Role = jobs.ContactPayer
		}
		if in.Name == "" && n == "contact" {
			in.Name = customer
		}
		list = append(list, cleanContact(in))
	}
	return list
}

func (d *Desk) takeCustomer(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	in := jobs.NewCustomer{BranchID: im.branch.ID, CustomerData: jobs.CustomerData{Name: jobs.CleanLine(c.Text("name")), Note: c.Text("note")}, Contacts: contactsOf(c, c.Text("name"))}
	if len(c.Refused) > 0 {
		return c.Refused, nil
	}
	if err := in.Check(); err != nil {
		return nil, err
	}
	customer := d.newCustomer(im.call, im.branch.ID, in.CustomerData, in.Contacts)
	return nil, d.once(ctx, im, "importCustomer", "customer", c.Text("key"), func(tx *store.Tx) (Outcome, error) {
		return made("customer", customer.ID, im.branch.ID), tx.InsertCustomer(customer)
	})
}

func (d *Desk) newCustomer(call Call, branchID string, data jobs.CustomerData, contacts []jobs.ContactData) jobs.Customer {
	c := jobs.Customer{ID: d.ids.New(), BranchID: branchID, CustomerData: data, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	for _, one := range contacts {
		c.Contacts = append(c.Contacts, d.newContact(call, c.ID, one))
	}
	return c
}

// placeOf reads customer and site of a row into an enquiry. A customer who
// came in before is named by key; a new one under a key is remembered by it.
func (d *Desk) placeOf(ctx context.Context, im *importing, c *jobs.Cells) (jobs.NewEnquiry, error) {
	in := jobs.NewEnquiry{BranchID: im.branch.ID, ImportKey: c.Text("key"), Site: &jobs.SiteData{
		Name: c.Text("site_name"), Street: c.Text("street"), City: c.Text("city"), Region: c.Text("region"), Postcode: c.Text("postcode"), Zone: c.Text("zone"),
		LatE7: c.Degrees("lat"), LonE7: c.Degrees("lon"), GateCode: c.Text("gate_code"), GateNote: c.Text("gate_note"), Pets: c.Text("pets"),
		VendorPass: c.Text("vendor_pass"), WorkFrom: c.Minute("work_from"), WorkTo: c.Minute("work_to"),
	}}
	if key := c.Text("customer_key"); key != "" {
		id, err := read(ctx, d, func(tx *store.Tx) (string, error) { return cameAs(tx, im.branch.ID, "customer", key) })
		if err != nil {
			return in, err
		}
		if in.CustomerID = id; id == "" && im.would[wouldKey("customer", key)] {
			in.Customer = &jobs.CustomerData{Name: key}
			return in, nil
		}
		if id == "" && c.Text("customer_name") == "" {
			return in, jobs.Faults{{Field: "customer_key", Value: key, Want: "the key of a customer that came in before, or a customer_name"}}.Err()
		}
	}
	if in.CustomerID == "" {
		in.Customer = &jobs.CustomerData{Name: jobs.CleanLine(c.Text("customer_name")), Note: c.Text("customer_note")}
		in.Contacts = contactsOf(c, c.Text("customer_name"))
	}
	return in, nil
}

// keepCustomer remembers the customer of a job under the row's key for it.
func keepCustomer(tx *store.Tx, im *importing, key, customerID string) error {
	if key == "" {
		return nil
	}
	id, err := cameAs(tx, im.branch.ID, "customer", key)
	if err != nil || id != "" {
		return err
	}
	return tx.InsertImportKey(im.branch.ID, "customer", key, customerID)
}

func (d *Desk) takeEnquiry(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	in, err := d.placeOf(ctx, im, c)
	in.Job = jobs.JobData{Kind: jobs.JobKind(c.Text("kind")), Value: c.Money("value"), DueDay: c.Day("due_day"), NotBeforeDay: c.Day("not_before_day"),
		CanComeEarly: c.Yes("can_come_early", false), WayLow: jobs.WayLow(c.Text("way_low")), Note: c.Text("note")}
	if len(c.Refused) > 0 || err != nil {
		return c.Refused, err
	}
	do, err := d.enquiry(ctx, im.call, in)
	if err != nil {
		return nil, err
	}
	im.along = []string{wouldKey("customer", c.Text("customer_key"))}
	return nil, d.once(ctx, im, "importEnquiry", "job", in.ImportKey, func(tx *store.Tx) (Outcome, error) {
		out, err := do(tx)
		if err != nil {
			return out, err
		}
		j, err := tx.Job(out.NounID)
		if err != nil {
			return out, err
		}
		return out, keepCustomer(tx, im, c.Text("customer_key"), j.CustomerID)
	})
}

func (d *Desk) takePart(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	data := jobs.PartData{Code: c.Text("code"), Name: c.Text("name"), StockUnit: c.Text("stock_unit"),
		Cost: money(c, "cost"), Price: money(c, "price")}.Clean()
	if n := c.Count("on_hand"); n != nil {
		data.OnHand = *n
	}
	data.LengthUM = c.Measure(jobs.QuantityLength, "length", "length_unit")
	if len(c.Refused) > 0 {
		return c.Refused, nil
	}
	if err := data.Check(); err != nil {
		return nil, err
	}
	p := jobs.Part{ID: d.ids.New(), BranchID: im.branch.ID, PartData: data, Version: 1, CreatedAt: im.call.Now, UpdatedAt: im.call.Now}
	return nil, d.once(ctx, im, "importPart", "part", data.Code, func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.PartByCode(im.branch.ID, data.Code); jobs.CodeOf(err) != jobs.CodeNotFound {
			return Outcome{}, orKnown(err)
		}
		return made("part", p.ID, im.branch.ID), tx.InsertPart(p)
	})
}

func money(c *jobs.Cells, column string) jobs.Cents {
	if m := c.Money(column); m != nil {
		return *m
	}
	return 0
}

// splitWords parts a cell that lists several things.
func splitWords(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ';' || r == ',' })
}
