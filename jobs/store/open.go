// Package store keeps the nouns in SQL, on SQLite or Postgres. It is the only
// home of GORM. One file per noun holds its private row structs and the
// methods of Tx that read and write it:
//
//	err := st.InTx(ctx, func(tx *store.Tx) error {
//		c, err := tx.Customer(id)
//		...
//		return tx.UpdateCustomer(c)
//	})
//
// Refusals come back as *jobs.Error, also those that a database tells only at
// COMMIT. No function solves, hashes or sends inside InTx.
package store

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"strings"
	"time"

	"github.com/libtnb/sqlite"
	"gorm.io/driver/postgres"
	"gorm.io/gorm"

	_ "github.com/jackc/pgx/v5/stdlib" // registers the driver "pgx"

	"ebbline/migrations"
)

// The two dialects, as Store.Dialect tells them.
const (
	SQLite   = "sqlite"
	Postgres = "postgres"
)

// Store is one company's database.
type Store struct {
	dialect string
	write   *gorm.DB
	read    *gorm.DB // on Postgres the same as write
	pools   []*sql.DB
	path    string // SQLite's file
	unlock  func()
}

// Open connects to "sqlite:PATH" or "postgres://...". A missing SQLite file is
// made (0600). It does not migrate: see Migrate and CheckSchema.
func Open(ctx context.Context, address string) (*Store, error) {
	switch {
	case strings.HasPrefix(address, "sqlite:"):
		return openSQLite(ctx, strings.TrimPrefix(address, "sqlite:"))
	case strings.HasPrefix(address, "postgres://"), strings.HasPrefix(address, "postgresql://"):
		return openPostgres(ctx, address)
	}
	scheme, _, _ := strings.Cut(address, ":")
	return nil, fmt.Errorf("database %q...: an address starts with sqlite: or postgres://", scheme)
}

func openSQLite(ctx context.Context, path string) (*Store, error) {
	if path == "" || strings.ContainsAny(path, "?#") {
		return nil, fmt.Errorf("database file %q: a path without ? and #", path)
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("database file: %w", err)
	}
	f.Close()
	dsn := func(more url.Values) string {
		q := url.Values{"_pragma": {
			"busy_timeout(5000)", "journal_mode(WAL)", "foreign_keys(1)", "synchronous(FULL)"}}
		for k, v := range more {
			q[k] = append(q[k], v...)
		}
		return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + q.Encode()
	}
	// One connection writes, so writers queue here and not on the file's lock;
	// readers see their snapshot beside it.
	write, err := sql.Open("sqlite", dsn(url.Values{"_txlock": {"immediate"}}))
	if err != nil {
		return nil, err
	}
	write.SetMaxOpenConns(1)
	if err := write.PingContext(ctx); err != nil { // makes the file a WAL one before readers come
		write.Close()
		return nil, fmt.Errorf("database file %s: %w", path, err)
	}
	read, err := sql.Open("sqlite", dsn(url.Values{"_txlock": {"deferred"}, "_pragma": {"query_only(1)"}}))
	if err != nil {
		write.Close()
		return nil, err
	}
	read.SetMaxOpenConns(8)
	s := &Store{dialect: SQLite, pools: []*sql.DB{write, read}, path: path}
	if s.write, err = gorm.Open(sqlite.New(sqlite.Config{Conn: write}), config()); err == nil {
		s.read, err = gorm.Open(sqlite.New(sqlite.Config{Conn: read}), config())
	}
	if err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

func openPostgres(ctx context.Context, address string) (*Store, error) {
	pool, err := sql.Open("pgx", address)
	if err != nil {
		return nil, err
	}
	pool.SetMaxOpenConns(20)
	pool.SetMaxIdleConns(20)
	pool.SetConnMaxIdleTime(5 * time.Minute)
	s := &Store{dialect: Postgres, pools: []*sql.DB{pool}}
	if err := pool.PingContext(ctx); err != nil {
		s.Close()
		return nil, fmt.Errorf("reach Postgres: %w", err)
	}
	if s.write, err = gorm.Open(postgres.New(postgres.Config{Conn: pool}), config()); err != nil {
		s.Close()
		return nil, err
	}
	s.read = s.write
	return s, nil
}

// config leaves TranslateError off: it would hide which constraint refused,
// and errors.go translates with the constraint's name.
func config() *gorm.Config {
	return &gorm.Config{
		SkipDefaultTransaction: true,
		DisableAutomaticPing:   true,
		NowFunc:                func() time.Time { return time.Time{} }, // times come from the desk
		Logger:                 newLogger(),
	}
}

// Dialect is SQLite or Postgres.
func (s *Store) Dialect() string { return s.dialect }

// Close ends all connections and gives up the file's lock.
func (s *Store) Close() error {
	var first error
	for _, p := range s.pools {
		if err := p.Close(); err != nil && first == nil {
			first = err
		}
	}
	if s.unlock != nil {
		s.unlock()
	}
	return first
}

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error {
	for _, p := range s.pools {
		if err := p.PingContext(ctx); err != nil {
			return err
		}
	}
	return nil
}

// Migrate brings the schema up to date and returns its version.
func (s *Store) Migrate(ctx context.Context) (int64, error) {
	return migrations.Up(ctx, s.pools[0], s.dialect)
}

// CheckSchema refuses a schema that is older than this program; a newer one
// passes, because steps only add.
func (s *Store) CheckSchema(ctx context.Context) error {
	have, want, err := migrations.Versions(ctx, s.pools[0], s.dialect)
	if err != nil {
		return err
	}
	if have < want {
		return fmt.Errorf("the database stands at step %d and this program needs %d: run ebbline migrate", have, want)
	}
	return nil
}

// Path is SQLite's file; empty on Postgres.
func (s *Store) Path() string { return s.path }
