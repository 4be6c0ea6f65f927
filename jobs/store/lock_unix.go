//go:build unix

package store

import (
	"fmt"
	"os"
	"syscall"
)

// Lock holds an SQLite file for this process alone until Close: one process
// serves and works. Postgres needs none, and gets none.
func (s *Store) Lock() error {
	if s.dialect != SQLite {
		return nil
	}
	f, err := os.OpenFile(s.path+".lock", os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		return fmt.Errorf("database file %s is held by another ebbline process", s.path)
	}
	s.unlock = func() { f.Close() }
	return nil
}
