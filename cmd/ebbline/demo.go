package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs/store"
)

// demoCommand brings an invented company to life, prints its week and serves it.
type demoCommand struct {
	Once   bool   `help:"Print the week and end; nothing is served."`
	Day    bool   `help:"Tell a day on which much goes wrong, and how it is mended, and end."`
	JSON   bool   `name:"json" help:"Print {\"week\": ..., \"plan\": ...} instead of a table, each as check reads it."`
	Listen string `default:"127.0.0.1:8080" help:"Address to serve on. Port 0: any free port." placeholder:"ADDRESS"`
	Data   string `help:"Folder of the demo; one that is filled already is served as it is. Without it: a folder that ends with the program." placeholder:"FOLDER"`
	Seed   int64  `default:"1" help:"Seed of what is drawn at random. One seed, one number of rounds and one day make one week."`
	Rounds int64  `default:"60" help:"Rounds that each week is searched for."`
	// Morning leaves today's stops to be reported, whatever the hour: for tests of the pages.
	Morning bool `hidden:""`
	// Database is filled instead of an embedded one; loadbench measures on Postgres.
	Database string `hidden:""`
}

// demoMark is kept beside a database that was filled to its end.
type demoMark struct {
	Draft string `json:"draft"` // whose plan was handed out
	Seed  int64  `json:"seed"`
}

func (cmd *demoCommand) Run(a *app) (err error) {
	folder := cmd.Data
	if folder == "" {
		if folder, err = os.MkdirTemp("", "ebbline-demo-"); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	}
	c, err := cmd.config(a, folder)
	if err != nil {
		return err
	}
	mark, filled, err := readMark(c)
	if err != nil {
		return err
	}
	if err := raiseDemoTown(a, c); err != nil {
		return fmt.Errorf("raising the demo's town: %w", err)
	}
	if cmd.Day {
		if filled || cmd.JSON {
			return wrongUsef("--day tells a day of a fresh company: without --json, and without --data or with a folder that is not filled")
		}
		return cmd.tellDay(a, c)
	}
	if cmd.Once {
		st, err := openStore(a.ctx, c)
		if err != nil {
			return err
		}
		defer func() { _ = st.Close() }() // only read or filled: closing loses nothing
		if _, err := st.Migrate(a.ctx); err != nil {
			return err
		}
		_, err = cmd.show(a, c, st, "http://"+c.Listen, mark, filled)
		return err
	}
	o, err := a.openOffice(c, true, true)
	if err != nil {
		return err
	}
	w, err := cmd.show(a, c, o.store, o.url, mark, filled)
	if err != nil {
		return errors.Join(err, o.close())
	}
	o.announce(a)
	cmd.signIns(a, folder)
	fmt.Fprint(a.out, dayHint(w, wallClock{}.Now()))
	return errors.Join(o.serve(a.ctx), o.close())
}

// config is the demo's own: an embedded database in its folder and messages as
// files, whatever else is set for the real program.
func (cmd *demoCommand) config(a *app, folder string) (config, error) {
	mine := *a
	mine.environ = maps.Clone(a.environ)
	for name := range mine.environ {
		switch {
		case !strings.HasPrefix(name, "EBBLINE_"), strings.HasPrefix(name, "EBBLINE_LOG_"), name == "EBBLINE_PUBLIC_URL", name == "EBBLINE_METRICS_LISTEN":
		default:
			delete(mine.environ, name)
		}
	}
	mine.environ["EBBLINE_DATA"], mine.environ["EBBLINE_LISTEN"] = folder, cmd.Listen
	if cmd.Database != "" {
		mine.environ["EBBLINE_DATABASE"] = cmd.Database
	}
	return mine.readConfig()
}

func markFile(c config) string { return filepath.Join(c.Data, "demo.json") }

// readMark says whether the folder holds a filled demo, and refuses one that
// holds anything else.
func readMark(c config) (mark demoMark, filled bool, err error) {
	text, err := os.ReadFile(markFile(c))
	if err == nil {
		return mark, true, json.Unmarshal(text, &mark)
	}
	if !errors.Is(err, os.ErrNotExist) {
		return mark, false, err
	}
	if _, err := os.Stat(strings.TrimPrefix(c.Database, "sqlite:")); err == nil {
		return mark, false, fmt.Errorf("--data=%s: it holds a database that is no finished demo: name another folder, or remove this one", c.Data)
	}
	return mark, false, nil
}

// show fills the database if that is still to be done, and prints the week.
func (cmd *demoCommand) show(a *app, c config, st *store.Store, url string, mark demoMark, filled bool) (*week.Week, error) {
	if !filled {
		begun := time.Now()
		say := func(format string, args ...any) { fmt.Fprintf(a.errs, format+"\n", args...) }
		roads, err := c.loadRoads()
		if err != nil {
			return nil, err
		}
		draft, err := fillDemo(a.ctx, st, demoAsk{now: wallClock{}.Now(), seed: cmd.Seed, rounds: cmd.Rounds, url: url, mail: c.mailFolder(), roads: roads, today: !cmd.Once && !cmd.Morning, say: say})
		if err != nil {
			return nil, fmt.Errorf("filling the demo: %w", err)
		}
		say("filled in %.1f s", time.Since(begun).Seconds())
		mark = demoMark{Draft: draft, Seed: cmd.Seed}
		text, err := json.Marshal(mark)
		if err != nil {
			return nil, err
		}
		if err := os.WriteFile(markFile(c), text, 0o600); err != nil {
			return nil, err
		}
	}
	d, err := newDesk(c, desk.Config{Store: st})
	if err != nil {
		return nil, err
	}
	return cmd.print(a.ctx, a, d, mark.Draft)
}

// demoWeek is what --json prints.
type demoWeek struct {
	Week json.RawMessage `json:"week"`
	Plan json.RawMessage `json:"plan"`
}

func (cmd *demoCommand) print(ctx context.Context, a *app, d *desk.Desk, draftID string) (*week.Week, error) {
	w, p, err := readDraft(ctx, d, draftID)
	if err != nil {
		return nil, err
	}
	if cmd.JSON {
		file, err := d.DraftFile(ctx, draftID)
		if err != nil {
			return nil, err
		}
		return w, writeJSON(a.out, demoWeek{file.Week, file.Plan})
	}
	if err := printPlan(a.out, w, p); err != nil {
		return nil, err
	}
	return w, cmd.printBeside(ctx, a, d)
}

// signIns are told at the end, where they are not scrolled away.
func (cmd *demoCommand) signIns(a *app, folder string) {
	fmt.Fprintf(a.out, "\nThis company is invented. Sign in, for this demo only, with the password %q as\n", demoPassword)
	for _, u := range demoPeople {
		fmt.Fprintf(a.out, "  %-22s %-10s %s\n", u.email, u.role, u.name)
	}
	fmt.Fprintf(a.out, "Messages to customers and crews are files in %s.\n", filepath.Join(folder, "mail"))
	if cmd.Data == "" {
		fmt.Fprintln(a.out, "All of it is forgotten when the program ends; --data=FOLDER keeps it.")
	}
}
