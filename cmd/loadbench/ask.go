package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
)

// ask sends a request and answers the body; every status but 200 and 201 is an
// error.
func ask(ctx context.Context, client *http.Client, verb, url string, headers map[string]string, body []byte) ([]byte, error) {
	request, err := http.NewRequestWithContext(ctx, verb, url, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	if body != nil {
		request.Header.Set("Content-Type", "application/json")
	}
	for name, value := range headers {
		request.Header.Set(name, value)
	}
	answer, err := client.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return nil, err
	}
	if answer.StatusCode != http.StatusOK && answer.StatusCode != http.StatusCreated {
		return nil, fmt.Errorf("%s %s: %s: %.300s", verb, url, answer.Status, text)
	}
	return text, nil
}
