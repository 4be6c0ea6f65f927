package server_test

import (
	"bufio"
	"context"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// Told to stop, the server ends a stream that would go on, and nobody waits for
// the run behind it.
func TestShutdownEndsStreams(t *testing.T) {
	w := alone(t, nil)
	office := w.As("dispatcher")
	outfit(w)
	first := w.Clock.Now().AddDate(0, 0, 1).Format(time.DateOnly)
	draft := office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": first, "days": 3}).Want(201).JSON()["id"].(string)
	run := office.Do("POST", "/drafts/"+draft+"/runs", obj{"rounds": 2, "strands": 1}).Want(201).JSON()["id"].(string)

	srv := w.Server.HTTP()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	go func() { served <- srv.Serve(listener) }()

	req := office.Request(http.MethodGet, "/plan-runs/"+run+"/events", nil)
	req.RequestURI, req.URL.Scheme, req.URL.Host = "", "http", listener.Addr().String()
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	lines := bufio.NewScanner(res.Body)
	if !lines.Scan() || !strings.HasPrefix(lines.Text(), "event: ") {
		t.Fatalf("no event: %q", lines.Text())
	}

	patience, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	if err := srv.Shutdown(patience); err != nil {
		t.Errorf("the stream kept the server: %v", err)
	}
	for lines.Scan() { // to its end
	}
	if err := <-served; err == nil || !strings.Contains(err.Error(), "closed") {
		t.Error(err)
	}
}
