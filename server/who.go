package server

import (
	"context"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/gin-gonic/gin"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/auth"
)

// Cookies of browsers. Only requests to the session need the refresh token.
const (
	accessCookie  = "ebbline_access"
	refreshCookie = "ebbline_refresh"
	deviceCookie  = "ebbline_device"
	accessPath    = "/api"
	refreshPath   = base + "/session"
)

// seen is who a request comes from.
type seen struct {
	user   jobs.User
	claims auth.Claims
}

// who finds out who asks: a program's Bearer token, or else a browser's cookie.
// A token that does not serve is refused, except where nobody needs one.
func (s *Server) who(c *gin.Context) {
	token := ""
	if h := c.GetHeader("Authorization"); h != "" {
		scheme, rest, _ := strings.Cut(h, " ")
		if !strings.EqualFold(scheme, "Bearer") {
			rest = ""
		}
		token = strings.TrimSpace(rest)
		if token == "" {
			token = "none" // said to be somebody, and is nobody
		}
	} else if cookie, err := c.Request.Cookie(accessCookie); err == nil {
		token = cookie.Value
	}
	if token == "" || access[s.operation(c)].public {
		return
	}
	who, err := s.present.behind(c.Request.Context(), s, token)
	if err != nil {
		refuse(c, err)
		return
	}
	c.Set(seenKey, who)
}

// may asks the access table.
func (s *Server) may(c *gin.Context) {
	rule := access[s.operation(c)]
	if rule.public {
		return
	}
	who, ok := c.Value(seenKey).(seen)
	switch {
	case !ok:
		refuse(c, jobs.Errorf(jobs.CodeUnauthenticated, "Sign in first"))
	case !rule.allows(who.user.Role):
		refuse(c, jobs.Errorf(jobs.CodeForbidden, "Your role may not do this"))
	}
}

// call is who asks, when, and under which key, for the desk. key is the
// Idempotency-Key of a POST, else empty.
func (s *Server) call(ctx context.Context, key string) desk.Call {
	c := ginOf(ctx)
	who, _ := c.Value(seenKey).(seen)
	return desk.Call{Actor: who.user.Actor(), Key: key, Fingerprint: c.GetString(printKey), Now: s.Clock.Now()}
}

// ginOf is the request behind a handler's context. Only the parts of this
// package that need headers or cookies use it; the desk gets the context.
func ginOf(ctx context.Context) *gin.Context { return ctx.(*gin.Context) }

// present remembers for a moment who is behind a token, so that not every
// request checks the signature and asks the database.
type present struct {
	life time.Duration
	mu   sync.Mutex
	by   map[string]known // by the token
}

type known struct {
	seen
	until time.Time
}

func newPresent(life time.Duration) *present { return &present{life: life, by: map[string]known{}} }

// behind is who the token stands for. CodeUnauthenticated.
func (p *present) behind(ctx context.Context, s *Server, token string) (seen, error) {
	now := s.Clock.Now()
	if p.life > 0 {
		p.mu.Lock()
		k, ok := p.by[token]
		p.mu.Unlock()
		if ok && now.Before(k.until) {
			return k.seen, nil
		}
	}
	claims, err := s.Keys.Read(token, now)
	if err != nil {
		return seen{}, jobs.Wrap(jobs.CodeUnauthenticated, err, "Sign in again")
	}
	user, err := s.Desk.Present(ctx, now, claims.UserID, claims.SessionID, claims.Epoch)
	if err != nil || p.life == 0 {
		return seen{user, claims}, err
	}
	until := now.Add(p.life)
	if claims.ExpiresAt.Before(until) {
		until = claims.ExpiresAt
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.by) > 10_000 {
		clear(p.by)
	}
	p.by[token] = known{seen{user, claims}, until}
	return seen{user, claims}, nil
}

// forget drops what is remembered: somebody signed out or was changed.
func (p *present) forget() {
	p.mu.Lock()
	defer p.mu.Unlock()
	clear(p.by)
}

func (s *Server) setCookie(w http.ResponseWriter, name, value, path string, age time.Duration) {
	seconds := int(age.Seconds())
	if value == "" {
		seconds = -1
	}
	http.SetCookie(w, &http.Cookie{Name: name, Value: value, Path: path, MaxAge: seconds,
		HttpOnly: true, Secure: s.secure, SameSite: http.SameSiteStrictMode})
}
