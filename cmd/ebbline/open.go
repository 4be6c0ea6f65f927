package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/jobs/store"
)

// openStore opens the database of the settings, and makes the folder of an
// embedded one.
func (a *app) openStore(ctx context.Context, c config) (*store.Store, error) {
	if file, embedded := strings.CutPrefix(c.Database, "sqlite:"); embedded {
		if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
			return nil, err
		}
	}
	return store.Open(ctx, c.Database)
}

// openCurrent opens the database, takes an embedded one for this process alone,
// and refuses a schema that is behind the program.
func (a *app) openCurrent(ctx context.Context, c config) (*store.Store, error) {
	st, err := a.openStore(ctx, c)
	if err != nil {
		return nil, err
	}
	if err = st.Lock(); err == nil {
		err = st.CheckSchema(ctx)
	}
	if err != nil {
		st.Close()
		return nil, err
	}
	return st, nil
}

// openDesk is openCurrent and the desk before it, for commands that act once.
func (a *app) openDesk(ctx context.Context) (*desk.Desk, *store.Store, error) {
	c, err := a.readConfig()
	if err != nil {
		return nil, nil, err
	}
	st, err := a.openCurrent(ctx, c)
	if err != nil {
		return nil, nil, err
	}
	d, err := desk.New(desk.Config{Store: st, Clock: wallClock{}, IDs: uuids{}})
	if err != nil {
		st.Close()
		return nil, nil, fmt.Errorf("open the desk: %w", err)
	}
	return d, st, nil
}
