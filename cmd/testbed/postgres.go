package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
)

// startPostgres makes a new cluster and serves it. The superuser has a random
// password: with none, every user of this machine could act as the servers'
// user for as long as the tests run.
func startPostgres(p place, bin string, durable bool) (*server, error) {
	data, err := p.folder("pg")
	if err != nil {
		return nil, err
	}
	sockets, err := p.folder("pgsock")
	if err != nil {
		return nil, err
	}
	password := rand.Text()
	if err := initCluster(p, bin, data, password); err != nil {
		return nil, err
	}

	for try := 1; ; try++ {
		port, err := freePort()
		if err != nil {
			return nil, err
		}
		at := url.URL{
			Scheme: "postgres", User: url.UserPassword("postgres", password),
			Host: "127.0.0.1:" + strconv.Itoa(port), Path: "/postgres", RawQuery: "sslmode=disable",
		}
		// SIGINT is Postgres's fast shutdown, SIGQUIT its immediate one.
		s := &server{name: "postgres", address: at.String(), signals: []syscall.Signal{syscall.SIGINT, syscall.SIGQUIT}}
		args := []string{"-D", data, "-k", sockets, "-h", "127.0.0.1", "-p", strconv.Itoa(port), "-c", "max_connections=200"}
		if !durable {
			args = append(args, "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off")
		}
		if err := s.start(p, filepath.Join(bin, "postgres"), args...); err != nil {
			return nil, err
		}
		if err = s.await(func() error { return pingPostgres(s.address) }); err == nil {
			return s, nil
		}
		_ = s.stop() // the first error says more
		if try == 3 {
			return nil, err
		}
	}
}

func initCluster(p place, bin, data, password string) error {
	file := filepath.Join(p.dir, "pgpass")
	if err := os.WriteFile(file, []byte(password), 0o600); err != nil {
		return err
	}
	defer os.Remove(file)
	if p.as != nil {
		if err := os.Chown(file, int(p.as.Uid), int(p.as.Gid)); err != nil {
			return err
		}
	}
	initdb := exec.Command(filepath.Join(bin, "initdb"), "-D", data, "-U", "postgres", "-E", "UTF8",
		"--locale=C.UTF-8", "--auth=scram-sha-256", "--pwfile="+file, "--no-sync", "--no-instructions")
	initdb.Dir, initdb.Env = p.dir, serverEnv(p)
	initdb.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Credential: p.as, Pdeathsig: syscall.SIGTERM}
	if said, err := initdb.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, said)
	}
	return nil
}

func pingPostgres(address string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	return conn.Ping(ctx)
}
