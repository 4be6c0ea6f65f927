// Package paper sets what people keep on paper as PDF. It is pure: the same
// words give the same bytes, and no clock is read.
package paper

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Size is the sheet that is printed on.
type Size string

// The sizes.
const (
	Letter Size = "letter"
	A4     Size = "a4"
)

// colour is red, green, blue from 0 to 255.
type colour [3]int

// Paper and ink, the lamp and the water; the ink reaches 12:1 on white, the soft
// ink 5.7:1, so that a poor printer still gives a readable sheet.
var (
	ink   = colour{34, 34, 46}
	soft  = colour{94, 94, 110}
	faint = colour{206, 203, 196}
	lamp  = colour{150, 84, 10}
	water = colour{58, 116, 146}
)

// Millimetres.
const (
	margin = 18.0
	foot   = 16.0
	line   = 4.7
)

// sheet is a document being set.
type sheet struct {
	*fpdf.Fpdf
	width float64 // between the margins
}

// setting is what a document says of itself.
type setting struct {
	title, footer string
	page          string // page number of how many, as %d and %s
	language      string // as in html lang
	made          time.Time
}

// newSheet begins a document. The font has the letters of western languages.
func newSheet(size Size, about setting) *sheet {
	name := "Letter"
	if size == A4 {
		name = "A4"
	}
	pdf := fpdf.New("P", "mm", name, "")
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(about.made.UTC())
	pdf.SetModificationDate(about.made.UTC())
	pdf.SetProducer("", true)
	pdf.SetTitle(about.title, true)
	pdf.SetLang(about.language)
	pdf.AddUTF8FontFromBytes("go", "", goregular.TTF)
	pdf.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	pdf.SetCellMargin(0)
	pdf.SetMargins(margin, margin, margin)
	pdf.SetAutoPageBreak(true, foot+6)
	pdf.AliasNbPages("{n}")
	page, _ := pdf.GetPageSize()
	s := &sheet{pdf, page - 2*margin}
	pdf.SetFooterFunc(func() {
		pdf.SetY(-foot)
		s.ink(soft)
		s.font("", 8)
		pdf.CellFormat(s.width*.75, 5, plain(about.footer), "", 0, "L", false, 0, "")
		// the mark stands for a number that is known at the end only and is narrower
		over := pdf.GetStringWidth("{n}") - pdf.GetStringWidth("0")
		pdf.CellFormat(s.width*.25+over, 5, fmt.Sprintf(about.page, pdf.PageNo(), "{n}"), "", 0, "R", false, 0, "")
	})
	pdf.AddPage()
	return s
}

func (s *sheet) bytes() ([]byte, error) {
	var out bytes.Buffer
	err := s.Output(&out)
	return out.Bytes(), err
}

func (s *sheet) font(style string, points float64) { s.SetFont("go", style, points) }

func (s *sheet) ink(c colour) { s.SetTextColor(c[0], c[1], c[2]) }

// room begins a new page where less than the height asked is left on this one.
func (s *sheet) room(height float64) {
	_, page := s.GetPageSize()
	if s.GetY()+height > page-foot-6 {
		s.AddPage()
	}
}

// head is a heading, kept together with what follows.
func (s *sheet) head(text string) {
	s.room(28)
	s.Ln(3.5)
	s.font("B", 11)
	s.ink(lamp)
	s.CellFormat(s.width, 6, plain(text), "", 1, "L", false, 0, "")
	s.ink(ink)
	s.font("", 9.5)
}

// text is a paragraph.
func (s *sheet) text(words string) {
	s.MultiCell(s.width, line, plain(words), "", "L", false)
}

// item is a paragraph behind a dash.
func (s *sheet) item(words string) {
	s.room(2 * line)
	x := s.GetX()
	s.CellFormat(4, line, "–", "", 0, "L", false, 0, "")
	s.MultiCell(s.width-4, line, plain(words), "", "L", false)
	s.SetX(x)
}

// sum is a line of words with an amount at the right; a mark before it, if any,
// hangs out.
func (s *sheet) sum(mark, words, amount string, strong bool) {
	const high, money = 5.2, 34.0
	style, hang := "", 0.0
	if strong {
		style = "B"
	}
	if mark != "" {
		hang = 5
	}
	s.font(style, 9.5)
	s.room(float64(len(s.SplitText(plain(words), s.width-money-hang))) * high)
	y := s.GetY()
	if mark != "" {
		s.CellFormat(hang, high, mark, "", 0, "L", false, 0, "")
	}
	s.MultiCell(s.width-money-hang, high, plain(words), "", "L", false)
	end := s.GetY()
	s.SetXY(margin+s.width-money, y)
	s.CellFormat(money, high, amount, "", 0, "R", false, 0, "")
	s.SetXY(margin, end)
	s.font("", 9.5)
}

func (s *sheet) rule(c colour) {
	s.SetDrawColor(c[0], c[1], c[2])
	s.SetLineWidth(.25)
	s.Line(margin, s.GetY(), margin+s.width, s.GetY())
}

// plain takes out what a sheet can't hold: control characters, and letters above
// the plane that the font covers.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r < 32 || r > 0xFFFF:
			return ' '
		}
		return r
	}, text)
}

func number(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return number(n/10) + number(n%10)
}
