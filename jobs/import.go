package jobs

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// ImportKind says what the rows of a file are.
type ImportKind string

// The kinds of file.
const (
	ImportEnquiries ImportKind = "enquiries"
	ImportCustomers ImportKind = "customers"
	ImportCrews     ImportKind = "crews"
	ImportPeople    ImportKind = "people"
	ImportPumps     ImportKind = "pumps"
	ImportParts     ImportKind = "parts"
	ImportSurvey    ImportKind = "survey"  // a row for each value
	ImportHistory   ImportKind = "history" // finished work, a row for each visit
)

// ImportKinds lists the kinds of file.
var ImportKinds = []ImportKind{ImportEnquiries, ImportCustomers, ImportCrews, ImportPeople, ImportPumps, ImportParts,
	ImportSurvey, ImportHistory}

// MaxImportRows bounds a file.
const MaxImportRows = 20_000

// Import is what reading a file came to.
type Import struct {
	ID       string
	BranchID string
	FileName string
	SHA256   string // of the file, in hex
	Kind     ImportKind
	Read     int64
	New      int64
	Known    int64 // came in before; nothing was changed
	NotTaken int64 // rows that were refused, each named in Refused
	Refused  []RefusedCell
	MadeAt   time.Time
	MadeBy   string
}

// RefusedCell names what is wrong with a row: the file's line, the column, the
// value as it stands there and what would be right. A row can have several.
type RefusedCell struct {
	Line   int64  `json:"line"`
	Column string `json:"column"`
	Value  string `json:"value"`
	Reason string `json:"reason"`
}

// Column is one column of a file.
type Column struct {
	Name   string
	Needed bool   // a row without it is refused
	Form   string // what goes in, for the reader
}

func need(name, form string) Column { return Column{Name: name, Needed: true, Form: form} }
func may(name, form string) Column  { return Column{Name: name, Form: form} }

var contactColumns = contactsColumns()

func contactsColumns() []Column {
	var list []Column
	for _, n := range []string{"contact", "contact2", "contact3"} {
		list = append(list, may(n+"_role", "payer, occupant, owner, manager, gate or pool_care"), may(n+"_name", ""), may(n+"_email", ""),
			may(n+"_phone", ""), may(n+"_language", "en or es"), may(n+"_channel", "email, sms or none"), may(n+"_may_decide", "yes or no"))
	}
	return list
}

var siteColumns = []Column{
	may("site_name", ""), need("street", ""), need("city", ""), may("region", ""), may("postcode", ""), may("zone", "IANA, like America/Phoenix"),
	may("lat", "degrees"), may("lon", "degrees"), may("gate_code", ""), may("gate_note", ""), may("pets", ""), may("vendor_pass", ""),
	may("work_from", "07:30"), may("work_to", "17:00"),
}

var columns = map[ImportKind][]Column{
	ImportCustomers: append([]Column{need("key", "your own number or name for the row"), need("name", ""), may("note", "")}, contactColumns...),
	ImportEnquiries: join3([]Column{need("key", "your own number or name for the row"), may("customer_key", "key of a customer that came in before"),
		may("customer_name", "of a new customer"), may("customer_note", "")}, contactColumns, siteColumns,
		[]Column{may("kind", "conversion or call_back"), may("value", "dollars"), may("due_day", "2026-03-08"), may("not_before_day", "2026-03-08"),
			may("can_come_early", "yes or no"), may("way_low", "crew_pump, own_outlet, customer, on_arrival, others or not_known"), may("note", "")}),
	ImportSurvey: {need("job_key", "key of the enquiry"), need("subject", "short name within the site"), need("subject_kind", "site, body, position, conduit, supply, illuminator, equipment, discharge or refill"),
		may("subject_name", ""), may("of", "subject it is in"), may("ends", "subjects a conduit joins"), may("field", "empty for a subject of which nothing is known"), may("text", ""), may("unit", ""),
		may("known", "told, read, measured_wet, measured_dry or unknown"), may("by", ""), may("note", "")},
	ImportParts: {need("code", ""), need("name", ""), need("stock_unit", "piece"), may("length", "of a light with its cord"), may("length_unit", "ft"),
		may("on_hand", ""), need("cost", "dollars"), need("price", "dollars")},
	ImportPeople: {need("key", "your own number or name for the row"), need("name", ""), may("email", ""), may("phone", ""),
		may("skills", "of survey, pull, licensed, water and dig"), may("active", "yes or no")},
	ImportCrews: {need("name", ""), need("home", "the yard's name"), may("home_street", "of a new yard"), may("home_lat", "degrees"), may("home_lon", "degrees"),
		may("place", "order in lists"), may("pump_berths", ""), may("people", "keys of people"), need("shifts", "mon-fri 07:00-16:00; sat 08:00-12:00"),
		may("overtime_minutes", ""), may("active", "yes or no")},
	ImportPumps: {need("name", ""), need("home", "the yard's name"), need("flow", ""), may("flow_unit", "gpm"), may("state", ""), may("note", "")},
	ImportHistory: join3([]Column{need("key", "your own number or name for the job"), may("customer_key", ""), may("customer_name", ""), may("customer_note", "")},
		contactColumns, siteColumns, []Column{may("value", "dollars"), may("note", ""), need("visit", "kind of visit"), need("day", "2026-03-08"), need("start", "08:15"), need("end", "12:40"),
			may("crew", "its name"), may("planned_minutes", ""), may("median_minutes", ""), may("outcome", "done or wasted"), may("reason", ""), may("lights", ""),
			may("promised_from", "08:00"), may("promised_to", "10:00")}),
}

