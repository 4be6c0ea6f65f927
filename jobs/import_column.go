package jobs

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
)

// Holds says what the cells of a column are, for templates and for reading what
// a spreadsheet keeps as a number.
type Holds string

// What columns hold. The empty one is text.
const (
	HoldsDay      Holds = "day"
	HoldsClock    Holds = "clock"
	HoldsMoney    Holds = "money"
	HoldsCount    Holds = "count"
	HoldsDegrees  Holds = "degrees"
	HoldsYes      Holds = "yes"
	HoldsMeasure  Holds = "measure"
	HoldsPostcode Holds = "postcode"
)

// Column is one column of a file.
type Column struct {
	Name     string
	Needed   bool   // a row without it is refused
	Form     string // what goes in, for the reader
	Holds    Holds
	Choices  []string // the only words that go in; nil for any
	Quantity Quantity // of a measure
	Unit     string   // name of the column that holds its unit
	Example  string   // in the example row of a template
	Also     []string // other names it may have in a header
}

func need(name, form, example string) Column {
	return Column{Name: name, Needed: true, Form: form, Example: example}
}
func may(name, form, example string) Column { return Column{Name: name, Form: form, Example: example} }

func (c Column) holds(h Holds) Column        { c.Holds = h; return c }
func (c Column) also(names ...string) Column { c.Also = names; return c }
func (c Column) measure(q Quantity, u string) Column {
	c.Holds, c.Quantity, c.Unit = HoldsMeasure, q, u
	return c
}
func choice[T ~string](c Column, words []T) Column { c.Choices = texts(words); return c }
func day(name, example string) Column              { return may(name, "2026-03-08", example).holds(HoldsDay) }
func clock(name, example string) Column            { return may(name, example, example).holds(HoldsClock) }
func number(name, form, example string) Column     { return may(name, form, example).holds(HoldsCount) }
func money(name, example string, needed bool) Column {
	return Column{Name: name, Needed: needed, Form: "dollars", Holds: HoldsMoney, Example: example}
}
func degrees(name, example string) Column {
	return may(name, "degrees", example).holds(HoldsDegrees)
}
func yesNo(name, example string) Column {
	return Column{Name: name, Form: "yes or no", Holds: HoldsYes, Choices: []string{"yes", "no"}, Example: example}
}

func texts[T ~string](words []T) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}

// importLanguages are those that notices are written in.
var importLanguages = []string{"en", "es"}

func contactColumns() []Column {
	var list []Column
	for i, n := range []string{"contact", "contact2", "contact3"} {
		example := []string{"payer", "Sam Poole", "sam@example.com", "(559) 555-0142", "en", "email", "yes"}
		if i > 0 {
			example = make([]string, 7)
		}
		list = append(list, choice(may(n+"_role", "payer, occupant, owner, manager, gate or pool_care", example[0]), ContactRoles),
			may(n+"_name", "", example[1]), may(n+"_email", "", example[2]), may(n+"_phone", "", example[3]),
			choice(may(n+"_language", "en or es", example[4]), importLanguages),
			choice(may(n+"_channel", "email, sms or none", example[5]), Channels), yesNo(n+"_may_decide", example[6]))
	}
	for i, other := range [][]string{nil, {"contact_1_name"}, {"email", "contact_mail", "contact_1_email"}, {"phone", "contact_1_phone"}} {
		list[i].Also = other
	}
	return list
}

var siteColumns = []Column{
	may("site_name", "", ""), need("street", "", "12 Ocotillo Ln").also("address", "street address"), need("city", "", "Dry Fork").also("town"),
	may("region", "", "AZ").also("state"), may("postcode", "five digits, kept as text", "08501").holds(HoldsPostcode).also("zip", "zip code", "postal code"),
	may("zone", "IANA, like America/Phoenix", "America/Phoenix").also("time zone"),
	degrees("lat", "33.4151").also("latitude"), degrees("lon", "-112.0743").also("longitude"), may("gate_code", "", ""), may("gate_note", "", ""), may("pets", "", ""),
	may("vendor_pass", "", ""), clock("work_from", "07:30"), clock("work_to", "17:00"),
}

