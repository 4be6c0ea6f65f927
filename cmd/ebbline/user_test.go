package main

import (
	"testing"

	"ebbline/jobs/store"
)

func inFolder(t *testing.T) []string {
	t.Helper()
	return []string{"EBBLINE_DATA=" + t.TempDir()}
}

func TestMigrateThenAddUsers(t *testing.T) {
	env := inFolder(t)
	add := func(in string, more ...string) ran {
		return ebbline(t, env, in, append([]string{"user", "add", "--name=Ada"}, more...)...)
	}
	add("long enough\n", "--email=a@example.com", "--role=owner").want(t, exitCannot, "run ebbline migrate")
	ebbline(t, env, "", "migrate").want(t, exitDone, "The database stands at step")
	ebbline(t, env, "", "migrate").want(t, exitDone, "The database stands at step")

	add("long enough\n", "--email=a@example.com", "--role=owner").want(t, exitWrongUse, "there are 0 branches")
	add("long enough\n", "--email=a@example.com", "--role=owner", "--branch=Yard").want(t, exitWrongUse, "--zone")
	add("long enough\n", "--email=a@example.com", "--role=owner", "--branch=Yard", "--zone=Mars/Dune").want(t, exitCannot, "zone", "Mars/Dune", "IANA")
	add("long enough\n", "--email=a@example.com", "--role=owner", "--branch=Yard", "--zone=America/Phoenix").want(t, exitDone, "Ada may sign in with a@example.com as owner of Yard")
	add("long enough\n", "--email=A@Example.com", "--role=tech").want(t, exitCannot, "address")
	add("short\n", "--email=b@example.com", "--role=tech").want(t, exitCannot, "password", "between 8 and 128")
	add("long enough", "--email=b@example.com", "--role=tech", "--branch=yard").want(t, exitDone, "as tech of Yard")
}

func TestOneProcessHoldsAnEmbeddedDatabase(t *testing.T) {
	env := inFolder(t)
	ebbline(t, env, "", "migrate").want(t, exitDone)
	c, err := configFrom(env...)
	if err != nil {
		t.Fatal(err)
	}
	st, err := store.Open(t.Context(), c.Database)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if err := st.Lock(); err != nil {
		t.Fatal(err)
	}
	ebbline(t, env, "", "migrate").want(t, exitCannot, "held by another ebbline process")
}