func join3(lists ...[]Column) []Column { return slices.Concat(lists...) }

// Columns lists the columns of a kind of file; nil for no such kind.
func Columns(kind ImportKind) []Column { return columns[kind] }

// Template is an empty file to fill in: the line of column names.
func Template(kind ImportKind) []byte {
	names := make([]string, 0, len(columns[kind]))
	for _, c := range columns[kind] {
		names = append(names, c.Name)
	}
	return []byte(strings.Join(names, ",") + "\r\n")
}

// ImportRow is one row of a file.
type ImportRow struct {
	Line  int64
	cells map[string]string
}

// ReadRows reads a CSV file (RFC 4180; UTF-8, with or without a mark at its
// start) whose first line names the columns, in any order. Rows that cannot be
// read or lack what they need come back as refused; the others are kept. The
// error is for a file that is none: no header, an unknown or doubled column, a
// needed one missing.
func ReadRows(kind ImportKind, data []byte) ([]ImportRow, []RefusedCell, error) {
	known := Columns(kind)
	if known == nil {
		var f Faults
		OneOf(&f, "kind", kind, ImportKinds)
		return nil, nil, f.Err()
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	header, err := r.Read()
	if err != nil {
		return nil, nil, Errorf(CodeInvalid, "The file's first line must name the columns: %s", strings.TrimSpace(string(Template(kind))))
	}
	if err := checkHeader(known, header); err != nil {
		return nil, nil, err
	}
	var rows []ImportRow
	var refused []RefusedCell
	for {
		record, err := r.Read()
		if err == io.EOF {
			return rows, refused, nil
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			refused = append(refused, RefusedCell{Line: int64(broken.StartLine), Reason: "the quotes are not right: " + broken.Err.Error()})
			continue
		}
		if err != nil {
			return nil, nil, Wrap(CodeInvalid, err, "The file cannot be read")
		}
		line, _ := r.FieldPos(0)
		row, bad := oneRow(known, header, record, int64(line))
		switch {
		case len(bad) > 0:
			refused = append(refused, bad...)
		case len(row.cells) > 0: // an empty line is nothing
			rows = append(rows, row)
		}
		if len(rows)+len(refused) > MaxImportRows {
			return nil, nil, Errorf(CodeTooLarge, "At most %d rows; part the file", MaxImportRows)
		}
	}
}

func checkHeader(known []Column, header []string) error {
	var f Faults
	seen := map[string]bool{}
	for i, name := range header {
		header[i] = strings.TrimSpace(name)
		name = header[i]
		f.Check(slices.ContainsFunc(known, func(c Column) bool { return c.Name == name }), "column "+itoa(i+1), Short(name), "one of "+columnNames(known))
		f.Check(!seen[name], "column "+itoa(i+1), Short(name), "each column once")
		seen[name] = true
	}
	for _, c := range known {
		f.Check(!c.Needed || seen[c.Name], c.Name, "", "needed as a column")
	}
	return f.Err()
}

func columnNames(list []Column) string {
	names := make([]string, len(list))
	for i, c := range list {
		names[i] = c.Name
	}
	return strings.Join(names, ", ")
}

func oneRow(known []Column, header, record []string, line int64) (ImportRow, []RefusedCell) {
	row := ImportRow{Line: line, cells: map[string]string{}}
	if len(record) > len(header) {
		return row, []RefusedCell{{Line: line, Value: Short(record[len(header)]), Reason: "there are " + itoa(len(record)) + " values for " + itoa(len(header)) + " columns"}}
	}
	var bad []RefusedCell
	for i, text := range record {
		if !PlainText(text, true) {
			bad = append(bad, RefusedCell{line, header[i], Short(strings.Map(printable, strings.ToValidUTF8(text, "?"))), "text in UTF-8 without control characters"})
			continue
		}
		if n := utf8.RuneCountInString(text); n > MaxName && isKey(header[i]) {
			bad = append(bad, RefusedCell{line, header[i], Short(text), "at most " + itoa(MaxName) + " characters"})
			continue
		}
		if text = strings.TrimSpace(text); text != "" {
			row.cells[header[i]] = text
		}
	}
	if len(row.cells) == 0 {
		return row, bad
	}
	for _, c := range known {
		told := slices.ContainsFunc(bad, func(r RefusedCell) bool { return r.Column == c.Name })
		if c.Needed && row.cells[c.Name] == "" && !told {
			bad = append(bad, RefusedCell{line, c.Name, "", "needed"})
		}
	}
	return row, bad
}

// isKey says whether a column holds what rows are known by: one too long for a
// database's index would stop the whole file.
func isKey(column string) bool {
	return column == "name" || column == "code" || column == "key" || strings.HasSuffix(column, "_key")
}

// printable leaves a sign that can be shown, or a question mark.
func printable(r rune) rune {
	if unicode.IsControl(r) {
		return '?'
	}
	return r
}

// Refuse turns an error of an act into cells of the row: each field error
// names its own column, by the table given or by its last part.
func (r ImportRow) Refuse(err error, columns map[string]string) []RefusedCell {
	var e *Error
	if !errors.As(err, &e) || e.Code == CodeInternal || e.Code == CodeUnavailable {
		return nil
	}
	if len(e.Fields) == 0 {
		return []RefusedCell{{Line: r.Line, Reason: e.Text}}
	}
	var out []RefusedCell
	for _, f := range e.Fields {
		column, ok := columns[f.Field]
		if !ok {
			column = f.Field[strings.LastIndexByte(f.Field, '.')+1:]
		}
		value := f.Value
		if text, ok := r.cells[column]; ok {
			value = text
		}
		out = append(out, RefusedCell{r.Line, column, Short(value), f.Want})
	}
	return out
}

// Cells reads the values of a row and gathers what is wrong with them.
type Cells struct {
	row     ImportRow
	Refused []RefusedCell
}

// Cells begins to read a row.
func (r ImportRow) Cells() *Cells { return &Cells{row: r} }

// Refuse notes what would be right in a column.
func (c *Cells) Refuse(column, want string) {
	c.Refused = append(c.Refused, RefusedCell{c.row.Line, column, Short(c.row.cells[column]), want})
}

// Text is the value of a column; empty where there is none.
func (c *Cells) Text(column string) string { return c.row.cells[column] }

// Count is a whole number; nil where there is none.
func (c *Cells) Count(column string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		c.Refuse(column, "a whole number")
		return nil
	}
	return &n
}

