package paper

import (
	"fmt"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"ebbline/jobs"
)

// Quote sets a quote in a language that it was kept in, else in English.
// Everything on it is in the quote itself, so a quote that was sent gives the
// same bytes ever after; a draft says that it is one.
func Quote(q jobs.Quote, size Size, language string) ([]byte, error) {
	b, err := q.Read()
	if err != nil {
		return nil, err
	}
	b = b.In(language)
	made := q.SentAt
	if made.IsZero() {
		made = q.CreatedAt
	}
	w := b.Words
	name := fmt.Sprintf(w.Quote, q.Number)
	s := newSheet(size, setting{title: strings.TrimSuffix(name+", "+b.Customer, ", "), footer: strings.TrimPrefix(b.Company+", "+name, ", "),
		page: w.Page, language: w.Language, made: made.Truncate(time.Second)})
	s.quoteTop(q, b, name)
	s.quoteSums(b)
	s.quoteOptions(b)
	s.quoteWork(b)
	s.quoteEnd(q, b)
	return s.bytes()
}

func (s *sheet) quoteTop(q jobs.Quote, b jobs.QuoteBody, name string) {
	w := b.Words
	s.ink(ink)
	s.font("B", 15)
	s.MultiCell(s.width, 7, plain(b.Company), "", "L", false)
	s.font("", 9)
	s.ink(soft)
	if b.License != "" {
		s.text(w.License + " " + b.License)
	}
	s.Ln(3)
	s.rule(lamp)
	s.Ln(3)
	s.ink(ink)
	s.font("B", 12)
	if q.State == jobs.QuoteDraft {
		name += ", " + w.Draft
	}
	s.CellFormat(s.width*.6, 6, name, "", 0, "L", false, 0, "")
	s.font("", 9.5)
	day := w.Day
	if day == "" && b.Day != "" {
		day = b.Day.Words()
	}
	s.CellFormat(s.width*.4, 6, day, "", 1, "R", false, 0, "")
	if b.Customer != "" {
		s.text(w.For + " " + b.Customer)
	}
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
	w := b.Words
	s.head(w.Price)
	for _, l := range b.Lines {
		s.sum("", l.Name, dollars(l.Cents), false)
	}
	s.sum("", w.Tax, dollars(b.Tax), false)
	s.rule(faint)
	s.sum("", w.Together, dollars(b.Total), true)
	s.sum("", w.Deposit, dollars(b.Deposit), false)
	if w.Valid != "" {
		s.text(w.Valid)
	}
	if b.Saves != "" {
		s.Ln(1.5)
		s.text(b.Saves)
	}
}

// quoteOptions sets the ways of doing the job under each other, each with what
// sets it apart and its price at the same place.
func (s *sheet) quoteOptions(b jobs.QuoteBody) {
	if len(b.Options) == 0 {
		return
	}
	s.head(b.Words.Ways)
	for i, o := range b.Options {
		s.room(4 * line)
		s.sum(number(i+1), o.Name, dollars(o.Total), true)
		says := append(o.Says[:len(o.Says):len(o.Says)], b.Words.Down+" "+dollars(o.Deposit))
		s.ink(soft)
		s.SetLeftMargin(margin + 5)
		s.SetX(margin + 5)
		s.MultiCell(s.width-39, line, plain(strings.Join(says, "; ")), "", "L", false)
		s.SetLeftMargin(margin)
		s.SetX(margin)
		s.ink(ink)
		s.Ln(1)
		if i < len(b.Options)-1 {
			s.rule(faint)
			s.Ln(1)
		}
	}
}

func (s *sheet) quoteWork(b jobs.QuoteBody) {
	w := b.Words
	if b.Water != nil {
		s.room(38)
		s.head(w.Water)
		s.strip(*b.Water, w)
		s.text(b.Water.Says)
	}
	s.list(w.Done, b.Includes)
	s.list(w.Excluded, b.Excludes)
	if len(b.Allowances) > 0 {
		s.head(w.Extra)
		if b.Extra != "" {
			s.text(b.Extra)
			s.Ln(1)
		}
		for _, a := range b.Allowances {
			s.sum("", a.Name+": "+a.Why, dollars(a.Cents), false)
		}
	}
	s.list(w.Care, b.Cautions)
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
	w := b.Words
	s.room(24 + line*float64(2*len(b.Terms)))
	s.list(w.Terms, b.Terms)
	s.Ln(12)
	s.room(8)
	y := s.GetY()
	s.SetDrawColor(ink[0], ink[1], ink[2])
	s.SetLineWidth(.25)
	s.Line(margin, y, margin+s.width*.6, y)
	s.Line(margin+s.width*.65, y, margin+s.width, y)
	s.font("", 8)
	s.ink(soft)
	sign, day := w.Sign, w.SignDay
	if len(b.Options) > 0 {
		sign += "; " + w.SignWay
	}
	if day == "" {
		day = q.ValidUntil.Words()
	}
	s.CellFormat(s.width*.65, 5, sign, "", 0, "L", false, 0, "")
	s.CellFormat(s.width*.35, 5, day, "", 1, "L", false, 0, "")
}

// strip draws the water's course: full, falling, low, rising, full. Its parts
// are as long as they last, each at least long enough to be read.
func (s *sheet) strip(w jobs.QuoteWater, words *jobs.QuoteLabels) {
	const high, full, low = 15.0, 2.0, 11.0
	s.room(high + 12)
	parts := []struct {
		name    string
		seconds int64
	}{{words.Lowering, w.Drain}, {words.Low, w.Work}, {words.Filling, w.Fill}}
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
