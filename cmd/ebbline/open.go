package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/travel/address"
	"ebbline/jobs/store"
	"ebbline/web"
)

// openStore opens the database of the settings, and makes the folder of an
// embedded one. An embedded file is taken for this process alone.
func openStore(ctx context.Context, c config) (*store.Store, error) {
	if file, embedded := strings.CutPrefix(c.Database, "sqlite:"); embedded {
		if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
			return nil, err
		}
	}
	st, err := store.Open(ctx, c.Database)
	if err != nil {
		return nil, err
	}
	if err := st.Lock(); err != nil {
		st.Close()
		return nil, err
	}
	return st, nil
}

// openCurrent is openStore, and refuses a schema that is behind the program.
func openCurrent(ctx context.Context, c config) (*store.Store, error) {
	st, err := openStore(ctx, c)
	if err != nil {
		return nil, err
	}
	if err := st.CheckSchema(ctx); err != nil {
		st.Close()
		return nil, err
	}
	return st, nil
}

// openDesk opens the desk for a command that acts once and rings no bell: the
// sweep of whoever works finds what became due.
func (a *app) openDesk() (*desk.Desk, *store.Store, error) {
	c, err := a.readConfig()
	if err != nil {
		return nil, nil, err
	}
	st, err := openCurrent(a.ctx, c)
	if err != nil {
		return nil, nil, err
	}
	d, err := newDesk(c, desk.Config{Store: st, PublicURL: c.PublicURL})
	if err != nil {
		st.Close()
		return nil, nil, fmt.Errorf("open the desk: %w", err)
	}
	return d, st, nil
}

// newDesk opens the desk with the real clock and ids, the road files of the
// settings and the ZIP codes that the build left.
func newDesk(c config, d desk.Config) (*desk.Desk, error) {
	var err error
	if d.Roads, err = c.loadRoads(); err != nil {
		return nil, err
	}
	if d.Centres, err = address.OpenCentres(web.Zips()); err != nil {
		return nil, err
	}
	d.Clock, d.IDs = wallClock{}, uuids{}
	return desk.New(d)
}
