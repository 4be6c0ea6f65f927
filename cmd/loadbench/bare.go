package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5/pgxpool"
)

// bareServer answers the same questions as the program, with hand-written SQL
// on the same tables. It is what the program is measured against.
type bareServer struct{ pool *pgxpool.Pool }

// serveBare serves until ctx is done, and says where on out.
func serveBare(ctx context.Context, database string, out io.Writer) error {
	settings, err := pgxpool.ParseConfig(database)
	if err != nil {
		return err
	}
	settings.MaxConns = 20 // as the program has it
	pool, err := pgxpool.NewWithConfig(ctx, settings)
	if err != nil {
		return err
	}
	defer pool.Close()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	b := &bareServer{pool}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /jobs/{id}", b.job)
	mux.HandleFunc("GET /weeks/{first}", b.week)
	mux.HandleFunc("POST /customers", b.addCustomer)
	s := &http.Server{Handler: mux, ReadHeaderTimeout: 5 * time.Second}
	context.AfterFunc(ctx, func() { _ = s.Close() })
	fmt.Fprintf(out, "bare http://%s\n", l.Addr())
	if err := s.Serve(l); err != http.ErrServerClosed { //nolint:errorlint // Serve answers it bare
		return err
	}
	return nil
}

// addCustomer writes the same four rows as the program, in one transaction:
// customer, contact, audit, and the outcome kept under the key.
func (b *bareServer) addCustomer(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Branch   string `json:"branch_id"`
		Name     string
		Contacts []struct {
			Role, Name, Email string
			MayDecide         bool `json:"may_decide"`
		}
	}
	if err := json.NewDecoder(r.Body).Decode(&in); err != nil || len(in.Contacts) != 1 {
		http.Error(w, "want a customer with one contact", http.StatusBadRequest)
		return
	}
	id, now := uuid.Must(uuid.NewV7()).String(), time.Now().Unix()
	if err := b.insert(r.Context(), id, in.Branch, in.Name, in.Contacts[0].Role, in.Contacts[0].Name, in.Contacts[0].Email, in.Contacts[0].MayDecide, r.Header.Get("Idempotency-Key"), now); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	answerJSON(w, http.StatusCreated, map[string]any{"id": id, "branch_id": in.Branch, "name": in.Name, "contacts": in.Contacts, "version": 1})
}

func (b *bareServer) insert(ctx context.Context, id, branch, name, role, person, email string, mayDecide bool, key string, now int64) error {
	tx, err := b.pool.Begin(ctx)
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback(ctx) }() // no effect after the commit
	for _, row := range []struct {
		statement string
		values    []any
	}{
		{`INSERT INTO customers (id, branch_id, name, name_key, note, version, created_at, updated_at) VALUES ($1,$2,$3,$4,'',1,$5,$5)`,
			[]any{id, branch, name, strings.ToLower(name), now}},
		{`INSERT INTO contacts (id, customer_id, role, name, email, email_key, phone, phone_text, language, channel, may_decide, version, created_at, updated_at)
			VALUES ($1,$2,$3,$4,$5,$6,'','','en','email',$7,1,$8,$8)`,
			[]any{uuid.Must(uuid.NewV7()).String(), id, role, person, email, strings.ToLower(email), mayDecide, now}},
		{`INSERT INTO audit (id, at, role, actor_name, act, noun, noun_id, version, branch_id, note) VALUES ($1,$2,'owner','Bench','createCustomer','customer',$3,1,$4,'')`,
			[]any{uuid.Must(uuid.NewV7()).String(), now, id, branch}},
		{`INSERT INTO outcomes (actor, act, key, fingerprint, noun, noun_id, version, note, made_at) VALUES ('bare','createCustomer',$1,'','customer',$2,1,'',$3)`,
			[]any{key, id, now}},
	} {
		if _, err := tx.Exec(ctx, row.statement, row.values...); err != nil {
			return err
		}
	}
	return tx.Commit(ctx)
}

func answerJSON(w http.ResponseWriter, status int, value any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(value) // the caller notices a cut answer
}
