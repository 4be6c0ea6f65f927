package paper

import (
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"ebbline/jobs"
)

// Quote sets a quote. Everything on it is in the quote itself, so a quote that
// was sent gives the same bytes ever after; a draft says that it is one.
func Quote(q jobs.Quote, size Size) ([]byte, error) {
	b, err := q.Read()
	if err != nil {
		return nil, err
	}
	made := q.SentAt
	if made.IsZero() {
		made = q.CreatedAt
	}
	title := "Quote " + number(int(q.Number)) + ", " + b.Customer
	s := newSheet(size, title, strings.TrimPrefix(b.Company+", quote "+number(int(q.Number)), ", "), made.Truncate(time.Second))
	s.quoteTop(q, b)
	s.quoteSums(b)
	s.quoteOptions(b)
	s.quoteWork(b)
	s.quoteEnd(q, b)
	return s.bytes()
}

func (s *sheet) quoteTop(q jobs.Quote, b jobs.QuoteBody) {
	s.ink(ink)
	s.font("B", 15)
	s.MultiCell(s.width, 7, plain(b.Company), "", "L", false)
	s.font("", 9)
	s.ink(soft)
	if b.License != "" {
		s.text("License " + b.License)
	}
	s.Ln(3)
	s.rule(lamp)
	s.Ln(3)
	s.ink(ink)
	s.font("B", 12)
	head := "Quote " + number(int(q.Number))
	if q.State == jobs.QuoteDraft {
		head += ", a draft that was not sent"
	}
	s.CellFormat(s.width*.6, 6, head, "", 0, "L", false, 0, "")
	s.font("", 9.5)
	day := ""
	if b.Day != "" {
		day = b.Day.Words()
	}
	s.CellFormat(s.width*.4, 6, day, "", 1, "R", false, 0, "")
	s.text("For " + b.Customer)
	if b.Site != "" {
		s.text(b.Site)
	}
	for _, line := range b.Scope {
		s.Ln(.8)
		s.text(line)
	}
	if b.Note != "" {
		s.Ln(2)
		s.text(b.Note)
	}
}

func (s *sheet) quoteSums(b jobs.QuoteBody) {
	s.head("Price")
	for _, l := range b.Lines {
		s.sum(l.Name, dollars(l.Cents), false)
	}
	s.sum("Tax", dollars(b.Tax), false)
	s.rule(faint)
	s.sum("Together", dollars(b.Total), true)
	s.sum("Deposit, part of this, due before the work is planned", dollars(b.Deposit), false)
	if b.Saves != "" {
		s.Ln(1.5)
		s.text(b.Saves)
	}
}

func (s *sheet) quoteOptions(b jobs.QuoteBody) {
	if len(b.Options) == 0 {
		return
	}
	s.head("Ways to do it: choose one when you approve")
	for i, o := range b.Options {
		s.sum(number(i+1)+"  "+o.Name, dollars(o.Total), true)
		s.ink(soft)
		s.text("     " + strings.Join(o.Says, ", ") + "; deposit " + dollars(o.Deposit))
		s.ink(ink)
		s.Ln(1)
	}
}

func (s *sheet) quoteWork(b jobs.QuoteBody) {
	if b.Water != nil {
		s.head("The water")
		s.strip(*b.Water)
		s.text(b.Water.Says)
	}
	s.list("What is done", b.Includes)
	s.list("What is not part of it", b.Excludes)
	if len(b.Allowances) > 0 {
		s.head("Extra work, only if it turns out to be needed and you agree to it first")
		for _, a := range b.Allowances {
			s.sum(a.Name+": "+a.Why, dollars(a.Cents), false)
		}
	}
	s.list("Take care", b.Cautions)
}

func (s *sheet) list(head string, items []string) {
	if len(items) == 0 {
		return
	}
	s.head(head)
	for _, item := range items {
		s.item(item)
	}
}

// quoteEnd is terms and the place to sign: terms and signature stay together.
func (s *sheet) quoteEnd(q jobs.Quote, b jobs.QuoteBody) {
	s.room(24 + line*float64(2*len(b.Terms)))
	s.list("Terms", b.Terms)
	s.Ln(10)
	y := s.GetY()
	s.SetDrawColor(ink[0], ink[1], ink[2])
	s.SetLineWidth(.25)
	s.Line(margin, y, margin+s.width*.55, y)
	s.Line(margin+s.width*.65, y, margin+s.width, y)
	s.font("", 8)
	s.ink(soft)
	s.CellFormat(s.width*.65, 5, "Approved by, name and signature"+chosen(b), "", 0, "L", false, 0, "")
	s.CellFormat(s.width*.35, 5, "Day, until "+q.ValidUntil.Words(), "", 1, "L", false, 0, "")
}

func chosen(b jobs.QuoteBody) string {
	if len(b.Options) == 0 {
		return ""
	}
	return ", and number of the way chosen"
}

// strip draws the water's course: full, falling, low, rising, full. Its parts
// are as long as they last, each at least long enough to be read.
func (s *sheet) strip(w jobs.QuoteWater) {
	const high, full, low = 15.0, 2.0, 11.0
	s.room(high + 12)
	parts := []struct {
		name    string
		seconds int64
	}{{"lowering", w.Drain}, {"low: we work", w.Work}, {"filling", w.Fill}}
	total := float64(w.Drain + w.Work + w.Fill)
	edge, span := s.width*.08, s.width*.84
	widths, sum := make([]float64, 3), 0.0
	for i, p := range parts {
		widths[i] = max(float64(p.seconds)/max(total, 1), .16)
		sum += widths[i]
	}
	x, y := margin, s.GetY()+1
	pts := []fpdf.PointType{{X: x, Y: y + high}, {X: x, Y: y + full}, {X: x + edge, Y: y + full}}
	at := x + edge
	marks := []float64{at}
	for i, level := range []float64{low, low, full} {
		at += span * widths[i] / sum
		marks = append(marks, at)
		pts = append(pts, fpdf.PointType{X: at, Y: y + level})
	}
	pts = append(pts, fpdf.PointType{X: x + s.width, Y: y + full}, fpdf.PointType{X: x + s.width, Y: y + high})
	s.SetFillColor(214, 228, 235)
	s.SetDrawColor(water[0], water[1], water[2])
	s.SetLineWidth(.4)
	s.Polygon(pts, "FD")
	s.SetFillColor(lamp[0], lamp[1], lamp[2])
	for i := range 3 { // lights stand between the full and the low water
		s.Circle(marks[1]+(marks[2]-marks[1])*(float64(i)+1)/4, y+7.2, .9, "F")
	}
	s.SetY(y + high + 1)
	s.font("", 8)
	s.ink(soft)
	for i, p := range parts {
		s.SetX(marks[i])
		s.CellFormat(marks[i+1]-marks[i], 4, p.name, "", 0, "C", false, 0, "")
	}
	s.Ln(5.5)
	s.ink(ink)
	s.font("", 9.5)
	s.SetX(margin)
}

// dollars writes an amount as people read it: $1,234.56.
func dollars(c jobs.Cents) string {
	if c < 0 {
		return "-$" + (-c).String()
	}
	return "$" + c.String()
}
