package auth

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Limits slows down guessing at passwords: per account and address together,
// per account, per address, and for all. Nobody is shut out for good, and a
// stranger who guesses at an account from elsewhere uses up only his own share
// of it until the account's hourly ceiling.
type Limits struct {
	mu      sync.Mutex
	all     *rate.Limiter
	buckets map[string]*bucket
}

type bucket struct {
	*rate.Limiter
	used time.Time
}

// The limits: 10 wrong passwords in 15 minutes per account and address, 100 an
// hour per account, 60 in 15 minutes per address, 20 a second in all.
const (
	pairBurst, pairEvery       = 10, 15 * time.Minute / 10
	accountBurst, accountEvery = 100, time.Hour / 100
	addressBurst, addressEvery = 60, 15 * time.Minute / 60
	allBurst, allEvery         = 40, time.Second / 20
	maxBuckets                 = 50_000
)

// NewLimits makes full buckets.
func NewLimits() *Limits {
	return &Limits{all: rate.NewLimiter(rate.Every(allEvery), allBurst), buckets: map[string]*bucket{}}
}

// Try asks whether one more attempt may be made now. When not, it says how long
// to wait. An attempt is counted before it is known to be right: Forgive gives
// it back.
func (l *Limits) Try(account, address string, now time.Time) (wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	// Who may not try at all gets no buckets for the accounts he names: else
	// inventing accounts would fill the map until everybody's are forgotten.
	limiters := []*rate.Limiter{l.all, l.at("address "+address, addressEvery, addressBurst, now)}
	if wait = longest(limiters, now); wait > 0 {
		return wait
	}
	limiters = append(limiters, l.at("account "+account, accountEvery, accountBurst, now),
		l.at("pair "+account+" "+address, pairEvery, pairBurst, now))
	if wait = longest(limiters, now); wait > 0 {
		return wait
	}
	for _, one := range limiters {
		one.AllowN(now, 1)
	}
	return 0
}

// longest is the time until all of the limiters have something left.
func longest(limiters []*rate.Limiter, now time.Time) (wait time.Duration) {
	for _, one := range limiters {
		if left := one.TokensAt(now); left < 1 {
			wait = max(wait, time.Duration((1-left)/float64(one.Limit())*float64(time.Second)))
		}
	}
	return wait
}

// Forgive forgets what a right password's owner used up from this address.
func (l *Limits) Forgive(account, address string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.buckets, "pair "+account+" "+address)
}

func (l *Limits) at(name string, every time.Duration, burst int, now time.Time) *rate.Limiter {
	b := l.buckets[name]
	if b == nil {
		if len(l.buckets) >= maxBuckets {
			l.sweep(now)
		}
		b = &bucket{Limiter: rate.NewLimiter(rate.Every(every), burst)}
		l.buckets[name] = b
	}
	b.used = now
	return b.Limiter
}

// sweep forgets buckets that nobody used for an hour, in which each fills up
// again; when that is not enough, all.
func (l *Limits) sweep(now time.Time) {
	for name, b := range l.buckets {
		if now.Sub(b.used) > time.Hour {
			delete(l.buckets, name)
		}
	}
	if len(l.buckets) >= maxBuckets {
		clear(l.buckets)
	}
}
