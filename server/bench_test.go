package server_test

import (
	"io"
	"log/slog"
	"net/http/httptest"
	"testing"
	"time"

	"ebbline/dispatch/desk/desktest"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
	"ebbline/server"
	"ebbline/server/servertest"
)

// BenchmarkCustomer measures one request through everything, as it runs in
// service: the signed-in user is remembered, and each request is logged.
func BenchmarkCustomer(b *testing.B) {
	for name, open := range map[string]func(testing.TB) *store.Store{"sqlite": storetest.SQLite, "postgres": storetest.Postgres} {
		b.Run(name, func(b *testing.B) {
			w := servertest.New(b, desktest.New(b, open(b)), func(c *server.Config) {
				c.UserLife, c.Log = 10*time.Second, slog.New(slog.NewTextHandler(io.Discard, nil))
			})
			office := w.As("dispatcher")
			at := "/customers/" + office.Do("POST", "/customers", newCustomer(w, "A")).Want(201).JSON()["id"].(string)
			b.Run("show", func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					rec := httptest.NewRecorder()
					w.Server.ServeHTTP(rec, office.Request("GET", at, nil))
					if rec.Code != 200 {
						b.Fatal(rec.Code)
					}
				}
			})
			b.Run("create", func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					rec := httptest.NewRecorder()
					w.Server.ServeHTTP(rec, office.Request("POST", "/customers", newCustomer(w, "A")))
					if rec.Code != 201 {
						b.Fatal(rec.Code)
					}
				}
			})
		})
	}
}
