// Package migrations holds the schema as plain SQL steps, shared by Postgres
// and SQLite, and applies them. Steps in postgres/ and sqlite/ exist in pairs
// where the two differ (the same number in both).
package migrations

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

//go:embed *.sql postgres sqlite
var files embed.FS

// Up applies what is missing and returns the schema's version. Several
// processes may call it at once on Postgres: one works, the others wait.
func Up(ctx context.Context, db *sql.DB, dialect string) (int64, error) {
	p, err := provider(db, dialect)
	if err != nil {
		return 0, err
	}
	if _, err := p.Up(ctx); err != nil {
		return 0, fmt.Errorf("bring the database up to date: %w", err)
	}
	have, _, err := p.GetVersions(ctx)
	return have, err
}

// Versions tells which step the database has seen and which is the last that
// this program knows. It changes nothing.
func Versions(ctx context.Context, db *sql.DB, dialect string) (have, want int64, err error) {
	p, err := provider(db, dialect)
	if err != nil {
		return 0, 0, err
	}
	for _, s := range p.ListSources() {
		want = max(want, s.Version)
	}
	row := db.QueryRowContext(ctx, `SELECT COALESCE(MAX(version_id), 0) FROM goose_db_version WHERE is_applied`)
	if err := row.Scan(&have); err != nil {
		if missing(err) {
			return 0, want, nil
		}
		return 0, want, err
	}
	return have, want, nil
}

// missing: the table of versions is not there, so nothing was ever applied.
func missing(err error) bool {
	text := err.Error()
	return strings.Contains(text, "no such table") || strings.Contains(text, "42P01")
}

func provider(db *sql.DB, dialect string) (*goose.Provider, error) {
	d, opts := goose.DialectSQLite3, []goose.ProviderOption{goose.WithDisableGlobalRegistry(true)}
	switch dialect {
	case "sqlite":
	case "postgres":
		locker, err := lock.NewPostgresSessionLocker()
		if err != nil {
			return nil, err
		}
		d, opts = goose.DialectPostgres, append(opts, goose.WithSessionLocker(locker))
	default:
		return nil, fmt.Errorf("no migrations for %q", dialect)
	}
	return goose.NewProvider(d, db, steps{dialect}, opts...)
}

// Files are the steps of a dialect ("sqlite", "postgres") as one folder.
func Files(dialect string) fs.FS { return steps{dialect} }

// steps is the shared folder and the dialect's own, seen as one.
type steps struct{ dialect string }

func (s steps) Open(name string) (fs.File, error) {
	f, err := files.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return files.Open(s.dialect + "/" + name)
	}
	return f, err
}

func (s steps) ReadDir(name string) ([]fs.DirEntry, error) {
	shared, err := files.ReadDir(name)
	if err != nil || name != "." {
		return shared, err
	}
	own, err := files.ReadDir(s.dialect)
	if err != nil {
		return nil, err
	}
	all := slices.DeleteFunc(append(shared, own...), func(e fs.DirEntry) bool { return e.IsDir() })
	slices.SortFunc(all, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return all, nil
}