// Yes is true for yes and false for no; otherwise where there is none.
func (c *Cells) Yes(column string, otherwise bool) bool {
	switch strings.ToLower(c.Text(column)) {
	case "yes":
		return true
	case "no":
		return false
	case "":
		return otherwise
	}
	c.Refuse(column, "yes or no")
	return otherwise
}

// Day is a day like 2026-03-08.
func (c *Cells) Day(column string) Day {
	d := Day(c.Text(column))
	if d != "" && !d.Valid() {
		c.Refuse(column, "a day like 2026-03-08")
		return ""
	}
	return d
}

// Minute is a time of day like 07:30 as minutes from midnight; nil where there
// is none.
func (c *Cells) Minute(column string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	m, ok := parseClock(text)
	if !ok {
		c.Refuse(column, "a time of day like 07:30")
		return nil
	}
	return &m
}

// parseClock reads 07:30, up to 24:00.
func parseClock(text string) (int64, bool) {
	h, m, ok := strings.Cut(text, ":")
	if !ok || len(h) < 1 || len(h) > 2 || len(m) != 2 || !allDigits(h) || !allDigits(m) {
		return 0, false
	}
	hours, _ := strconv.ParseInt(h, 10, 64)
	minutes, _ := strconv.ParseInt(m, 10, 64)
	return hours*60 + minutes, minutes < 60 && hours*60+minutes <= 24*60
}

// Money is dollars like 1,234.50, as cents; nil where there is none.
func (c *Cells) Money(column string) *Cents {
	text := strings.ReplaceAll(strings.TrimPrefix(c.Text(column), "$"), ",", "")
	if text == "" {
		return nil
	}
	n, ok := decimal(text, 2)
	if !ok {
		c.Refuse(column, "dollars like 1234.50")
		return nil
	}
	return (*Cents)(&n)
}

// Degrees are like 33.4151, as ten-millionths; nil where there is none.
func (c *Cells) Degrees(column string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	// Maps give more places than the 11 mm of the seventh; those are cut.
	if dot := strings.IndexByte(text, '.'); dot >= 0 && len(text) > dot+8 && allDigits(text[dot+1:]) {
		text = text[:dot+8]
	}
	n, ok := decimal(text, 7)
	if !ok {
		c.Refuse(column, "degrees like 33.4151")
		return nil
	}
	return &n
}

// Measure is a number with its unit behind it or in a column of its own, in
// base units; nil where there is none.
func (c *Cells) Measure(q Quantity, column, unitColumn string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	base, _, err := ParseMeasure(q, text, c.Text(unitColumn))
	if err != nil {
		c.Refuse(column, err.Error())
		return nil
	}
	return &base
}

// decimal reads a number with at most so many places as a whole number of the
// last place: no floating point on the way.
func decimal(text string, places int) (int64, bool) {
	digits, sign := text, int64(1)
	if rest, ok := strings.CutPrefix(digits, "-"); ok {
		digits, sign = rest, -1
	}
	whole, frac, _ := strings.Cut(digits, ".")
	if whole == "" || len(whole) > 11 || len(frac) > places || !allDigits(whole) || !allDigits(frac) {
		return 0, false
	}
	n, err := strconv.ParseInt(whole+frac+strings.Repeat("0", places-len(frac)), 10, 64)
	return sign * n, err == nil
}
