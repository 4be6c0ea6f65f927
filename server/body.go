package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode/utf8"

	"ebbline/jobs"
)

// maxDepth bounds how deep a JSON body may nest.
const maxDepth = 64

// readBody reads a request's body up to limit bytes and puts it back, so that
// all that comes after sees the same bytes. CodeTooLarge.
func readBody(w http.ResponseWriter, r *http.Request, limit int64) ([]byte, error) {
	if limit == 0 {
		limit = defaultBody
	}
	b, err := io.ReadAll(http.MaxBytesReader(w, r.Body, limit))
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return nil, jobs.Errorf(jobs.CodeTooLarge, "At most %d bytes", limit)
	}
	if err != nil {
		return nil, jobs.Wrap(jobs.CodeInvalid, err, "The body broke off")
	}
	r.Body = io.NopCloser(bytes.NewReader(b))
	r.ContentLength = int64(len(b))
	return b, nil
}

// mediaType is the body's type without its parameters; only UTF-8 is read.
func mediaType(r *http.Request) (string, error) {
	t, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	charset := params["charset"]
	if err != nil || (charset != "" && charset != "utf-8" && charset != "UTF-8") || r.Header.Get("Content-Encoding") != "" {
		return "", jobs.Errorf(codeMediaType, "Send a body as its type says, in UTF-8, and not compressed")
	}
	return t, nil
}

// checkJSON refuses what decoders let pass in silence: bytes that are not
// UTF-8, half a surrogate pair, a key twice, something after the value, nesting
// without end, U+0000 (Postgres keeps none in text).
func checkJSON(b []byte) error {
	var f jobs.Faults
	if !utf8.Valid(b) {
		f.Add("body", "", "text in UTF-8")
		return f.Err()
	}
	if at := halfPair(b); at >= 0 {
		f.Add("body", "", "no half of a surrogate pair, as at byte "+strconv.Itoa(at))
		return f.Err()
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	field, err := walk(d, "", 0)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			field, err = "body", errors.New("one JSON value and nothing after it")
		}
	}
	if err != nil {
		if field == "" {
			field = "body"
		}
		f.Add(field, "", err.Error())
	}
	return f.Err()
}

// errNUL says what would be right of a text with U+0000 in it.
var errNUL = errors.New("text without the sign U+0000")

// checkQuery refuses what no database keeps: bytes that are not UTF-8, and
// U+0000.
func checkQuery(query url.Values) error {
	var f jobs.Faults
	for name, values := range query {
		for _, v := range values {
			f.Check(utf8.ValidString(v) && !strings.ContainsRune(v, 0), jobs.Short(name), "", "text in UTF-8 without the sign U+0000")
		}
	}
	return f.Err()
}

// walk reads one value and returns the path of the fault it meets.
func walk(d *json.Decoder, path string, depth int) (string, error) {
	t, err := d.Token()
	if err != nil {
		return "body", fmt.Errorf("valid JSON (byte %d)", d.InputOffset())
	}
	delim, ok := t.(json.Delim)
	if text, isText := t.(string); isText && strings.ContainsRune(text, 0) {
		return path, errNUL
	}
	if !ok {
		return "", nil
	}
	if depth == maxDepth {
		return path, fmt.Errorf("at most %d levels", maxDepth)
	}
	seen := map[string]bool{}
	for i := 0; d.More(); i++ {
		at := join(path, strconv.Itoa(i))
		if delim == '{' {
			key, err := d.Token()
			name, isText := key.(string)
			if err != nil || !isText {
				return "body", fmt.Errorf("valid JSON (byte %d)", d.InputOffset())
			}
			at = join(path, name)
			if strings.ContainsRune(name, 0) {
				return path, errNUL
			}
			if seen[name] {
				return at, errors.New("each key once")
			}
			seen[name] = true
		}
		if field, err := walk(d, at, depth+1); err != nil {
			return field, err
		}
	}
	if _, err := d.Token(); err != nil {
		return "body", fmt.Errorf("valid JSON (byte %d)", d.InputOffset())
	}
	return "", nil
}

func join(path, name string) string {
	name = jobs.Short(name)
	if path == "" {
		return name
	}
	return path + "." + name
}

// halfPair finds a \uD800-\uDFFF escape without its other half; -1 for none.
func halfPair(b []byte) int {
	unit := func(i int) (int64, bool) {
		if i+6 > len(b) || b[i] != '\\' || b[i+1] != 'u' {
			return 0, false
		}
		n, err := strconv.ParseInt(string(b[i+2:i+6]), 16, 32)
		return n, err == nil
	}
	for i := 0; i+1 < len(b); i++ {
		if b[i] != '\\' {
			continue
		}
		n, ok := unit(i)
		switch {
		case !ok || n < 0xD800 || n > 0xDFFF:
			i++ // over the escaped sign, which may be a backslash
		case n > 0xDBFF:
			return i
		default:
			if low, ok := unit(i + 6); !ok || low < 0xDC00 || low > 0xDFFF {
				return i
			}
			i += 11
		}
	}
	return -1
}
