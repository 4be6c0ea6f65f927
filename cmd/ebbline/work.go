package main

import (
	"context"
	"log/slog"
	"net/mail"
	"net/url"
	"path/filepath"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/worker"
)

// workCommand sends notices and plans in the background, beside serve. On an
// embedded database there is no room for a second process.
type workCommand struct{}

func (*workCommand) Run(a *app) error {
	c, err := a.readConfig()
	if err != nil {
		return err
	}
	if c.embedded() {
		return wrongUsef("the database is an SQLite file, which one process holds: serve does this work itself. For a process of its own, set EBBLINE_DATABASE to Postgres")
	}
	log, err := c.logger(a.errs)
	if err != nil {
		return err
	}
	slog.SetDefault(log)
	st, err := openCurrent(a.ctx, c)
	if err != nil {
		return err
	}
	defer st.Close()
	w, err := newWork(c, log)
	if err != nil {
		return err
	}
	defer func() { _ = w.close() }() // a bell that rings no more
	d, err := newDesk(c, desk.Config{Store: st, Bell: w.bell, PublicURL: c.PublicURL})
	if err != nil {
		return err
	}
	if c.PublicURL == "" {
		log.Warn("EBBLINE_PUBLIC_URL is empty: messages carry no link for the customer")
	}
	log.Info("working", "messages", c.messages())
	return runParts(a.ctx, c.Grace, []part{w.part(d)})
}

// work is what wakes workers and what they do, for both settings: in this
// process, or in several woken through Redis.
type work struct {
	delivery *worker.Delivery
	bell     desk.Bell
	runner   *worker.Runner // without Redis
	queue    *worker.Queue  // with Redis
	ready    func() error   // whether the wake-up line answers
	close    func() error
}

// crash is called at named points of sending. Only tests set it.
var crash func(point string)

func newWork(c config, log *slog.Logger) (*work, error) {
	w := &work{ready: func() error { return nil }, close: func() error { return nil }}
	var err error
	if w.delivery, err = newDelivery(c, log); err != nil {
		return nil, err
	}
	every := worker.Intervals{Sweep: c.SweepEvery, Quiet: c.Quiet, Clean: c.CleanEvery}
	if c.Redis == "" {
		w.runner = &worker.Runner{Intervals: every, Log: log}
		w.bell = w.runner
		return w, nil
	}
	queue, err := worker.NewQueue(c.Redis)
	if err != nil {
		return nil, wrongUsef("EBBLINE_REDIS: want redis://host:port/0") // its value may hold a password
	}
	queue.Intervals, queue.Log = every, log
	bell, err := worker.NewBell(c.Redis, log)
	if err != nil {
		return nil, err
	}
	w.queue, w.bell, w.close = queue, bell, bell.Close
	w.ready = func() error {
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		return queue.Ping(ctx)
	}
	return w, nil
}

// part is the work as a part of a process.
func (w *work) part(d *desk.Desk) part {
	ctx, cancel := context.WithCancel(context.Background())
	w.delivery.Desk = d
	run := func() error { return w.queue.Run(ctx) }
	if w.runner != nil {
		w.runner.Desk, w.runner.Delivery = d, w.delivery
		run = func() error { return w.runner.Run(ctx) }
	} else {
		w.queue.Desk, w.queue.Delivery = d, w.delivery
	}
	return part{name: "work", run: run, stop: func(context.Context) error { cancel(); return nil }}
}

// newDelivery sends by the channels that are set; without a mail server, mail
// becomes files.
func newDelivery(c config, log *slog.Logger) (*worker.Delivery, error) {
	from, err := mail.ParseAddress(c.MailFrom)
	if err != nil {
		return nil, wrongUsef("EBBLINE_MAIL_FROM: %w", err)
	}
	delivery := &worker.Delivery{
		From: worker.Address{Name: from.Name, At: from.Address}, Lease: c.Lease, Wait: c.RetryAfter,
		Resend: c.SMSIdempotent, Log: log, Crash: crash,
	}
	if c.SMTP == "" {
		delivery.Mail = worker.Folder{Path: c.mailFolder()}
	} else {
		smtp, err := worker.NewSMTP(c.SMTP, "")
		if err != nil {
			return nil, wrongUsef("EBBLINE_SMTP: %w", err)
		}
		smtp.Crash = crash
		delivery.Mail = smtp
	}
	if c.SMSURL != "" {
		gateway, err := worker.NewGateway(c.SMSURL, c.SMSSecret, c.SMSIdempotent)
		if err != nil {
			return nil, wrongUsef("EBBLINE_SMS_URL: %w", err)
		}
		delivery.SMS = gateway
	}
	return delivery, nil
}

func (c config) mailFolder() string { return filepath.Join(c.Data, "mail") }

// mailTo says where messages go, for the Notices page: the mail server's host or
// the folder.
func (c config) mailTo() string {
	if u, err := url.Parse(c.SMTP); c.SMTP != "" && err == nil {
		return u.Host
	}
	return c.mailFolder()
}

// messages says where messages go, for the log.
func (c config) messages() string {
	if c.SMTP != "" {
		return "by the mail server"
	}
	return "as .eml files in " + c.mailFolder()
}
