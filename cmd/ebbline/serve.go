package main

import (
	"errors"
	"fmt"

	"ebbline/web"
)

// serveCommand answers people: pages and API.
type serveCommand struct {
	WithWorker bool `help:"Also send notices and plan in the background in this process. Without Redis that is always so."`
}

func (cmd *serveCommand) Run(a *app) error {
	c, err := a.readConfig()
	if err != nil {
		return err
	}
	o, err := a.openOffice(c, false, cmd.WithWorker || c.Redis == "")
	if err != nil {
		return err
	}
	o.announce(a)
	return errors.Join(o.serve(a.ctx), o.close())
}

// announce says where the pages are, for people and for programs that start us
// on any free port.
func (o *office) announce(a *app) {
	if !web.Built() {
		fmt.Fprintln(a.errs, "The pages were not built into this program: `make build` does that. The API works.")
	}
	o.log.Info("serving", "address", o.url, "messages", o.config.messages())
	fmt.Fprintf(a.out, "Ebbline serves %s\n", o.url)
}
