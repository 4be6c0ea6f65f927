package main

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"sync"
	"time"

	"ebbline/jobs"
)

// demoClock is what the demo's desk takes for now, so that the company has a
// past. It only moves on.
type demoClock struct {
	mu  sync.Mutex
	now time.Time
}

// Now is the instant that the story has come to.
func (c *demoClock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *demoClock) moveTo(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if at.After(c.now) {
		c.now = at.UTC()
	}
}

// demoIDs makes the same ids for the same seed, so that one seed and day make
// one week. They have the form of UUIDs of version 7 (RFC 9562).
type demoIDs struct {
	mu    sync.Mutex
	clock *demoClock
	rng   *rand.Rand
}

// New makes the next id.
func (i *demoIDs) New() string {
	i.mu.Lock()
	defer i.mu.Unlock()
	var b [16]byte
	binary.BigEndian.PutUint64(b[:8], uint64(i.clock.Now().UnixMilli())<<16|i.rng.Uint64()&0x0fff|0x7000)
	binary.BigEndian.PutUint64(b[8:], i.rng.Uint64()>>2|1<<63)
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// demoDays are the days of the story around the first one that is planned.
type demoDays struct {
	zone  *time.Location
	first jobs.Day  // the first planned day: today where crews work, else the next day they do
	until time.Time // what would lie after it has not happened yet
}

// demoDaysAt places the story: the crews work from Monday to Friday.
func demoDaysAt(now time.Time, zone *time.Location) demoDays {
	today := jobs.DayOf(now, zone)
	d := demoDays{zone: zone, first: today}
	for !demoWorks(d.first) {
		d.first = d.first.Add(1)
	}
	d.until = jobs.Wall(d.first.Add(-1), 21*3600, zone) // the evening before, which is over
	if d.first != today {
		d.until = jobs.Wall(d.back(1), 20*3600, zone)
	}
	return d
}

func demoWorks(day jobs.Day) bool {
	return day.Weekday() != time.Saturday && day.Weekday() != time.Sunday
}

// back is the nth working day before the first planned one.
func (d demoDays) back(n int) jobs.Day { return d.step(n, -1) }

// ahead is the nth working day after the first planned one.
func (d demoDays) ahead(n int) jobs.Day { return d.step(n, 1) }

func (d demoDays) step(n, by int) jobs.Day {
	day := d.first
	for n > 0 {
		day = day.Add(by)
		if demoWorks(day) {
			n--
		}
	}
	return day
}

// at is a time of day in the company's zone.
func (d demoDays) at(day jobs.Day, hour, minute int) time.Time {
	return jobs.Wall(day, hour*3600+minute*60, d.zone)
}
