package server

import (
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"ebbline/jobs"
	"ebbline/server/api"
)

// Codes of refusals that only HTTP knows.
const (
	codeMethod    jobs.Code = "method"     // no such method on this path
	codeMediaType jobs.Code = "media_type" // a body in a form we do not read
)

// statuses is the one place where a code becomes a status.
var statuses = map[jobs.Code]int{
	jobs.CodeInvalid:         http.StatusBadRequest,
	jobs.CodeNotFound:        http.StatusNotFound,
	jobs.CodeConflict:        http.StatusConflict,
	jobs.CodeStale:           http.StatusPreconditionFailed,
	jobs.CodePrecondition:    http.StatusPreconditionRequired,
	jobs.CodeForbidden:       http.StatusForbidden,
	jobs.CodeUnauthenticated: http.StatusUnauthorized,
	jobs.CodeKeyReused:       http.StatusUnprocessableEntity,
	jobs.CodeKeyBusy:         http.StatusConflict,
	jobs.CodeTooLarge:        http.StatusRequestEntityTooLarge,
	jobs.CodeTooMany:         http.StatusTooManyRequests,
	jobs.CodeUnavailable:     http.StatusServiceUnavailable,
	jobs.CodeInternal:        http.StatusInternalServerError,
	codeMethod:               http.StatusMethodNotAllowed,
	codeMediaType:            http.StatusUnsupportedMediaType,
}

// refuse answers with RFC 9457 problem details and ends the request. What is
// not a *jobs.Error is logged and shown as an internal fault without a cause.
func refuse(c *gin.Context, err error) {
	c.Abort()
	if c.Writer.Written() {
		slog.ErrorContext(c.Request.Context(), "refused after the answer began", "request", requestID(c), "error", err)
		return
	}
	code, detail := jobs.CodeOf(err), "Something went wrong on our side; the log knows it under this instance"
	var ours *jobs.Error
	if errors.As(err, &ours) && ours.Code != jobs.CodeInternal {
		detail = ours.Text
	}
	status, ok := statuses[code]
	if !ok {
		status = http.StatusInternalServerError
	}
	c.Set(errorKey, err)
	// The type is about:blank: the code beside it says what the status does not.
	p := api.Problem{
		Type: "about:blank", Title: http.StatusText(status), Status: int64(status),
		Detail: &detail, Code: string(code),
	}
	if id := requestID(c); id != "" {
		instance := "urn:uuid:" + id
		p.Instance = &instance
	}
	if ours != nil && len(ours.Fields) > 0 {
		fields := make([]api.FieldProblem, len(ours.Fields))
		for i, f := range ours.Fields {
			fields[i] = api.FieldProblem{Field: f.Field, Value: f.Value, Want: f.Want}
		}
		p.Fields = &fields
	}
	h := c.Writer.Header()
	h.Del("ETag")
	h.Set("Content-Type", "application/problem+json")
	if status == http.StatusUnauthorized {
		h.Set("WWW-Authenticate", `Bearer realm="ebbline"`)
	}
	if h.Get("Retry-After") == "" && (status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests || code == jobs.CodeKeyBusy) {
		h.Set("Retry-After", strconv.Itoa(1))
	}
	body, _ := json.Marshal(p) // strings and numbers cannot fail
	c.Writer.WriteHeader(status)
	c.Writer.WriteHeaderNow()
	if c.Request.Method != http.MethodHead {
		_, _ = c.Writer.Write(body) // a caller who has gone needs no answer
	}
}
