package jobs

import "time"

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

	// ImportWorkbook is a workbook whose sheets are named by their kinds.
	ImportWorkbook ImportKind = "workbook"
)

// ImportKinds lists the kinds of rows.
var ImportKinds = []ImportKind{ImportEnquiries, ImportCustomers, ImportCrews, ImportPeople, ImportPumps, ImportParts,
	ImportSurvey, ImportHistory}

// ImportOrder lists the kinds so that what a row hangs on comes before it: a
// crew's people before the crew, an enquiry before its survey.
var ImportOrder = []ImportKind{ImportPeople, ImportCrews, ImportPumps, ImportParts, ImportCustomers, ImportEnquiries,
	ImportSurvey, ImportHistory}

// FileKinds lists the kinds of file: those of rows, and the workbook.
var FileKinds = append(append([]ImportKind{}, ImportKinds...), ImportWorkbook)

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
	Left     int64 // rows nobody looked at yet: the file again goes on there
	Refused  []RefusedCell
	Notes    []string // what a reader of the file must know: hidden rows, sheets that were left out
	Sheets   []ImportTally
	MadeAt   time.Time
	MadeBy   string
}

// ImportTally is what became of one sheet; a CSV file is one without a name.
type ImportTally struct {
	Sheet    string     `json:"sheet,omitempty"`
	Kind     ImportKind `json:"kind"`
	New      int64      `json:"new"`
	Known    int64      `json:"known"`
	NotTaken int64      `json:"refused"`
	Left     int64      `json:"left,omitempty"`
}

// RefusedCell names what is wrong with a row: the sheet, the file's line or the
// sheet's row, the column, the value as it stands there and what would be
// right. A row can have several.
type RefusedCell struct {
	Line   int64  `json:"line"`
	Column string `json:"column"`
	Value  string `json:"value"`
	Reason string `json:"reason"`
	Sheet  string `json:"sheet,omitempty"`
}
