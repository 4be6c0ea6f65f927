package worker

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
)

// Folder keeps each mail as an .eml file: where no mail server is set, people
// see what would have been sent.
type Folder struct{ Path string }

// Send writes the file whole or not at all; the same attempt overwrites it.
func (f Folder) Send(_ context.Context, m Message, commit func() error) (string, error) {
	text, err := compose(m)
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(f.Path, 0o700); err != nil {
		return "", err
	}
	if err := commit(); err != nil {
		return "", err
	}
	path := filepath.Join(f.Path, fmt.Sprintf("%s.eml", m.ID))
	half, err := os.CreateTemp(f.Path, ".half-*")
	if err != nil {
		return "", err
	}
	defer os.Remove(half.Name())
	if _, err := half.Write(text); err != nil {
		half.Close()
		return "", err
	}
	if err := half.Close(); err != nil {
		return "", err
	}
	return path, os.Rename(half.Name(), path)
}
