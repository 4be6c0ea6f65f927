package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs/store"
	"ebbline/server"
	"ebbline/server/auth"
	"ebbline/web"
)

// office is everything that serving needs, opened and wired but not yet
// running: the listeners are there, so that the address is known, but nothing
// is answered. The demo fills the desk in between.
type office struct {
	config  config
	log     *slog.Logger
	store   *store.Store
	desk    *desk.Desk
	url     string // what people reach the pages at
	public  net.Listener
	metrics net.Listener // nil: none asked for
	parts   []part       // what serving runs, in the order of stopping
	closers []func() error
}

// openOffice opens the database, the desk, the server and, with work, what
// works in this process. With migrate the schema is brought up to date; without,
// an older one is refused. The caller closes it.
func (a *app) openOffice(c config, migrate, work bool) (o *office, err error) {
	o = &office{config: c}
	defer func() {
		if err != nil {
			err = errors.Join(err, o.close())
		}
	}()
	if o.log, err = c.logger(a.errs); err != nil {
		return o, err
	}
	slog.SetDefault(o.log)
	if err = o.listen(); err != nil {
		return o, err
	}
	if migrate {
		if o.store, err = openStore(a.ctx, c); err != nil {
			return o, err
		}
		if _, err = o.store.Migrate(a.ctx); err != nil {
			return o, err
		}
	} else if o.store, err = openCurrent(a.ctx, c); err != nil {
		return o, err
	}
	w, err := newWork(c, o.log)
	if err != nil {
		return o, err
	}
	o.closers = append(o.closers, w.close)
	if o.desk, err = newDesk(c, desk.Config{Store: o.store, Bell: w.bell, PublicURL: o.url}); err != nil {
		return o, err
	}
	if err := o.wireServer(w.ready); err != nil {
		return o, err
	}
	if work {
		o.parts = append(o.parts, w.part(o.desk))
	}
	return o, nil
}

// listen takes the ports, so that a taken one is told before anything else is
// done, and port 0 becomes a real one.
func (o *office) listen() (err error) {
	if o.public, err = net.Listen("tcp", o.config.Listen); err != nil {
		return fmt.Errorf("EBBLINE_LISTEN: %w", err)
	}
	if o.config.MetricsListen != "" {
		if o.metrics, err = net.Listen("tcp", o.config.MetricsListen); err != nil {
			return fmt.Errorf("EBBLINE_METRICS_LISTEN: %w", err)
		}
	}
	o.url = strings.TrimSuffix(o.config.PublicURL, "/")
	if o.url == "" {
		o.url = "http://" + reachable(o.public.Addr())
	}
	return nil
}

// reachable is the address with a host that a browser on this machine can use.
func reachable(addr net.Addr) string {
	tcp, ok := addr.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return addr.String()
	}
	return fmt.Sprintf("localhost:%d", tcp.Port)
}

func (o *office) wireServer(ready func() error) error {
	key, err := o.config.signingKey()
	if err != nil {
		return err
	}
	ring, err := auth.NewRing(key)
	if err != nil {
		return err
	}
	s, err := server.New(server.Config{
		Desk: o.desk, Clock: wallClock{}, IDs: uuids{}, Keys: ring, Pages: web.Files(),
		PublicURL: o.url, TrustedProxies: o.config.Proxies, UserLife: 10 * time.Second, Log: o.log,
		Ready: []func() error{ready}, MailTo: o.config.mailTo(),
	})
	if err != nil {
		return err
	}
	o.parts = append(o.parts, httpPart("pages and API", s.HTTP(), o.public))
	if o.metrics != nil {
		operator := &http.Server{Handler: s.Operator(), ReadHeaderTimeout: 5 * time.Second, IdleTimeout: time.Minute}
		o.parts = append(o.parts, httpPart("metrics", operator, o.metrics))
	}
	return nil
}

// httpPart serves on the listener until it is stopped; requests under way end
// first, and what is still open when the grace is over is cut off.
func httpPart(name string, s *http.Server, l net.Listener) part {
	return part{
		name: name,
		run: func() error {
			if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
				return err
			}
			return nil
		},
		stop: func(ctx context.Context) error {
			err := s.Shutdown(ctx)
			if errors.Is(err, context.DeadlineExceeded) {
				return s.Close()
			}
			return err
		},
	}
}

// serve answers until ctx is done, then stops requests first and work second.
func (o *office) serve(ctx context.Context) error {
	return runParts(ctx, o.config.Grace, o.parts)
}

// close lets go of what was opened. Closing a listener twice does no harm.
func (o *office) close() error {
	for _, l := range []net.Listener{o.public, o.metrics} {
		if l != nil {
			_ = l.Close() // serving has closed it, or nothing was ever sent over it
		}
	}
	var failed error
	for _, closer := range o.closers {
		failed = errors.Join(failed, closer())
	}
	if o.store != nil {
		failed = errors.Join(failed, o.store.Close())
	}
	return failed
}
