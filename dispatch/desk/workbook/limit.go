package workbook

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"ebbline/jobs"
)

// What a workbook may hold. A file of some kilobytes can unpack to gigabytes,
// and one cell at the far end of a row makes its reader keep the whole row: so
// the true size of every part and the reach of every row are measured first.
const (
	maxUnpacked = 64 << 20 // bytes of all parts
	maxParts    = 500
	maxRow      = jobs.MaxImportRows + 1000
	maxColumn   = 256
	maxReach    = 800_000 // cells up to the last one of each row, all rows
	maxMerged   = 500
	maxDepth    = 64 // XML elements in each other
)

func tooLarge(format string, args ...any) error {
	return jobs.Errorf(jobs.CodeTooLarge, format, args...)
}

func notOne(cause error) error {
	return jobs.Wrap(jobs.CodeInvalid, cause, "The file is no workbook that can be read; save it as .xlsx")
}

// measure unpacks every part once, without keeping it, and refuses what is
// beyond the limits. The sizes that the archive states are not believed.
func measure(data []byte) error {
	if bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")) {
		return jobs.Errorf(jobs.CodeInvalid, "The workbook is of the old form .xls, or locked by a password; save it as .xlsx without one")
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return notOne(err)
	}
	if len(z.File) > maxParts {
		return tooLarge("The workbook has %d parts; at most %d are read", len(z.File), maxParts)
	}
	left := int64(maxUnpacked)
	book := false
	for _, part := range z.File {
		name := strings.ToLower(strings.ReplaceAll(part.Name, `\`, "/"))
		book = book || strings.HasSuffix(name, "workbook.xml")
		if err := measurePart(part, name, &left); err != nil {
			return err
		}
	}
	if !book {
		return notOne(errors.New("no workbook.xml inside"))
	}
	return nil
}

func measurePart(part *zip.File, name string, left *int64) error {
	if part.UncompressedSize64 > uint64(*left) {
		return tooLarge("The workbook is larger than %d MiB unpacked; part it", maxUnpacked>>20)
	}
	in, err := part.Open()
	if err != nil {
		return notOne(err)
	}
	defer in.Close()
	counted := &counter{in: io.LimitReader(in, *left+1)}
	// Whatever its name, a part may be what the workbook points to as a sheet.
	text := bufio.NewReader(counted)
	begin, _ := text.Peek(16)
	isXML := bytes.HasPrefix(bytes.TrimLeft(bytes.TrimPrefix(begin, []byte("\xef\xbb\xbf")), " \t\r\n"), []byte("<"))
	if isXML {
		err = measureXML(text)
	}
	var broken *xml.SyntaxError
	if errors.As(err, &broken) && strings.HasSuffix(name, ".vml") {
		err = nil // drawings in the older form are seldom sound
	}
	if err == nil {
		_, err = io.Copy(io.Discard, text)
	}
	*left -= counted.n
	var ours *jobs.Error
	switch {
	case *left < 0:
		return tooLarge("The workbook is larger than %d MiB unpacked; part it", maxUnpacked>>20)
	case errors.As(err, &ours):
		return err
	case err != nil:
		return notOne(fmt.Errorf("%s: %w", part.Name, err))
	}
	return nil
}

type counter struct {
	in io.Reader
	n  int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.in.Read(p)
	c.n += int64(n)
	return n, err
}

// measureXML walks one part. Only UTF-8 is read: the decoder refuses any other.
func measureXML(in io.Reader) error {
	d := xml.NewDecoder(in)
	depth, reach, col, rows, merged := 0, 0, 0, 0, 0
	for {
		t, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.EndElement:
			depth--
		case xml.StartElement:
			if depth++; depth > maxDepth {
				return tooLarge("The workbook nests deeper than %d levels", maxDepth)
			}
			switch t.Name.Local {
			case "row":
				rows++
				col = 0
				at, _ := strconv.Atoi(attr(t, "r"))
				if at > maxRow || rows > maxRow {
					return tooLarge("A sheet reaches down to row %d; at most %d are read. Delete the empty rows at its end, or part it", max(at, rows), maxRow)
				}
			case "c":
				at := columnOf(attr(t, "r"))
				if at == 0 {
					at = col + 1
				}
				if at > maxColumn {
					return tooLarge("A sheet reaches out to column %s; columns up to %s are read. Delete the empty columns at its end",
						jobs.ColumnLetters(at-1), jobs.ColumnLetters(maxColumn-1))
				}
				reach += max(at-col, 1)
				if col = max(col, at); reach > maxReach {
					return tooLarge("A sheet has more than %d cells; part it", maxReach)
				}
			case "mergeCell":
				if merged++; merged > maxMerged {
					return tooLarge("A sheet has more than %d merged ranges; unmerge them", maxMerged)
				}
			}
		}
	}
}

func attr(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// columnOf reads the letters of a reference like AB12 as a number from 1; 0 where
// there are none.
func columnOf(ref string) int {
	n := 0
	for _, r := range strings.ToUpper(ref) {
		if r < 'A' || r > 'Z' || n > maxColumn {
			break
		}
		n = n*26 + int(r-'A') + 1
	}
	return n
}
