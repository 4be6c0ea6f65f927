package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// userCommand groups what can be done to the people who sign in.
type userCommand struct {
	Add userAddCommand `cmd:"" help:"Let a person sign in. The password is asked for, or read as one line."`
}

type userAddCommand struct {
	Email  string `required:"" help:"Address that the person signs in with."`
	Name   string `required:"" help:"Name that others see."`
	Role   string `required:"" enum:"owner,dispatcher,tech" help:"What the person may do: ${enum}."`
	Branch string `help:"Name of the branch. May be left out where there is only one."`
	Zone   string `help:"Opens the branch where there is none of that name: its time zone, such as America/Phoenix."`
}

func (cmd *userAddCommand) Run(a *app) error {
	d, st, err := a.openDesk()
	if err != nil {
		return err
	}
	defer st.Close()
	call := commandLine(d)
	branch, err := cmd.branch(a, d, call)
	if err != nil {
		return err
	}
	password, err := a.askPassword()
	if err != nil {
		return err
	}
	_, err = d.CreateUser(a.ctx, call, jobs.NewUser{
		BranchID: branch.ID, Email: cmd.Email, Name: cmd.Name, Role: jobs.Role(cmd.Role), Password: password,
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(a.out, "%s may sign in with %s as %s of %s.\n", cmd.Name, cmd.Email, cmd.Role, branch.Name)
	return nil
}

// branch finds the branch, or opens it where a zone is given.
func (cmd *userAddCommand) branch(a *app, d *desk.Desk, call desk.Call) (jobs.Branch, error) {
	branch, err := a.findBranch(d, cmd.Branch)
	var none noBranch
	if !errors.As(err, &none) {
		return branch, err
	}
	if cmd.Zone == "" {
		return jobs.Branch{}, fmt.Errorf("%w; with --zone, such as --zone America/Phoenix, it is opened", err)
	}
	out, err := d.CreateBranch(a.ctx, call, cmd.Branch, cmd.Zone)
	if err != nil {
		return jobs.Branch{}, err
	}
	return jobs.Branch{ID: out.NounID, Name: cmd.Branch}, nil
}

// askPassword reads a line, without showing it where a person types it. It is
// never an argument: those can be seen in the list of processes.
func (a *app) askPassword() (string, error) {
	if file, ok := a.in.(*os.File); ok && term.IsTerminal(int(file.Fd())) {
		fmt.Fprint(a.errs, "Password: ")
		typed, err := term.ReadPassword(int(file.Fd()))
		fmt.Fprintln(a.errs)
		return string(typed), err
	}
	line, err := bufio.NewReader(a.in).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	return strings.TrimRight(line, "\r\n"), nil
}
