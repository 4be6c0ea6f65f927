package main

import (
	"fmt"
	"io"
	"log/slog"
)

// logger makes the program's log, which goes to out.
func (c config) logger(out io.Writer) (*slog.Logger, error) {
	var level slog.Level
	if err := level.UnmarshalText([]byte(c.LogLevel)); err != nil {
		return nil, fmt.Errorf("EBBLINE_LOG_LEVEL=%s: want debug, info, warn or error", c.LogLevel)
	}
	options := &slog.HandlerOptions{Level: level}
	switch c.LogFormat {
	case "text":
		return slog.New(slog.NewTextHandler(out, options)), nil
	case "json":
		return slog.New(slog.NewJSONHandler(out, options)), nil
	default:
		return nil, fmt.Errorf("EBBLINE_LOG_FORMAT=%s: want text or json", c.LogFormat)
	}
}
