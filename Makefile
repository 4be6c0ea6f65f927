# Needs git, make, Go 1.26, Node 20.19 or newer with npm, and the network for the
# Go module proxy and npm. `make test` also needs gcc and, on Debian, root or sudo
# to install Postgres, Redis and Chromium; or set PG_BIN, REDIS_SERVER, CHROMIUM.

.DEFAULT_GOAL := help
.PHONY: help demo build test quick long bench lint format generate race browser

help:  ## this list
	@sed -n 's/^\([a-z]*\):.*##/make \1\t/p' $(MAKEFILE_LIST) | expand -t 15

demo: build  ## fill a fresh database with the invented demo company, plan its week, print and serve it
	bin/ebbline demo $(ARGS)

build:  ## bin/ebbline with the pages in it
	@.ci/steps.sh packages pages_build program

test:  ## everything that CI runs
	@.ci/steps.sh all

quick:  ## format, vet and the short tests: nothing to install
	@.ci/steps.sh quick

long:  ## the pure packages' random tests many times over, millions of moves: minutes
	@.ci/steps.sh long

bench:  ## the measuring programs, short form
	@.ci/steps.sh build
	bin/testbed -durable -- go run ./cmd/loadbench

lint:  ## vet and the pinned linter
	@.ci/steps.sh vet lint

format:  ## write every Go file in the standard form
	gofmt -w cmd server jobs dispatch estimate worker migrations web/*.go

generate:  ## make the generated files anew from the contract
	go generate ./...
	npm --prefix web run types

race:  ## the race detector's job alone
	@.ci/steps.sh build race

browser:  ## the browser tests alone
	@.ci/steps.sh build packages pages_build program browser
