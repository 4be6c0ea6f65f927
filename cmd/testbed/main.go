// Testbed starts a private Postgres and a private Redis, runs a command beside
// them, and stops both when the command has ended, however it ended.
//
//	go run ./cmd/testbed -- go test ./...
//
// The command finds them by three variables:
//
//	EBBLINE_TEST_POSTGRES   URL of a superuser of the Postgres server
//	EBBLINE_TEST_REDIS      host:port of the Redis server
//	EBBLINE_TEST_CHROMIUM   path of a Chromium, for the browser tests
//
// Everything lives in one new temporary folder, on free ports of 127.0.0.1, and
// is stopped by process id. As root, both servers run as the system user
// postgres, because Postgres refuses to run as root.
//
// PG_BIN (a folder), REDIS_SERVER and CHROMIUM (files) say where the programs
// are when they are not where Debian puts them.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"syscall"
)

// The main goroutine keeps the main thread: Linux ties the "parent has died"
// signal to the thread that started a child, and only the main thread is sure
// to live as long as the process.
func init() { runtime.LockOSThread() }

func main() {
	signals := make(chan os.Signal, 4)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	os.Exit(run(os.Args[1:], signals, os.Stderr))
}

// options are the flags of the command line.
type options struct {
	durable bool     // servers write through to the disk, as in production
	install bool     // missing programs are installed as Debian packages
	keep    bool     // the temporary folder is left for a look
	command []string // what to run; empty only with install
}

func parse(args []string, out io.Writer) (options, error) {
	var o options
	flags := flag.NewFlagSet("testbed", flag.ContinueOnError)
	flags.SetOutput(out)
	flags.BoolVar(&o.durable, "durable", false, "fsync on, as fault tests need it (default: off, which is faster)")
	flags.BoolVar(&o.install, "install", false, "install the Debian packages that are missing, as root or by sudo")
	flags.BoolVar(&o.keep, "keep", false, "leave the temporary folder with data and logs")
	flags.Usage = func() {
		fmt.Fprintln(out, "usage: testbed [-durable] [-install] [-keep] [--] command [argument ...]")
		flags.PrintDefaults()
	}
	if err := flags.Parse(args); err != nil {
		return o, err
	}
	o.command = flags.Args()
	if len(o.command) == 0 && !o.install {
		flags.Usage()
		return o, errors.New("no command given")
	}
	return o, nil
}

// run is the whole program; it answers the exit code: the command's own, 128
// plus the number of the signal that ended it, 1 when the servers failed, 2 for
// a wrong command line.
func run(args []string, signals <-chan os.Signal, out io.Writer) int {
	o, err := parse(args, out)
	if errors.Is(err, flag.ErrHelp) {
		return 0
	}
	if err != nil {
		fmt.Fprintln(out, "testbed:", err)
		return 2
	}
	if o.install {
		if err := debian().install(out); err != nil {
			fmt.Fprintln(out, "testbed:", err)
			return 1
		}
		debian().installWitnesses(out, func(program string) bool { return firstInPath(program) != "" })
		if len(o.command) == 0 {
			return 0
		}
	}
	code, err := runBeside(o, signals, out)
	if err != nil {
		fmt.Fprintln(out, "testbed:", err)
		if code == 0 {
			code = 1
		}
	}
	return code
}

// runBeside starts the servers, runs the command and stops the servers.
func runBeside(o options, signals <-chan os.Signal, out io.Writer) (code int, err error) {
	found := findPrograms()
	if err := found.complete(); err != nil {
		return 1, err
	}
	place, err := newPlace()
	if err != nil {
		return 1, err
	}
	if o.keep {
		fmt.Fprintln(out, "testbed: data and logs stay in", place.dir)
	} else {
		defer os.RemoveAll(place.dir)
	}

	pg, err := startPostgres(place, found.pgBin, o.durable)
	if err != nil {
		return 1, err
	}
	defer func() { err = errors.Join(err, pg.stop()) }()
	redis, err := startRedis(place, found.redis, o.durable)
	if err != nil {
		return 1, err
	}
	defer func() { err = errors.Join(err, redis.stop()) }()

	env := append(os.Environ(), "EBBLINE_TEST_POSTGRES="+pg.address, "EBBLINE_TEST_REDIS="+redis.address)
	if found.chromium != "" {
		env = append(env, "EBBLINE_TEST_CHROMIUM="+found.chromium)
	} else {
		fmt.Fprintln(out, "testbed: no chromium found, the browser tests will be skipped (set CHROMIUM, or use -install)")
	}
	return runCommand(o.command, env, signals, pg, redis)
}
