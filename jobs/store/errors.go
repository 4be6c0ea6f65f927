package store

import (
	"context"
	"errors"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"gorm.io/gorm"
	sqlitedriver "modernc.org/sqlite"
	sqlitecode "modernc.org/sqlite/lib"

	"ebbline/jobs"
)

// rules gives the sentence for each constraint that a person can run into, by
// Postgres' name for it. SQLite tells columns instead of names; a default name
// (table_column_key) is built from those. A trigger on SQLite raises the name
// of the constraint that it stands for.
var rules = map[string]jobs.Error{
	"users_email_key_key": {Text: "Somebody signs in with this address already",
		Fields: []jobs.FieldError{{Field: "email", Want: "an address of one's own"}}},
	"parts_branch_id_code_key": {Text: "There is a part with this code already",
		Fields: []jobs.FieldError{{Field: "code", Want: "a code of its own"}}},
	"stops_one_place":            {Text: "A crew cannot be in two places at once"},
	"homes_branch_id_name_key":   nameTaken("home"),
	"crews_branch_id_name_key":   nameTaken("crew"),
	"pumps_branch_id_name_key":   nameTaken("pump"),
	"plans_branch_id_number_key": {Text: "Somebody handed out since; plan again from what holds now"},
	"notices_thing_revision_key": {Text: "Somebody told the same reader something since; try again"},
}

func nameTaken(noun string) jobs.Error {
	return jobs.Error{Text: "There is a " + noun + " of this name already", Fields: []jobs.FieldError{{Field: "name", Want: "a name of its own"}}}
}

// refusal turns what a database says into what a person can use. Errors of ours
// pass as they are.
func refusal(err error) error {
	var ours *jobs.Error
	if err == nil || errors.As(err, &ours) {
		return err
	}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return jobs.Wrap(jobs.CodeUnavailable, err, "It took too long and was given up; try again")
	}
	switch kind, name := reason(err); kind {
	case brokeUnique, brokeRule:
		rule, ok := rules[name]
		if !ok {
			rule.Text = "This is there already"
		}
		rule.Code, rule.Cause = jobs.CodeConflict, err
		return &rule
	case brokeReference:
		return jobs.Wrap(jobs.CodeConflict, err, "Something this refers to is not there, or something refers to this")
	case busy:
		return jobs.Wrap(jobs.CodeUnavailable, err, "The database is busy; try again")
	}
	return err
}

type kind int

const (
	other kind = iota
	brokeUnique
	brokeReference
	brokeRule // an exclusion constraint, a check, or a trigger in its place
	busy
)

// reason sorts a driver's error and names the constraint where there is one.
func reason(err error) (kind, string) {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		switch pg.Code {
		case "23505":
			return brokeUnique, pg.ConstraintName
		case "23503":
			return brokeReference, pg.ConstraintName
		case "23P01", "23514":
			return brokeRule, pg.ConstraintName
		case "40001", "40P01", "55P03", "57014", "57P01", "57P03", "53300":
			return busy, ""
		}
		return other, ""
	}
	var lite *sqlitedriver.Error
	if errors.As(err, &lite) {
		switch code := lite.Code(); {
		case code == sqlitecode.SQLITE_CONSTRAINT_UNIQUE, code == sqlitecode.SQLITE_CONSTRAINT_PRIMARYKEY:
			return brokeUnique, keyName(lite.Error())
		case code == sqlitecode.SQLITE_CONSTRAINT_FOREIGNKEY:
			return brokeReference, ""
		case code == sqlitecode.SQLITE_CONSTRAINT_TRIGGER:
			for name := range rules {
				if strings.Contains(lite.Error(), name) {
					return brokeRule, name
				}
			}
			return brokeRule, ""
		case code&0xff == sqlitecode.SQLITE_BUSY, code&0xff == sqlitecode.SQLITE_LOCKED, code&0xff == sqlitecode.SQLITE_FULL:
			return busy, ""
		}
	}
	return other, ""
}

// keyName makes Postgres' default name from SQLite's message, such as
// "constraint failed: UNIQUE constraint failed: users.email_key (2067)".
func keyName(message string) string {
	_, columns, ok := strings.Cut(message, "UNIQUE constraint failed: ")
	if !ok {
		return ""
	}
	columns, _, _ = strings.Cut(columns, " (")
	name := ""
	for i, column := range strings.Split(columns, ", ") {
		table, col, _ := strings.Cut(column, ".")
		if i == 0 {
			name = table
		}
		name += "_" + col
	}
	return name + "_key"
}

// brokenOff says whether the database ended a transaction for another's sake,
// so that running it again may work.
func brokenOff(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && (pg.Code == "40001" || pg.Code == "40P01")
}

// notFound gives the sentence for a row that is not there.
func notFound(err error, noun string) error {
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return jobs.Errorf(jobs.CodeNotFound, "There is no such %s", noun)
	}
	return err
}
