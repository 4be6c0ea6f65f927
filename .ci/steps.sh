#!/usr/bin/env bash
# The steps behind the Makefile. Each step is a function; this file says in
# which order `make test` and `make quick` take them, runs them, and prints the
# seconds that each one took.
#
#   .ci/steps.sh all        everything that CI runs
#   .ci/steps.sh quick      what needs nothing but Go, under a minute once built
#   .ci/steps.sh lint vet   single steps
set -euo pipefail
cd "$(dirname "$0")/.."

lint_version=v2.15.0
pure=(./jobs ./estimate/... ./dispatch ./dispatch/week/... ./dispatch/check/... ./dispatch/search/... ./dispatch/odds/... ./dispatch/travel/...)
stored=(./jobs/store/... ./dispatch/desk/... ./server/... ./worker/...)

# --- the steps -------------------------------------------------------------

# build comes before any npm step: a clone without Node must compile.
build() {
  mkdir -p bin
  go build ./...
  go build -o bin/testbed ./cmd/testbed
}

# services installs Postgres, Redis and Chromium where they are missing.
services() { bin/testbed -install; }

# packages installs the front end's packages as the lock file has them.
packages() {
  local installed=web/node_modules/.package-lock.json
  if [[ ${CI:-} || ! -e $installed || web/package-lock.json -nt $installed ]]; then
    npm --prefix web ci --no-progress
  else
    echo "as installed"
  fi
}

pages_check() { npm --prefix web run --silent check; }
pages_test() { npm --prefix web test --silent; }
pages_build() { npm --prefix web run --silent build; }

# program builds the binary with the pages in it.
program() {
  mkdir -p bin
  go build -o bin/ebbline ./cmd/ebbline
}

format() {
  local wrong
  wrong=$(gofmt -l $(existing cmd server jobs dispatch estimate worker migrations web/*.go))
  [[ -z $wrong ]] || { echo "not formatted, run gofmt -w on:" "$wrong"; return 1; }
}

vet() { go vet ./...; }

lint() { go run "github.com/golangci/golangci-lint/v2/cmd/golangci-lint@$lint_version" run --allow-parallel-runners ./...; }

# generated makes every generated file anew and compares.
generated() {
  local before after
  before=$(sums)
  go generate ./...
  [[ ! -e server/openapi.yaml || ! -d web/node_modules ]] || npm --prefix web run --silent types >/dev/null
  after=$(sums)
  [[ $before == "$after" ]] || {
    echo "generated files were behind their source; they are up to date now, commit them:"
    diff <(echo "$before") <(echo "$after") | sed -n 's/^> [0-9a-f]*//p'
    return 1
  }
}
sums() { git ls-files -co --exclude-standard -- '*.gen.go' '*.gen.ts' | sort | xargs -r sha256sum; }

# go_test runs every Go test, with SQLite and with Postgres and Redis.
go_test() { bin/testbed -- go test -timeout 15m ./...; }

# race looks for data races where a run is not too slow for it: the pure
# packages, everything on Postgres, and one short test of SQLite, whose pure Go
# engine is some 25 times slower under the detector.
race() {
  local code=0
  go test -race -short -timeout 10m "${pure[@]}" || code=1
  EBBLINE_TEST_DATABASES=postgres bin/testbed -- go test -race -short -timeout 15m "${stored[@]}" || code=1
  EBBLINE_TEST_DATABASES=sqlite go test -race -short -timeout 5m -run 'SQLiteConcurrency' ./jobs/store || code=1
  return "$code"
}

# browser drives the real pages of the real program in headless Chromium.
browser() { bin/testbed -- npm --prefix web run --silent test:browser; }

# short is go_test without servers to install: SQLite only, few random cases.
short() { go test -short ./...; }

# long repeats the random tests of the pure packages many times over: millions of
# moves instead of thousands. CI does not run it; a change of the search should.
long() { EBBLINE_LONG=1 go test -timeout 120m "${pure[@]}"; }

# unchanged fails if a step changed, added or removed a file that git sees.
unchanged() {
  [[ $(state) == "$state_before" ]] || {
    echo "the steps left the working tree changed:"
    git status --short
    return 1
  }
}
state() { { git status --porcelain; git diff HEAD; } | sha256sum; }

existing() { for path in "$@"; do [[ ! -e $path ]] || echo "$path"; done; }

# --- the order -------------------------------------------------------------

all=(build services packages pages_check pages_test pages_build program format vet lint generated go_test race browser unchanged)
quick=(format vet short)

# Without these the later steps say nothing; after any other failure they still do.
needed=" build services packages pages_build program "

took=()
failed=()

run_step() {
  local name=$1 start=$SECONDS code=0
  printf '\n=== %s\n' "$name"
  # A process of its own: bash ignores -e in whatever is called beside || or if.
  bash .ci/steps.sh --one "$name" || code=$?
  took+=("$(printf '%5d s  %s' $((SECONDS - start)) "$name")")
  if ((code)); then
    failed+=("$name")
    printf '=== %s failed\n' "$name"
    [[ $needed != *" $name "* ]] || return 1
  fi
}

summary() {
  printf '\nseconds per step\n'
  printf '%s\n' "${took[@]}"
  printf '%5d s  in all\n' "$SECONDS"
  if ((${#failed[@]})); then
    printf 'failed: %s\n' "${failed[*]}"
    return 1
  fi
}

main() {
  local steps=() word
  for word in "$@"; do
    case $word in
      all) steps+=("${all[@]}") ;;
      quick) steps+=("${quick[@]}") ;;
      *)
        [[ " ${all[*]} ${quick[*]} " == *" $word "* ]] || { echo "no such step: $word; there are: ${all[*]} short" >&2; exit 2; }
        steps+=("$word")
        ;;
    esac
  done
  ((${#steps[@]})) || { echo "usage: .ci/steps.sh all | quick | STEP..." >&2; exit 2; }
  export state_before
  state_before=$(state)
  for word in "${steps[@]}"; do run_step "$word" || break; done
  summary
}

if [[ ${1:-} == --one ]]; then
  "$2"
else
  main "$@"
fi
