package main

import "fmt"

// migrateCommand brings the schema up to date. Several at once do no harm: one
// works, the others wait.
type migrateCommand struct{}

func (*migrateCommand) Run(a *app) error {
	c, err := a.readConfig()
	if err != nil {
		return err
	}
	st, err := openStore(a.ctx, c)
	if err != nil {
		return err
	}
	defer st.Close()
	version, err := st.Migrate(a.ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(a.out, "The database stands at step %d.\n", version)
	return nil
}
