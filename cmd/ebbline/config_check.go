package main

import (
	"fmt"
	"net"
	"net/mail"
	"net/netip"
	"net/url"
	"strings"
	"time"
)

// check refuses settings that can't be meant, each by its name. Values that may
// hold a password are not repeated.
func (c config) check() error {
	if c.Data == "" {
		return fmt.Errorf("EBBLINE_DATA is empty: want a folder")
	}
	if !c.embedded() && !strings.HasPrefix(c.Database, "postgres://") && !strings.HasPrefix(c.Database, "postgresql://") {
		return fmt.Errorf("EBBLINE_DATABASE: want postgres://... or sqlite:FILE")
	}
	if c.embedded() && c.Redis != "" {
		return fmt.Errorf("EBBLINE_REDIS is set but the database is an SQLite file: Redis wakes workers in other processes, and those can't share the file. Use Postgres, or leave EBBLINE_REDIS empty")
	}
	if c.Redis != "" && !strings.HasPrefix(c.Redis, "redis://") && !strings.HasPrefix(c.Redis, "rediss://") {
		return fmt.Errorf("EBBLINE_REDIS: want redis://host:port/0") // its value may hold a password
	}
	if c.Listen == "" {
		return fmt.Errorf("EBBLINE_LISTEN is empty: want host:port")
	}
	for _, at := range []struct{ name, value string }{
		{"EBBLINE_LISTEN", c.Listen}, {"EBBLINE_METRICS_LISTEN", c.MetricsListen},
	} {
		if _, _, err := net.SplitHostPort(at.value); at.value != "" && err != nil {
			return fmt.Errorf("%s=%s: want host:port", at.name, at.value)
		}
	}
	if c.Key != "" {
		if _, err := parseKey("EBBLINE_KEY", c.Key); err != nil {
			return err
		}
	}
	if c.PublicURL != "" && !plainURL(c.PublicURL) {
		return fmt.Errorf("EBBLINE_PUBLIC_URL=%s: want http or https and a host, such as https://plan.example.com", c.PublicURL)
	}
	for _, proxy := range c.Proxies {
		_, errAddr := netip.ParseAddr(proxy)
		_, errNet := netip.ParsePrefix(proxy)
		if errAddr != nil && errNet != nil {
			return fmt.Errorf("EBBLINE_TRUSTED_PROXIES: %q: want an address or a network, such as 10.0.0.0/8", proxy)
		}
	}
	for _, span := range []struct {
		name  string
		value time.Duration
	}{
		{"EBBLINE_GRACE", c.Grace}, {"EBBLINE_SWEEP_EVERY", c.SweepEvery}, {"EBBLINE_QUIET", c.Quiet},
		{"EBBLINE_LEASE", c.Lease}, {"EBBLINE_RETRY_AFTER", c.RetryAfter}, {"EBBLINE_CLEAN_EVERY", c.CleanEvery},
	} {
		if span.value <= 0 {
			return fmt.Errorf("%s=%s: want more than nothing, such as 20s", span.name, span.value)
		}
	}
	if _, err := mail.ParseAddress(c.MailFrom); err != nil {
		return fmt.Errorf("EBBLINE_MAIL_FROM=%s: want an address, such as office@example.com", c.MailFrom)
	}
	if c.SMSURL != "" && len(c.SMSSecret) < 16 {
		return fmt.Errorf("EBBLINE_SMS_SECRET: want 16 or more characters, so that nobody else can post in our name")
	}
	_, err := c.logger(nil)
	return err
}

// plainURL is a scheme and a host, and at most a port.
func plainURL(text string) bool {
	u, err := url.Parse(text)
	return err == nil && u.Host != "" && (u.Scheme == "http" || u.Scheme == "https") &&
		strings.Trim(u.Path, "/") == "" && u.RawQuery == "" && u.User == nil
}
