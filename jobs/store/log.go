package store

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"gorm.io/gorm/logger"
)

// quiet logs what GORM tells, but not refusals: a constraint that does its work
// is an answer to a person and no fault of the program. Values of parameters
// never reach the log.
type quiet struct{ logger.Interface }

func newLogger() logger.Interface {
	return quiet{logger.NewSlogLogger(slog.Default(), logger.Config{
		LogLevel: logger.Warn, SlowThreshold: time.Second,
		IgnoreRecordNotFoundError: true, ParameterizedQueries: true,
	})}
}

// LogMode is asked by GORM to make a louder or quieter one.
func (q quiet) LogMode(level logger.LogLevel) logger.Interface {
	return quiet{q.Interface.LogMode(level)}
}

// Trace logs a statement that failed or was slow.
func (q quiet) Trace(ctx context.Context, begin time.Time, what func() (string, int64), err error) {
	if kind, _ := reason(err); kind != other || errors.Is(err, context.Canceled) {
		err = nil
	}
	q.Interface.Trace(ctx, begin, what, err)
}

// ParamsFilter takes the values out of a statement that is logged.
func (q quiet) ParamsFilter(_ context.Context, sql string, _ ...any) (string, []any) { return sql, nil }
