package paper

import (
	"bytes"
	"compress/zlib"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"ebbline/jobs"
)

var (
	stream = regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`)
	shown  = regexp.MustCompile(`(?s)\(((?:[^\\()]|\\.)*)\) ?Tj`)
)

// textOf reads the words of a document back from its page streams: strings in
// the order in which they are shown, as UTF-16 (ISO 32000-1, 7.3.4.2, 9.4.3).
func textOf(t *testing.T, pdf []byte) string {
	t.Helper()
	var out strings.Builder
	for _, m := range stream.FindAllSubmatch(pdf, -1) {
		r, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue
		}
		page, err := io.ReadAll(r)
		if err != nil || !bytes.Contains(page, []byte("Tj")) {
			continue
		}
		for _, s := range shown.FindAllSubmatch(page, -1) {
			raw := unescape(s[1])
			units := make([]uint16, len(raw)/2)
			for i := range units {
				units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
			}
			out.WriteString(string(utf16.Decode(units)) + "\n")
		}
	}
	return out.String()
}

// unescape takes the reverse solidus out of a literal string.
func unescape(raw []byte) []byte {
	var out []byte
	for i := 0; i < len(raw); i++ {
		if raw[i] == '\\' && i+1 < len(raw) {
			i++
			if at := strings.IndexByte("nrtbf", raw[i]); at >= 0 {
				out = append(out, "\n\r\t\b\f"[at])
				continue
			}
		}
		out = append(out, raw[i])
	}
	return out
}

// Every sum of the body, every name and every caution stands on the paper in
// each language, on either sheet, however many lights there are.
func TestPaperSaysWhatTheBodySays(t *testing.T) {
	for _, language := range jobs.Languages {
		for _, size := range []Size{Letter, A4} {
			for _, lights := range []int{1, 4, 30} {
				name := fmt.Sprintf("%s-%s-%d", language, size, lights)
				q := offered(t, lights)
				pdf, err := Quote(q, size, language)
				if err != nil {
					t.Fatal(err)
				}
				b, err := q.Read()
				if err != nil {
					t.Fatal(err)
				}
				b = b.In(language)
				want := []string{b.Company, b.License, b.Customer, b.Site, b.Note, b.Saves, b.Extra, b.Water.Says, b.Words.Day, b.Words.Valid, b.Words.SignDay,
					"$12,345.00", "$81.25", "$12,426.25", "$3,727.88", "$12,736.25", "$3,820.88", "$3,010.00", "$412.00", "$250.00", "$10,200.00"}
				for _, list := range [][]string{b.Scope, b.Includes, b.Excludes, b.Cautions, b.Terms} {
					want = append(want, list...)
				}
				for _, o := range b.Options {
					want = append(want, o.Name)
					want = append(want, o.Says...)
				}
				holds(t, name, textOf(t, pdf), want)
				look(t, name, pdf)
			}
		}
	}
}

// holds wants texts on a paper, wherever its lines break.
func holds(t *testing.T, name, text string, want []string) {
	t.Helper()
	got := strings.Join(strings.Fields(text), " ")
	for _, w := range want {
		if w = strings.Join(strings.Fields(w), " "); !strings.Contains(got, w) {
			t.Errorf("%s: no %q", name, w)
		}
	}
}

// look puts a paper where it can be looked at: EBBLINE_PAPER=/tmp go test ./server/paper
func look(t *testing.T, name string, pdf []byte) {
	if to := os.Getenv("EBBLINE_PAPER"); to != "" {
		if err := os.WriteFile(filepath.Join(to, name+".pdf"), pdf, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// A quote without options, surprises, savings or water says nothing of them.
func TestPlainQuote(t *testing.T) {
	q := offered(t, 1, func(o *jobs.QuoteOffer) {
		o.Ways, o.Allowances, o.Water, o.Note, o.License, o.Lowered, o.Dangers = o.Ways[:1], nil, nil, "", "", false, nil
	})
	pdf, err := Quote(q, Letter, "en")
	if err != nil {
		t.Fatal(err)
	}
	text := textOf(t, pdf)
	w := jobs.QuoteBody{}.In("en").Words
	for _, not := range []string{w.Ways, w.Extra, w.Water, w.SignWay, w.License + " ", "chlorine"} {
		if strings.Contains(text, not) {
			t.Errorf("%q on a quote that has none", not)
		}
	}
	holds(t, "plain", text, []string{"$12,426.25", w.Terms, w.Care})
	look(t, "plain", pdf)
}

// A quote from before the words around it were kept is still set.
func TestOldQuote(t *testing.T) {
	q := offered(t, 1)
	q.Body = []byte(`{"company":"Owl Wash","lines":[{"name":"Conversion of 2 pool lights","cents":500000}],"includes":[],"terms":["A deposit is due."],"total":541250}`)
	pdf, err := Quote(q, A4, "es")
	if err != nil {
		t.Fatal(err)
	}
	holds(t, "old", textOf(t, pdf), []string{"Owl Wash", "$5,000.00", "$5,412.50", "Quote 12", "Wed Apr 1, 2026"})
}

// An independent reader sees pages, words and language too. It is used where it
// is installed (pdftotext and pdfinfo of poppler-utils).
func TestAnotherReaderReadsIt(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	pdf, err := Quote(offered(t, 30), A4, "es")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "quote.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) string {
		cmd := exec.CommandContext(context.Background(), name, args...)
		cmd.Env = append(os.Environ(), "TZ=UTC")
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return string(out)
	}
	text := run("pdftotext", file, "-")
	info := run("pdfinfo", file)
	pages := regexp.MustCompile(`Pages: +(\d+)`).FindStringSubmatch(info)
	if pages == nil || pages[1] == "1" {
		t.Fatalf("%s", info)
	}
	n, _ := strconv.Atoi(pages[1])
	want := []string{"Presupuesto 12", "Íñigo Peñarrubia", "$12,426.25", "Tenga cuidado", "lunes 2 de marzo de 2026"}
	for i := range n {
		want = append(want, fmt.Sprintf("página %d de %d", i+1, n))
	}
	holds(t, "pdftotext", text, want)
	holds(t, "pdfinfo", info, []string{"A4", "Presupuesto 12, Íñigo", "Mar 2 17:00:00 2026"})
}
