package main

import (
	"errors"
	"fmt"
	"net"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// place is the temporary folder of one run and the user the servers run as.
type place struct {
	dir string
	as  *syscall.Credential // nil: the user who started testbed
}

// newPlace makes the folder. As root it also picks the user that the servers
// run as: postgres where there is one, else nobody.
func newPlace() (place, error) {
	base := os.TempDir()
	if len(base) > 60 {
		base = "/tmp" // a unix socket's path may have about 100 characters in all
	}
	dir, err := os.MkdirTemp(base, "testbed-")
	if err != nil {
		return place{}, err
	}
	p := place{dir: dir}
	if os.Geteuid() != 0 {
		return p, nil
	}
	if p.as, err = unprivileged(); err == nil {
		err = os.Chown(dir, int(p.as.Uid), int(p.as.Gid))
	}
	if err != nil {
		os.RemoveAll(dir)
	}
	return p, err
}

func unprivileged() (*syscall.Credential, error) {
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, errU := strconv.ParseUint(u.Uid, 10, 32)
		gid, errG := strconv.ParseUint(u.Gid, 10, 32)
		if errU == nil && errG == nil {
			return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, nil
		}
	}
	return nil, errors.New("root may not run Postgres, and neither user postgres nor nobody exists")
}

// folder makes a folder that only the servers' user may enter.
func (p place) folder(name string) (string, error) {
	path := filepath.Join(p.dir, name)
	if err := os.Mkdir(path, 0o700); err != nil {
		return "", err
	}
	if p.as != nil {
		return path, os.Chown(path, int(p.as.Uid), int(p.as.Gid))
	}
	return path, nil
}

// freePort answers a TCP port of 127.0.0.1 that nobody listens on now. Somebody
// may take it before the server does; starting is then tried again.
func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, fmt.Errorf("looking for a free port: %w", err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port, nil
}
