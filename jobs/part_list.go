package jobs

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// WantedPart is a line of the list of parts as the newest estimate has it.
type WantedPart struct {
	LineKey   string
	PartID    string // of the catalogue; empty: not in it
	Name      string
	Quantity  int64
	StockUnit string
	Note      string
	// Of a light-and-cord set: whose position, which light, and the length that
	// is surely enough, in micrometres.
	SubjectID string
	Light     string
	LeastUM   int64
}

// Needed is a wanted line as the list of a job begins with it.
func (w WantedPart) Needed() JobPartData { return w.needed(w.Quantity) }

func (w WantedPart) needed(n int64) JobPartData {
	return JobPartData{PartID: w.PartID, Name: w.Name, Quantity: n, StockUnit: w.StockUnit, State: PartNeeded, SubjectID: w.SubjectID, LineKey: w.LineKey, Note: w.Note}
}

func (w WantedPart) set() bool { return w.SubjectID != "" }

// SetSize is the light and the cord's length of a set of the catalogue.
type SetSize struct {
	Light    string
	LengthUM int64 // micrometres
}

// PartEdit is one step that brings a list of parts up to date: a line changed,
// or (Part.ID empty) a line more. From tells where a line more was split off.
type PartEdit struct {
	Part  JobPart // as it is; without an id: none yet
	After JobPartData
	From  JobPartData // state and part before the step, which the shelf follows
}

// PartListChange is what a list of parts lacks against the newest estimate.
type PartListChange struct {
	Edits   []PartEdit
	Needed  []string // still to get, for a person
	Surplus []string // had or on its way and no longer needed
}

// Behind says that something is lacking or too much; lines that merely move to
// another position are no reason to hold a job back.
func (c PartListChange) Behind() bool { return len(c.Needed)+len(c.Surplus) > 0 }

// Says is the change in one line.
func (c PartListChange) Says() string {
	var words []string
	if len(c.Needed) > 0 {
		words = append(words, "still needed: "+strings.Join(c.Needed, ", "))
	}
	if len(c.Surplus) > 0 {
		words = append(words, "no longer needed: "+strings.Join(c.Surplus, ", "))
	}
	return sentence(strings.Join(words, "; "))
}

// sentence keeps what a fact says to the length that the contract allows.
func sentence(s string) string {
	if r := []rune(s); len(r) > 240 {
		return string(r[:240]) + "..."
	}
	return s
}

// RenewParts compares the parts of a job with what the newest estimate asks
// for. Nothing that was had or ordered is dropped: what is on the shelf's side
// goes back there, what is on a truck or on its way is marked as surplus. A set
// that is long enough stays with its position, whatever length is usual. Lines
// listed by hand stay as they are, unless they carry the name of a wanted line.
// Positions in open are left alone: what they take is not known. sets tells the
// sizes of catalogue parts by id.
func RenewParts(have []JobPart, want []WantedPart, sets map[string]SetSize, open []string) PartListChange {
	r := renewal{sets: sets, left: map[int]int64{}, want: want}
	keys, names := map[string]bool{}, map[string]string{}
	for _, w := range want {
		keys[w.LineKey] = true
		names[w.Name] = w.LineKey
	}
	for _, p := range have {
		if p.LineKey == "" {
			p.LineKey = names[p.Name]
		}
		if p.LineKey == "" || slices.Contains(open, p.SubjectID) && p.SubjectID != "" || !p.State.Open() && p.State != PartUsed {
			continue
		}
		r.have = append(r.have, p)
	}
	// What is nearest to being used is kept first.
	slices.SortStableFunc(r.have, func(a, b JobPart) int {
		return cmp.Compare(nearness(b), nearness(a))
	})
	for i, p := range r.have {
		r.left[i] = p.Quantity
	}
	r.positions()
	for _, w := range want {
		if !w.set() {
			r.plain(w)
		}
	}
	r.rest()
	return r.out
}

// nearness is how far a part has come, what is marked as surplus behind all
// others of its state.
func nearness(p JobPart) int {
	at := 2 * slices.Index([]PartState{PartNeeded, PartBackOrdered, PartOrdered, PartPromised, PartReceived, PartReserved, PartOnTruck, PartUsed}, p.State)
	if !p.Surplus {
		at++
	}
	return at
}

type renewal struct {
	sets map[string]SetSize
	want []WantedPart
	have []JobPart
	left map[int]int64 // of have: what no wanted line has taken yet
	out  PartListChange
}

// suits says whether a line is a set that serves the position. One that was not
// bought yet serves only as the length that is usual.
func (r *renewal) suits(p JobPart, w WantedPart) bool {
	if p.State == PartNeeded {
		return p.LineKey == w.LineKey
	}
	if size, ok := r.sets[p.PartID]; ok && size.LengthUM > 0 {
		return size.Light == w.Light && size.LengthUM >= w.LeastUM
	}
	return p.LineKey == w.LineKey
}

