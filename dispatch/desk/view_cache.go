package desk

import (
	"context"
	"sync"

	"ebbline/jobs"
)

// mostWarm bounds how many plans stay laid out. The size test's takes some
// thirty megabytes.
const mostWarm = 6

// warmCache keeps plans laid out for questions, by what they depend on. Many
// may ask at once; a model is made by one of them while the others wait.
type warmCache struct {
	mu   sync.Mutex
	of   map[string]*warmEntry
	turn int64
}

type warmEntry struct {
	ready chan struct{} // closed when v and err stand
	v     *looked
	err   error
	used  int64
}

// get gives the model kept under a key, or has it made. What could not be made
// is not kept. The maker works on when the one who asked first has gone: others
// wait for it.
func (c *warmCache) get(ctx context.Context, key string, lay func(context.Context) (*looked, error)) (*looked, error) {
	c.mu.Lock()
	c.turn++
	if c.of == nil {
		c.of = map[string]*warmEntry{}
	}
	e, had := c.of[key]
	if !had {
		e = &warmEntry{ready: make(chan struct{})}
		c.of[key] = e
		c.forget()
	}
	e.used = c.turn
	c.mu.Unlock()
	if !had {
		func() {
			defer close(e.ready)
			e.err = jobs.Errorf(jobs.CodeInternal, "The plan could not be laid out") // stays only if lay panics
			e.v, e.err = lay(context.WithoutCancel(ctx))
		}()
		if e.err != nil {
			c.mu.Lock()
			if c.of[key] == e {
				delete(c.of, key)
			}
			c.mu.Unlock()
		}
	}
	select {
	case <-e.ready:
		return e.v, e.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// forget lets the model go that was asked for longest ago.
func (c *warmCache) forget() {
	for len(c.of) > mostWarm {
		oldest := ""
		for key, e := range c.of {
			if e.used != 0 && (oldest == "" || e.used < c.of[oldest].used) { // 0: the one that comes in
				oldest = key
			}
		}
		if oldest == "" {
			return
		}
		delete(c.of, oldest)
	}
}
