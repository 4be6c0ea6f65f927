// Package server speaks HTTP: the contract's routes under /api/v1, health, and
// the embedded front end. It is the only home of Gin.
//
// A request under /api/v1 passes, in this order: request id, log and metrics,
// recovery, security headers, the bound on requests at once, the check of its
// origin, who it comes from (who.go), the access table (access.go), the raw
// body (body.go), the contract's schema (contract.go), and then its handler,
// which stands in the file of its noun and does three things: translate, call
// the desk, translate back.
package server

import (
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/prometheus/client_golang/prometheus"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
	"ebbline/server/auth"
)

// Config is what a server needs.
type Config struct {
	Desk  *desk.Desk
	Clock jobs.Clock
	IDs   jobs.IDs
	Keys  *auth.Ring
	// Pages is the embedded front end: web.Files().
	Pages fs.FS
	// PublicURL is where people reach the server; its https makes cookies Secure.
	PublicURL string
	// TrustedProxies may say where a request came from (X-Forwarded-For). Nil
	// trusts none.
	TrustedProxies []string
	// MailTo says where messages go, for the Notices page: a server's name or a
	// folder.
	MailTo string
	// MaxAtOnce bounds the requests at work at once; more are told to come back.
	// Zero means 256.
	MaxAtOnce int
	// UserLife is how long what is known of a signed-in user may be reused, so
	// how late a sign-out elsewhere may take effect. Zero asks every time.
	UserLife time.Duration
	// Ready holds further things that must answer before traffic comes.
	Ready []func() error
	// Log takes one line per request; nil means slog.Default().
	Log *slog.Logger
	// StreamPoll is how often streams look for news; zero means 500 ms.
	StreamPoll time.Duration
}

// Server answers requests.
type Server struct {
	Config
	contract *contract
	engine   *gin.Engine
	origin   *http.CrossOriginProtection
	limits   *auth.Limits
	links    *auth.Limits // of customers' links, apart from signing in
	present  *present
	metrics  *metrics
	registry *prometheus.Registry
	atOnce   chan struct{}
	ending   chan struct{} // closed when the server is told to stop: streams end
	secure   bool
	packed   sync.Map // files of the front end as gzip, by name
}

// New makes a server. It fails when an operation of the contract is missing
// from the access table.
func New(c Config) (*Server, error) {
	if c.Desk == nil || c.Clock == nil || c.IDs == nil || c.Keys == nil || c.Pages == nil {
		return nil, errors.New("a server needs a desk, a clock, ids, keys and pages")
	}
	if c.MaxAtOnce == 0 {
		c.MaxAtOnce = 256
	}
	if c.Log == nil {
		c.Log = slog.Default()
	}
	if c.StreamPoll == 0 {
		c.StreamPoll = 500 * time.Millisecond
	}
	s := &Server{
		Config: c, limits: auth.NewLimits(), links: auth.NewLimits(), present: newPresent(c.UserLife),
		atOnce: make(chan struct{}, c.MaxAtOnce), ending: make(chan struct{}), secure: strings.HasPrefix(c.PublicURL, "https://"),
		origin: http.NewCrossOriginProtection(), registry: prometheus.NewRegistry(),
	}
	var err error
	if s.contract, err = readContract(); err != nil {
		return nil, fmt.Errorf("contract: %w", err)
	}
	if err := checkAccess(s.contract.operations(), access); err != nil {
		return nil, err
	}
	if c.PublicURL != "" {
		if err := s.origin.AddTrustedOrigin(strings.TrimSuffix(c.PublicURL, "/")); err != nil {
			return nil, fmt.Errorf("public address: %w", err)
		}
	}
	s.metrics = newMetrics(s.registry)
	if err := s.route(); err != nil {
		return nil, err
	}
	return s, nil
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.engine.ServeHTTP(w, r) }

// HTTP is a server with all its time limits set, for the public listener; it is
// asked for once. Its Shutdown ends open streams.
func (s *Server) HTTP() *http.Server {
	srv := &http.Server{
		Handler: s, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 15 * time.Second,
		WriteTimeout: 30 * time.Second, IdleTimeout: 60 * time.Second, MaxHeaderBytes: 16 << 10,
		ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
	}
	srv.RegisterOnShutdown(sync.OnceFunc(func() { close(s.ending) }))
	return srv
}

func (s *Server) route() error {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.HandleMethodNotAllowed = true
	e.RedirectTrailingSlash = false
	e.RedirectFixedPath = false
	e.ContextWithFallback = true // handlers' contexts end with the request
	if err := e.SetTrustedProxies(s.TrustedProxies); err != nil {
		return fmt.Errorf("trusted proxies: %w", err)
	}
	e.Use(s.identify, s.observe, s.recover, s.headers)
	e.GET("/livez", s.livez)
	e.GET("/readyz", s.readyz)
	e.NoRoute(s.pages)
	e.NoMethod(func(c *gin.Context) {
		refuse(c, jobs.Errorf(codeMethod, "%s is not for this path", c.Request.Method))
	})
	routes := e.Group(base, s.bound, s.sameOrigin, s.who, s.may, s.body, s.schema)
	api.RegisterHandlersWithOptions(routes, api.NewStrictHandlerWithOptions(&handlers{s: s}, []api.StrictMiddlewareFunc{ownContext}, api.StrictGinServerOptions{
		RequestErrorHandlerFunc: func(c *gin.Context, err error) {
			refuse(c, jobs.Wrap(jobs.CodeInvalid, err, "The request cannot be read"))
		},
		HandlerErrorFunc:         refuse,
		ResponseErrorHandlerFunc: refuse,
	}), api.GinServerOptions{ErrorHandler: func(c *gin.Context, err error, _ int) {
		refuse(c, jobs.Wrap(jobs.CodeInvalid, err, "A parameter cannot be read"))
	}})
	s.engine = e
	return nil
}

// ownContext gives a handler a context that lives as long as anything looks at
// it. Gin takes its own back for the next request when the handler returns,
// while the database's goroutines may still ask it whether the request is over.
func ownContext(next api.StrictHandlerFunc, _ string) api.StrictHandlerFunc {
	return func(c *gin.Context, request any) (any, error) {
		own := c.Copy()
		own.Writer = c.Writer // for cookies; used before the handler returns
		return next(own, request)
	}
}

// handlers has one method per operation; each stands in the file of its noun.
type handlers struct {
	s *Server
}
