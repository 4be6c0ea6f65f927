package main

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"

	"github.com/jackc/pgx/v5"
)

// freshDatabase makes an empty database beside the one of admin, and answers
// its address. An old one of that name is dropped: a run that was cut off has
// left it.
func freshDatabase(ctx context.Context, admin, name string) (string, error) {
	if admin == "" {
		return "", errors.New("EBBLINE_TEST_POSTGRES is not set: go run ./cmd/testbed -durable -- go run ./cmd/loadbench")
	}
	at, err := url.Parse(admin)
	if err != nil {
		return "", errors.New("EBBLINE_TEST_POSTGRES is not an address") // it holds a password
	}
	conn, err := pgx.Connect(ctx, admin)
	if err != nil {
		return "", err
	}
	defer conn.Close(ctx)
	name = fmt.Sprintf("%s_%d", name, os.Getpid())
	for _, statement := range []string{"DROP DATABASE IF EXISTS " + name + " WITH (FORCE)", "CREATE DATABASE " + name} {
		if _, err := conn.Exec(ctx, statement); err != nil {
			return "", err
		}
	}
	at.Path = "/" + name
	return at.String(), nil
}

func stringReader(s string) *strings.Reader { return strings.NewReader(s) }
