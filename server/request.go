package server

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"ebbline/jobs"
)

// What a request carries along.
const (
	requestKey = "ebbline.request"
	errorKey   = "ebbline.error"
	seenKey    = "ebbline.seen"
	printKey   = "ebbline.print"
)

// identify gives each request an id of ours; what a caller sends as one is not
// taken over into the log.
func (s *Server) identify(c *gin.Context) {
	id := s.IDs.New()
	c.Set(requestKey, id)
	c.Header("X-Request-Id", id)
}

func requestID(c *gin.Context) string { return c.GetString(requestKey) }

// headers sets what every answer has. The pages load nothing from elsewhere and
// have no inline script or style.
func (s *Server) headers(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("Content-Security-Policy", "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; "+
		"base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store") // pages.go says otherwise for its files
	if s.secure {
		h.Set("Strict-Transport-Security", "max-age=31536000")
	}
}

// bound tells callers to come back when too many are at work.
func (s *Server) bound(c *gin.Context) {
	if access[s.operation(c)].stream {
		return // streams are few and long; they are not work
	}
	select {
	case s.atOnce <- struct{}{}:
		defer func() { <-s.atOnce }()
		c.Next()
	default:
		refuse(c, jobs.Errorf(jobs.CodeUnavailable, "Too much at once; try again in a moment"))
	}
}

// sameOrigin refuses changes that another site's page asks a browser for.
func (s *Server) sameOrigin(c *gin.Context) {
	if err := s.origin.Check(c.Request); err != nil {
		refuse(c, jobs.Wrap(jobs.CodeForbidden, err, "A page of another site may not ask for this"))
	}
}

// operation is the contract's name of what is asked for; empty for none.
func (s *Server) operation(c *gin.Context) string {
	if r := s.contract.routes[c.Request.Method+" "+c.FullPath()]; r != nil {
		return r.Operation.OperationID
	}
	return ""
}

// body reads and looks at the raw body, and takes the request's fingerprint.
func (s *Server) body(c *gin.Context) {
	route, r := s.contract.routes[c.Request.Method+" "+c.FullPath()], c.Request
	var sent []byte
	if route.Operation.RequestBody == nil {
		if b, err := readBody(c.Writer, r, 1); err != nil || len(b) > 0 {
			refuse(c, jobs.Errorf(jobs.CodeInvalid, "This request has no body"))
			return
		}
		r.Body = http.NoBody
	} else {
		kind, err := mediaType(r)
		types := access[route.Operation.OperationID].types
		if err == nil && (route.Operation.RequestBody.Value.Content.Get(kind) == nil || types != nil && !slices.Contains(types, kind)) {
			err = jobs.Errorf(codeMediaType, "%q is not read here", jobs.Short(kind))
		}
		if err != nil {
			refuse(c, err)
			return
		}
		sent, err = readBody(c.Writer, r, access[route.Operation.OperationID].body)
		if err == nil && kind == "application/json" {
			err = checkJSON(sent)
		}
		if err != nil {
			refuse(c, err)
			return
		}
	}
	if r.Method == http.MethodPost {
		if err := checkKey(r.Header.Values("Idempotency-Key")); err != nil {
			refuse(c, err)
			return
		}
		c.Set(printKey, s.Keys.Print([]byte(r.Method+"\n"+r.URL.RequestURI()+"\n"), sent))
	}
}

// checkKey refuses a key that is sent twice or holds more than visible ASCII;
// its length and whether one is needed the contract says.
func checkKey(keys []string) error {
	var f jobs.Faults
	f.Check(len(keys) <= 1, "Idempotency-Key", "", "one key")
	for _, key := range keys {
		ok := strings.IndexFunc(key, func(r rune) bool { return r < '!' || r > '~' }) < 0
		f.Check(ok, "Idempotency-Key", jobs.Short(key), "visible ASCII characters")
	}
	return f.Err()
}

// schema checks the request against the contract.
func (s *Server) schema(c *gin.Context) {
	route := s.contract.routes[c.Request.Method+" "+c.FullPath()]
	params := map[string]string{}
	for _, p := range c.Params {
		params[p.Key] = p.Value
		if p.Key == "id" || strings.HasSuffix(p.Key, "_id") {
			if !jobs.ValidID(p.Value) {
				refuse(c, jobs.Errorf(jobs.CodeNotFound, "There is no such thing"))
				return
			}
		}
	}
	if err := checkQuery(c.Request.URL.Query()); err != nil {
		refuse(c, err)
		return
	}
	if err := s.contract.check(c.Request.Context(), route, c.Request, params); err != nil {
		refuse(c, err)
	}
}

// etag writes a version as an entity tag: "v3".
func etag(version int64) *string {
	tag := `"v` + strconv.FormatInt(version, 10) + `"`
	return &tag
}

// ifMatch reads the version that a change was made to. A missing one is
// CodePrecondition; a weak tag, a list or * never matches.
func ifMatch(header *string) (int64, error) { return ifMatchFrom(header, 1) }

// ifMatchNew is ifMatch for what has version 0 until somebody notes it.
func ifMatchNew(header *string) (int64, error) { return ifMatchFrom(header, 0) }

func ifMatchFrom(header *string, least int64) (int64, error) {
	if header == nil || *header == "" {
		return 0, jobs.Errorf(jobs.CodePrecondition, "Send If-Match with the ETag that you read")
	}
	digits, ok := strings.CutPrefix(*header, `"v`)
	digits, closed := strings.CutSuffix(digits, `"`)
	n, err := strconv.ParseInt(digits, 10, 64)
	if !ok || !closed || err != nil || n < least || digits != strconv.FormatInt(n, 10) {
		return 0, jobs.Errorf(jobs.CodeStale, "If-Match is not an ETag of this thing, such as \"v3\"")
	}
	return n, nil
}
