package server

import (
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/pprof"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"ebbline/jobs"
)

type metrics struct {
	requests *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
	working  prometheus.Gauge
}

func newMetrics(r prometheus.Registerer) *metrics {
	m := &metrics{
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ebbline_http_requests_total",
			Help: "Requests answered, by operation and status."}, []string{"operation", "status"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "ebbline_http_request_seconds",
			Help: "Time to answer a request.", Buckets: []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10}}, []string{"operation"}),
		working: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ebbline_http_requests_working", Help: "Requests at work now."}),
	}
	r.MustRegister(m.requests, m.seconds, m.working, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// observe logs and counts a request when it is answered. The log holds no
// query, body, address or name: only ids and the route.
func (s *Server) observe(c *gin.Context) {
	began := time.Now()
	s.metrics.working.Inc()
	c.Next()
	s.metrics.working.Dec()
	took := time.Since(began)
	op := s.operation(c)
	if op == "" {
		op = "other"
	}
	status := c.Writer.Status()
	s.metrics.requests.WithLabelValues(op, strconv.Itoa(status)).Inc()
	s.metrics.seconds.WithLabelValues(op).Observe(took.Seconds())
	level, attrs := slog.LevelInfo, []slog.Attr{
		slog.String("request", requestID(c)), slog.String("operation", op), slog.Int("status", status),
		slog.Duration("took", took),
	}
	if who, ok := c.Value(seenKey).(seen); ok {
		attrs = append(attrs, slog.String("user", who.user.ID))
	}
	if err, ok := c.Value(errorKey).(error); ok {
		attrs = append(attrs, slog.String("code", string(jobs.CodeOf(err))))
		if status >= http.StatusInternalServerError {
			level = slog.LevelError
			attrs = append(attrs, slog.String("error", err.Error()))
		}
	}
	s.Log.LogAttrs(c.Request.Context(), level, "request", attrs...)
}

// recover turns a panic into an answer and a line in the log.
func (s *Server) recover(c *gin.Context) {
	defer func() {
		if p := recover(); p != nil {
			if err, ok := p.(error); ok && errors.Is(err, http.ErrAbortHandler) {
				panic(p)
			}
			s.Log.Error("panic", "request", requestID(c), "operation", s.operation(c), "panic", fmt.Sprint(p), "stack", string(debug.Stack()))
			refuse(c, fmt.Errorf("panic: %v", p))
		}
	}()
	c.Next()
}

// Operator answers on a listener of its own, which is not for the public:
// metrics and profiles.
func (s *Server) Operator() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/metrics", promhttp.HandlerFor(s.registry, promhttp.HandlerOpts{}))
	mux.HandleFunc("/debug/pprof/", pprof.Index)
	mux.HandleFunc("/debug/pprof/cmdline", pprof.Cmdline)
	mux.HandleFunc("/debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("/debug/pprof/symbol", pprof.Symbol)
	mux.HandleFunc("/debug/pprof/trace", pprof.Trace)
	return mux
}

// Registry takes further metrics, such as the worker's.
func (s *Server) Registry() prometheus.Registerer { return s.registry }