var columns = map[ImportKind][]Column{
	ImportCustomers: slices.Concat([]Column{need("key", "your own number or name for the row", "c-1"), need("name", "", "Sam Poole"), may("note", "", "")}, contactColumns()),
	ImportEnquiries: slices.Concat([]Column{need("key", "your own number or name for the row", "e-1"), may("customer_key", "key of a customer that came in before", "c-1"),
		may("customer_name", "of a new customer", "Sam Poole"), may("customer_note", "", "")}, contactColumns(), siteColumns,
		[]Column{choice(may("kind", "conversion or call_back", "conversion"), JobKinds), money("value", "5400.50", false), day("due_day", "2026-04-01"), day("not_before_day", "2026-03-08"),
			yesNo("can_come_early", "no"), choice(may("way_low", "crew_pump, own_outlet, customer, on_arrival, others or not_known", "crew_pump"), WaysLow), may("note", "", "")}),
	ImportSurvey: {need("job_key", "key of the enquiry", "e-1"), need("subject", "short name within the site", "pool"),
		choice(need("subject_kind", "site, body, position, conduit, supply, illuminator, equipment, discharge or refill", "body"), SubjectKinds),
		may("subject_name", "", "Pool"), may("of", "subject it is in", ""), may("ends", "subjects a conduit joins", ""),
		may("field", "empty for a subject of which nothing is known", "length"), may("text", "", "32").also("value"), may("unit", "", "ft"),
		choice(may("known", "told, read, measured_wet, measured_dry or unknown", "told"), Knowns), may("by", "", ""), may("note", "", "")},
	ImportParts: {need("code", "", "L-80"), need("name", "", "Light, 80 ft cord"), need("stock_unit", "piece", "piece"),
		may("length", "of a light with its cord", "80").measure(QuantityLength, "length_unit"), choice(may("length_unit", "ft", "ft"), UnitNames(QuantityLength)),
		number("on_hand", "", "4"), money("cost", "189.00", true), money("price", "260.00", true)},
	ImportPeople: {need("key", "your own number or name for the row", "p-1"), need("name", "", "Lee Marsh"), may("email", "", "lee@example.com"), may("phone", "", "(559) 555-0111"),
		may("skills", "of survey, pull, licensed, water and dig", "pull; water"), yesNo("active", "yes")},
	ImportCrews: {need("name", "", "North"), need("home", "the yard's name", "Main yard"), may("home_street", "of a new yard", "1 Gravel Ln"), degrees("home_lat", "33.4000"), degrees("home_lon", "-112.1000"),
		number("place", "order in lists", "1"), number("pump_berths", "", "2"), may("people", "keys of people", "p-1"), need("shifts", "mon-fri 07:00-16:00; sat 08:00-12:00", "mon-fri 07:00-16:00"),
		number("overtime_minutes", "", "60"), yesNo("active", "yes")},
	ImportPumps: {need("name", "", "P-1"), need("home", "the yard's name", "Main yard"), need("flow", "", "40").measure(QuantityFlow, "flow_unit"), choice(may("flow_unit", "gpm", "gpm"), UnitNames(QuantityFlow)),
		choice(may("state", "", "working"), PumpStates), may("note", "", "")},
	ImportHistory: slices.Concat([]Column{need("key", "your own number or name for the job", "h-1"), may("customer_key", "", ""), may("customer_name", "", "Sam Poole"), may("customer_note", "", "")},
		contactColumns(), siteColumns, []Column{money("value", "5400.50", false), may("note", "", ""), choice(need("visit", "kind of visit", "convert"), VisitKinds),
			need("day", "2026-03-08", "2026-03-08").holds(HoldsDay), need("start", "08:15", "08:15").holds(HoldsClock), need("end", "12:40", "12:40").holds(HoldsClock),
			may("crew", "its name", "North"), number("planned_minutes", "", "240"), number("median_minutes", "", "220"), choice(may("outcome", "done or wasted", "done"), []string{"done", "wasted"}), may("reason", "", ""), number("lights", "", "2"),
			clock("promised_from", "08:00"), clock("promised_to", "10:00")}),
}

// Columns lists the columns of a kind of rows; nil for no such kind.
func Columns(kind ImportKind) []Column { return columns[kind] }

// ExampleMark begins the first cell of a row that is only an example: such a
// row is left out, and said so.
const ExampleMark = "example:"

// ExampleRow is a filled-in row of a template, marked as one that is left out.
func ExampleRow(kind ImportKind) []string {
	var row []string
	for i, c := range columns[kind] {
		text := c.Example
		if i == 0 {
			text = ExampleMark + " " + text
		}
		row = append(row, text)
	}
	return row
}

// isExample says whether a row's first cell marks it as an example.
func isExample(text string) bool {
	return strings.HasPrefix(FoldKey(text), ExampleMark)
}

// Hint is what a person who fills in the column must know, in one sentence.
func (c Column) Hint() string {
	var parts []string
	if c.Needed {
		parts = append(parts, "needed")
	}
	if c.Choices != nil && c.Form == "" {
		parts = append(parts, "one of "+strings.Join(c.Choices, ", "))
	} else if c.Form != "" {
		parts = append(parts, c.Form)
	}
	switch c.Holds {
	case HoldsMeasure:
		parts = append(parts, "unit behind the number, in "+c.Unit+" or in the header as "+c.Name+" ("+UnitNames(c.Quantity)[0]+")")
	case HoldsDay:
		parts = append(parts, "a day")
	case HoldsClock:
		parts = append(parts, "a time of day from 00:00 to 24:00")
	case HoldsCount:
		parts = append(parts, "a whole number")
	}
	return strings.Join(parts, "; ")
}

// Template is a CSV file to fill in: the line of column names and an example
// row that taking it in leaves out.
func Template(kind ImportKind) []byte {
	names := make([]string, 0, len(columns[kind]))
	for _, c := range columns[kind] {
		names = append(names, c.Name)
	}
	return WriteCSV([][]string{names, ExampleRow(kind)})
}

// WriteCSV writes rows as RFC 4180 has it, each ended by CR LF. A text that a
// spreadsheet would take for a formula gets an apostrophe before it: see
// PlainCell.
func WriteCSV(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, text := range row {
			safe[i] = PlainCell(text)
		}
		_ = w.Write(safe) // a buffer takes everything
	}
	w.Flush()
	return b.Bytes()
}

// PlainCell puts an apostrophe before a text that begins as a formula does, with
// = + - @, a tab or a line end (OWASP's page on CSV injection, from memory). Plain
// numbers stay: -112.07 is none. Taking the file in again drops the apostrophe.
func PlainCell(text string) string {
	if text == "" || !strings.ContainsRune("=+-@\t\r\n", rune(text[0])) {
		return text
	}
	if _, ok := decimal(text, 9); ok {
		return text
	}
	return "'" + text
}

// unquoted drops the apostrophe that PlainCell put before a text.
func unquoted(text string) string {
	if rest, ok := strings.CutPrefix(text, "'"); ok && PlainCell(rest) != rest {
		return rest
	}
	return text
}
