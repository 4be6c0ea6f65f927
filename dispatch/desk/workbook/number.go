package workbook

import (
	"math"
	"strconv"
	"strings"
	"time"

	"ebbline/jobs"
)

// format is what a number format says of the numbers under it.
type format struct {
	date, clock bool
	percent     bool
	digits      bool // lays out digits, like 00000 or (000) 000-0000: they are no amount
}

// builtIn are the formats that a workbook names by number alone (ECMA-376-1,
// 18.8.30 numFmt).
func builtIn(id int) format {
	switch {
	case id == 9, id == 10:
		return format{percent: true}
	case id >= 14 && id <= 17, id >= 27 && id <= 31, id == 36, id >= 50 && id <= 54, id == 57, id == 58:
		return format{date: true}
	case id >= 18 && id <= 21, id >= 32 && id <= 35, id >= 45 && id <= 47, id == 55, id == 56:
		return format{clock: true}
	case id == 22:
		return format{date: true, clock: true}
	}
	return format{}
}

func (r *reader) format(id int) (format, error) {
	style, err := r.f.GetStyle(id)
	if err != nil {
		return format{}, err
	}
	if style.CustomNumFmt != nil {
		return readFormat(*style.CustomNumFmt), nil
	}
	return builtIn(style.NumFmt), nil
}

// readFormat reads a format code's first section. Texts in quotes, colours and
// languages in brackets are not looked at; [h] counts hours on.
func readFormat(code string) format {
	var bare strings.Builder
	literal := false // signs laid out between digits
	for i := 0; i < len(code); i++ {
		switch c := code[i]; c {
		case '"':
			end := strings.IndexByte(code[i+1:], '"')
			if end < 0 {
				end = len(code) - i - 2
			}
			i += end + 1
		case '\\', '_', '*':
			literal = literal || c == '\\'
			i++
		case '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				return format{}
			}
			if inner := strings.ToLower(code[i+1 : i+end]); strings.Trim(inner, "hms") == "" {
				bare.WriteString(inner)
			}
			i += end
		default:
			bare.WriteByte(c)
		}
	}
	first, _, _ := strings.Cut(strings.ToLower(bare.String()), ";")
	if strings.Contains(first, "general") {
		return format{}
	}
	first = strings.NewReplacer("am/pm", "h", "a/p", "h").Replace(first)
	clock := strings.ContainsAny(first, "hs")
	date := strings.ContainsAny(first, "yd") || strings.Contains(first, "m") && !clock
	switch {
	case clock || date:
		return format{date: date, clock: clock}
	case strings.Contains(first, "%"):
		return format{percent: true}
	}
	// 00000, 00000-0000, (000) 000-0000, ###-####
	laid := strings.Trim(first, "0#-() ./") == "" && !strings.ContainsAny(first, "./,")
	between := literal || strings.ContainsAny(strings.Trim(first, "- "), "-(")
	return format{digits: laid && (strings.HasPrefix(first, "00") || between) && strings.ContainsAny(first, "0#")}
}

// numberCell writes a number to 15 significant digits, as many as spreadsheets
// keep: what lies beyond is noise of the binary form.
func numberCell(v float64) jobs.SheetCell {
	text := strconv.FormatFloat(v, 'g', 15, 64)
	size := math.Abs(v)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0) || size >= 1e15:
		return jobs.SheetCell{Text: text, Want: "a number of at most 15 digits; longer ones must be kept as text"}
	case v != 0 && size < 1e-9:
		return jobs.SheetCell{Text: text, Want: "0, or a number that is not as small as the noise of a calculation"}
	}
	short, _ := strconv.ParseFloat(text, 64) // it was just written
	text = strconv.FormatFloat(short, 'f', -1, 64)
	if text == "-0" {
		text = "0"
	}
	return jobs.SheetCell{Text: text, Number: true}
}

// serialCell writes a day, a time of day or both. Days are counted from the
// last day of 1899, with a 29 February 1900 that never was as the 60th, or from 1
// January 1904 as 0 (ECMA-376-1, 18.17.4.1).
func serialCell(v float64, form format, from1904 bool) jobs.SheetCell {
	shown := numberCell(v).Text
	wrong := func(want string) jobs.SheetCell { return jobs.SheetCell{Text: shown, Want: want} }
	if math.IsNaN(v) || v < 0 || v >= 2_958_466 { // 10000-01-01 in the 1900 system
		return wrong("a day from 1900 to 9999, or a time of day")
	}
	seconds := int64(math.Round(v * 86_400)) // a double holds these to the microsecond
	days, rest := seconds/86_400, seconds%86_400
	if !form.date {
		if days > 1 || days == 1 && rest > 0 {
			return wrong("a time of day up to 24:00")
		}
		return jobs.SheetCell{Text: clockText(seconds)}
	}
	epoch := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case from1904:
		epoch = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case days == 0 || days == 60:
		return wrong("a day that there was")
	case days < 60:
		days++
	}
	text := epoch.AddDate(0, 0, int(days)).Format("2006-01-02")
	if rest > 0 {
		text += " " + clockText(rest)
	}
	return jobs.SheetCell{Text: text}
}

func clockText(seconds int64) string {
	text := twoDigits(seconds/3600) + ":" + twoDigits(seconds/60%60)
	if seconds%60 > 0 {
		text += ":" + twoDigits(seconds%60)
	}
	return text
}

func twoDigits(n int64) string {
	if n < 10 {
		return "0" + strconv.FormatInt(n, 10)
	}
	return strconv.FormatInt(n, 10)
}

// isoCell reads a cell that keeps its date as ISO 8601 text.
func isoCell(raw string) jobs.SheetCell {
	for _, layout := range []string{"2006-01-02", "2006-01-02T15:04:05", "2006-01-02T15:04:05Z", "2006-01-02T15:04:05.999", "2006-01-02T15:04:05.999Z", "2006-01-02T15:04"} {
		t, err := time.Parse(layout, raw)
		if err != nil {
			continue
		}
		text := t.Format("2006-01-02")
		if s := int64(t.Hour()*3600 + t.Minute()*60 + t.Second()); s > 0 {
			text += " " + clockText(s)
		}
		return jobs.SheetCell{Text: text}
	}
	return jobs.SheetCell{Text: raw, Want: "a day like 2026-03-08"}
}
