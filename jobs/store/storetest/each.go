// Package storetest gives each test a fresh, migrated database on SQLite and
// on Postgres.
package storetest

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib"

	"ebbline/jobs/store"
	"ebbline/migrations"
)

// Env names the variable with a Postgres superuser's address; without it the
// Postgres half of a test is skipped.
const Env = "EBBLINE_TEST_POSTGRES"

// EnvOnly names the variable that keeps tests to one database: "sqlite" or
// "postgres". Without it they run on both. The race job sets it.
const EnvOnly = "EBBLINE_TEST_DATABASES"

func skipUnless(t testing.TB, database string) {
	t.Helper()
	if only := os.Getenv(EnvOnly); only != "" && only != database {
		t.Skip(EnvOnly + " is " + only)
	}
}

// Each runs the test twice, as subtests sqlite and postgres.
func Each(t *testing.T, test func(t *testing.T, st *store.Store)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) { test(t, SQLite(t)) })
	t.Run("postgres", func(t *testing.T) { test(t, Postgres(t)) })
}

// SQLite is a fresh database in a file of its own.
func SQLite(t testing.TB) *store.Store {
	t.Helper()
	skipUnless(t, store.SQLite)
	skipUnless(t, store.SQLite)
	template, err := sqliteTemplate()
	if err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(t.TempDir(), "test.db")
	if err := os.WriteFile(own, template, 0o600); err != nil {
		t.Fatal(err)
	}
	return open(t, "sqlite:"+own)
}

// sqliteTemplate migrates one file per test process; copies of its bytes are
// faster than migrating each.
var sqliteTemplate = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "ebbline-test")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "template.db")
	st, err := store.Open(context.Background(), "sqlite:"+path)
	if err != nil {
		return nil, err
	}
	if _, err := st.Migrate(context.Background()); err != nil {
		return nil, err
	}
	if err := st.Close(); err != nil { // writes the log back into the file
		return nil, err
	}
	return os.ReadFile(path)
})

// Postgres is a fresh database on the server that Env names.
func Postgres(t testing.TB) *store.Store {
	t.Helper()
	admin := server(t)
	template, err := postgresTemplate()
	if err != nil {
		t.Fatal(err)
	}
	return open(t, create(t, admin, template))
}

// Empty is the address of a fresh Postgres database without a schema.
func Empty(t testing.TB) string {
	t.Helper()
	return create(t, server(t), "template0")
}

func server(t testing.TB) string {
	t.Helper()
	skipUnless(t, store.Postgres)
	admin := os.Getenv(Env)
	if admin == "" {
		t.Skip("set " + Env + " to test on Postgres")
	}
	return admin
}

func create(t testing.TB, admin, template string) string {
	t.Helper()
	name := fmt.Sprintf("ebb_t_%d_%d", os.Getpid(), counter.Add(1))
	if err := run(admin, `CREATE DATABASE `+name+` TEMPLATE `+template); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := run(admin, `DROP DATABASE `+name+` WITH (FORCE)`); err != nil {
			t.Log(err)
		}
	})
	return addressOf(admin, name)
}

var counter atomic.Int64

// postgresTemplate is named after the migrations' content, so that test
// processes share it and none gets an old one. A lock on the server keeps two
// of them from making it at once.
var postgresTemplate = sync.OnceValues(func() (string, error) {
	admin := os.Getenv(Env)
	name := "ebb_template_" + contentHash()
	db, err := sql.Open("pgx", admin)
	if err != nil {
		return "", err
	}
	defer db.Close()
	ctx := context.Background()
	conn, err := db.Conn(ctx)
	if err != nil {
		return "", err
	}
	defer conn.Close()
	// The lock ends with the session, so with this pool.
	if _, err := conn.ExecContext(ctx, `SELECT pg_advisory_lock(4660101)`); err != nil {
		return "", err
	}
	var there int
	if err := conn.QueryRowContext(ctx, `SELECT count(*) FROM pg_database WHERE datname = $1`, name).Scan(&there); err != nil {
		return "", err
	}
	if there == 1 {
		return name, nil
	}
	making := name + "_making"
	for _, q := range []string{`DROP DATABASE IF EXISTS ` + making + ` WITH (FORCE)`, `CREATE DATABASE ` + making} {
		if _, err := conn.ExecContext(ctx, q); err != nil {
			return "", err
		}
	}
	st, err := store.Open(ctx, addressOf(admin, making))
	if err != nil {
		return "", err
	}
	if _, err := st.Migrate(ctx); err != nil {
		st.Close()
		return "", err
	}
	st.Close()
	_, err = conn.ExecContext(ctx, `ALTER DATABASE `+making+` RENAME TO `+name)
	return name, err
})

func contentHash() string {
	h := sha256.New()
	files := migrations.Files(store.Postgres)
	names, _ := fs.Glob(files, "*.sql")
	for _, n := range names {
		b, _ := fs.ReadFile(files, n)
		h.Write(b)
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

func addressOf(admin, database string) string {
	u, err := url.Parse(admin)
	if err != nil {
		return admin
	}
	u.Path = "/" + database
	return u.String()
}

func run(admin, query string) error {
	db, err := sql.Open("pgx", admin)
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.Exec(query)
	return err
}

func open(t testing.TB, address string) *store.Store {
	t.Helper()
	st, err := store.Open(context.Background(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	if err := st.CheckSchema(context.Background()); err != nil {
		t.Fatal(err)
	}
	return st
}
