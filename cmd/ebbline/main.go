// Ebbline plans the ebb, each pool's water, and then the line, each crew's
// route: scheduling and crew dispatch for a contractor who converts fiber-optic
// pool lights to low-voltage LED lights.
//
// This package is the wiring. One file holds one command; config.go holds the
// table of settings; clock.go the real clock and the maker of ids. It is the
// only package that knows all the others.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	_ "time/tzdata" // zones work on machines without a zone database

	"github.com/alecthomas/kong"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	code := run(ctx, os.Args[1:], os.Environ(), os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// Exit codes.
const (
	exitDone     = 0
	exitCannot   = 1 // the work can't be done, and the reason was said
	exitWrongUse = 2 // the command line or a setting is wrong
)

// app is what every command is given.
type app struct {
	ctx     context.Context
	in      io.Reader
	out     io.Writer         // the answer
	errs    io.Writer         // progress and errors
	environ map[string]string // the process's variables
}

// commands is the command line.
type commands struct {
	Check    checkCommand    `cmd:"" help:"Check a plan against its week, by a program of its own: names each broken rule."`
	Demo     demoCommand     `cmd:"" help:"Fill a database with an invented company, plan its week, print it and serve it."`
	Estimate estimateCommand `cmd:"" help:"Estimate a conversion from its survey: water, cord, hours, materials, price."`
	Export   exportCommand   `cmd:"" help:"Take a branch's things out as CSV or XLSX, in the columns that import reads."`
	Import   importCommand   `cmd:"" help:"Take in a CSV or XLSX file: good rows are kept, bad ones named, nothing comes in twice."`
	Mend     mendCommand     `cmd:"" help:"Mend a plan after something has happened, and tell who must be told what."`
	Migrate  migrateCommand  `cmd:"" help:"Bring the database up to date."`
	Odds     oddsCommand     `cmd:"" help:"Say how sure a plan is: promises, pools, overtime, from weeks drawn at random."`
	Offer    offerCommand    `cmd:"" help:"Offer the cheapest arrival windows for a job that a plan leaves out."`
	Places   placesCommand   `cmd:"" help:"List every place for a visit of a plan, the cheapest first."`
	Plan     planCommand     `cmd:"" help:"Plan a week: the problem in, the plan out, progress on the standard error."`
	Roads    roadsCommand    `cmd:"" help:"Road files: driving times, addresses and a map without the network."`
	Serve    serveCommand    `cmd:"" help:"Answer people: pages and API."`
	Template templateCommand `cmd:"" help:"Write a file to fill in and import, as CSV or XLSX."`
	Try      tryCommand      `cmd:"" help:"Try one change of a plan: new times and cost by heads, or the limit that breaks."`
	User     userCommand     `cmd:"" help:"People who sign in."`
	Why      whyCommand      `cmd:"" help:"Say why a job is left out of a plan, and what would let it in."`
	Work     workCommand     `cmd:"" help:"Send notices and plan in the background, beside serve. Needs Postgres."`
}

// wrongUse is an error of the command line or a setting.
type wrongUse struct{ error }

func wrongUsef(format string, args ...any) error { return wrongUse{fmt.Errorf(format, args...)} }

// quit carries kong's exit code past its own printing of help.
type quit int

// run is the whole program, and answers its exit code.
func run(ctx context.Context, args, environ []string, in io.Reader, out, errs io.Writer) (code int) {
	defer func() {
		if stopped := recover(); stopped != nil {
			asked, ok := stopped.(quit)
			if !ok {
				panic(stopped)
			}
			code = int(asked)
		}
	}()
	a := &app{ctx: ctx, in: in, out: out, errs: errs, environ: variables(environ)}
	parser, err := kong.New(&commands{}, kong.Name("ebbline"),
		kong.Description("Plans the ebb, each pool's water, then the line, each crew's route."),
		kong.Writers(out, errs), kong.Exit(func(code int) { panic(quit(code)) }),
		kong.Bind(a), kong.Vars{"kinds": importKinds()})
	if err != nil {
		panic(err) // the struct above is wrong
	}
	chosen, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(errs, "ebbline: %v\nebbline --help lists the commands\n", err)
		return exitWrongUse
	}
	if err := chosen.Run(); err != nil {
		fmt.Fprintf(errs, "ebbline %s: %v\n", firstWord(chosen.Command()), err)
		var wrong wrongUse
		if errors.As(err, &wrong) {
			return exitWrongUse
		}
		return exitCannot
	}
	return exitDone
}

func firstWord(command string) string {
	word, _, _ := strings.Cut(command, " ")
	return word
}

func variables(environ []string) map[string]string {
	table := make(map[string]string, len(environ))
	for _, pair := range environ {
		if name, value, ok := strings.Cut(pair, "="); ok {
			table[name] = value
		}
	}
	return table
}