func (r *renewal) length(p JobPart) int64 { return r.sets[p.PartID].LengthUM }

// positions gives each position the set it has, else another set of the job
// that is long enough: the longest need first, the shortest set that serves.
func (r *renewal) positions() {
	var wanting []WantedPart
	for _, w := range r.want {
		if !w.set() {
			continue
		}
		if i := slices.IndexFunc(r.have, func(p JobPart) bool { return p.SubjectID == w.SubjectID && r.suits(p, w) }); i >= 0 && r.left[i] > 0 {
			r.keep(i, 1, w)
			continue
		}
		wanting = append(wanting, w)
	}
	slices.SortStableFunc(wanting, func(a, b WantedPart) int { return cmp.Compare(b.LeastUM, a.LeastUM) })
	for _, w := range wanting {
		best := -1
		for i, p := range r.have {
			if r.left[i] > 0 && p.State != PartUsed && r.free(p) && r.suits(p, w) && (best < 0 || r.length(p) < r.length(r.have[best])) {
				best = i
			}
		}
		if best >= 0 {
			r.keep(best, 1, w)
			continue
		}
		r.add(w, 1)
	}
}

// free says that a set is not at another position that keeps it.
func (r *renewal) free(p JobPart) bool {
	if p.SubjectID == "" {
		return true
	}
	for _, w := range r.want {
		if w.SubjectID == p.SubjectID {
			return !r.suits(p, w)
		}
	}
	return true
}

// plain gives a line that is no set its quantity.
func (r *renewal) plain(w WantedPart) {
	lack := w.Quantity
	for i, p := range r.have {
		if lack == 0 {
			break
		}
		if p.LineKey == w.LineKey && p.SubjectID == "" && r.left[i] > 0 {
			n := min(lack, r.left[i])
			if p.State == PartUsed { // what is used is used, however much was wanted
				n = r.left[i]
			}
			r.keep(i, n, w)
			lack = max(lack-n, 0)
		}
	}
	if lack > 0 {
		r.add(w, lack)
	}
}

// keep leaves n of a line to a wanted one, and writes down what changes by it.
func (r *renewal) keep(i int, n int64, w WantedPart) {
	p := r.have[i]
	first := r.left[i] == p.Quantity
	r.left[i] -= n
	after := p.JobPartData
	after.LineKey, after.SubjectID, after.Surplus, after.Quantity = w.LineKey, w.SubjectID, false, n
	if r.suitsLonger(p, w) {
		after.LineKey = p.LineKey
	}
	if w.set() && p.SubjectID != w.SubjectID {
		after.Note = w.Note
	}
	switch {
	case !first: // another part of the line is kept elsewhere
		r.out.Edits = append(r.out.Edits, PartEdit{After: after, From: after})
	case after != p.JobPartData && (after.Quantity != p.Quantity || after.Surplus != p.Surplus || after.SubjectID != p.SubjectID || after.LineKey != p.LineKey):
		r.out.Edits = append(r.out.Edits, PartEdit{Part: p, After: after, From: after})
	}
}

// suitsLonger says that a set serves though it has another length than the
// estimate would order: it keeps the line it came by.
func (r *renewal) suitsLonger(p JobPart, w WantedPart) bool {
	return w.set() && p.LineKey != "" && p.LineKey != w.LineKey
}

func (r *renewal) add(w WantedPart, n int64) {
	data := w.needed(n)
	r.out.Edits = append(r.out.Edits, PartEdit{After: data, From: data})
	r.out.Needed = append(r.out.Needed, fmt.Sprintf("%d × %s", n, w.Name))
}

// rest sorts out what no wanted line has taken.
func (r *renewal) rest() {
	for i, p := range r.have {
		n := r.left[i]
		if n == 0 || p.State == PartUsed && n == p.Quantity || p.Surplus && n == p.Quantity && !p.putBack() {
			continue
		}
		after := p.JobPartData
		after.Quantity, after.Surplus = n, false
		if p.State == PartUsed { // the rest of a line that was parted by position
			r.out.Edits = append(r.out.Edits, PartEdit{After: after, From: after})
			continue
		}
		switch {
		case p.State == PartNeeded:
			after.State = PartNotNeeded
		case p.putBack():
			after.State = PartReturned
		default:
			after.Surplus = true
		}
		from := p.JobPartData
		from.Quantity = n
		edit := PartEdit{After: after, From: from}
		if n == p.Quantity {
			edit.Part = p
		}
		r.out.Edits = append(r.out.Edits, edit)
		r.out.Surplus = append(r.out.Surplus, fmt.Sprintf("%d × %s (%s)", n, p.Name, p.State.Label()))
	}
}

// putBack says that a part lies in the yard for the job.
func (p JobPart) putBack() bool { return p.State == PartReceived || p.State == PartReserved }
