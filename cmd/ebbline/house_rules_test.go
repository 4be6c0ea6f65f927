package main

// The rules of the house as data. DEVELOPERS.md draws the same picture.

// topLevel is everything that may stand at the top of the tree, dot-files aside.
var topLevel = words(`cmd server jobs dispatch estimate worker migrations web testdata
	README.md DEVELOPERS.md LICENSE go.mod go.sum docker-compose.yml Dockerfile Makefile`)

// builtThings are not in git: .gitignore lists them.
var builtThings = words("bin data demo-data")

// mayImport says which packages of ours each package may import. A package that
// is not listed may not exist; one that ends in /... stands for its whole folder.
// Everything under cmd may import everything.
var mayImport = map[string]map[string]bool{
	"jobs":            {},
	"migrations":      {},
	"web":             {},
	"web/highs":       {}, // has tests ask a solver from the front end's packages
	"dispatch/week":   {},
	"dispatch/travel": words("dispatch/travel/osm dispatch/travel/hierarchy"),
	// Its two tools, which know nothing of it: a file format, and a graph.
	"dispatch/travel/osm":       {},
	"dispatch/travel/hierarchy": {},
	"dispatch/travel/tile":      words("dispatch/travel dispatch/travel/osm"), // maps
	"dispatch/travel/address":   words("dispatch/travel/osm"),                 // finds places by what people type
	"dispatch/travel/town":      words("dispatch/travel/osm"),                 // invents a town, for the demo and for tests
	"dispatch/travel/sun":       {},
	"dispatch/search":           words("dispatch/week dispatch/search/kernel"),
	// The plain part of the problem, measured on published sets; knows no week.
	"dispatch/search/kernel": {},
	"dispatch/check":         words("dispatch/week"),
	"dispatch/bound":         words("dispatch/week"),
	"dispatch/odds":          words("dispatch/week"), // how sure a plan is
	"dispatch":               words("dispatch/week dispatch/search dispatch/check dispatch/odds"),
	"estimate":               words("jobs"),
	"jobs/store":             words("jobs migrations"),
	// Helpers of tests that are no test files, because several packages use them.
	"jobs/store/storetest":   words("jobs jobs/store migrations"),
	"dispatch/weeks":         words("dispatch/week"), // makes weeks for tests and benchmarks
	"dispatch/desk":          words("jobs jobs/store estimate dispatch dispatch/odds dispatch/week dispatch/check dispatch/travel dispatch/travel/tile dispatch/desk/workbook dispatch/travel/address dispatch/travel/sun"),
	"dispatch/desk/workbook": words("jobs"),
	"dispatch/desk/desktest": words("jobs jobs/store jobs/store/storetest dispatch/desk"),
	"server/servertest":      words("jobs jobs/store server server/auth dispatch/desk dispatch/desk/desktest web"),
	"server/api":             {},
	"server/auth":            words("jobs"),
	"server":                 words("jobs server/api server/auth server/paper dispatch/desk"),
	"server/paper":           words("jobs"), // sets what people keep on paper
	"worker":                 words("jobs dispatch/desk"),
	"worker/mailsink":        {}, // a real mail server for tests
}

// homes gives the folders that may import a library, by the start of its path.
var homes = map[string]string{
	"gorm.io/":                  "jobs/store",
	"github.com/libtnb/sqlite":  "jobs/store",
	"github.com/pressly/goose":  "migrations",
	"github.com/gin-gonic/gin":  "server",
	"github.com/golang-jwt/jwt": "server/auth",
	"github.com/hibiken/asynq":  "worker",
	"github.com/xuri/excelize":  "dispatch/desk/workbook",
	"codeberg.org/go-pdf/fpdf":  "server/paper",
	"github.com/paulmach/orb":   "dispatch/travel/tile", // computes and nothing else, too
}

// pure packages compute and nothing else: same input, same answer.
var pure = words("jobs estimate dispatch dispatch/odds dispatch/week dispatch/check dispatch/search dispatch/search/kernel dispatch/bound dispatch/weeks dispatch/travel dispatch/travel/osm dispatch/travel/hierarchy dispatch/travel/address dispatch/travel/town dispatch/travel/sun")

// untimed packages besides those take every instant from their caller, and wait
// for nothing.
var untimed = words("jobs/store dispatch/desk dispatch/travel/tile")

// pureMayNotImport lists standard packages that reach outside. Besides, a pure
// package imports no library of others.
var pureMayNotImport = words(`os os/exec os/signal os/user net net/http net/smtp net/rpc net/mail syscall plugin
	database/sql database/sql/driver log log/slog crypto/rand time/tzdata io/ioutil embed runtime/debug unsafe expvar
	path/filepath html/template text/template testing`)

// Selectors, as package path and name.
var (
	clockReads = selectors("time Now Since Until")
	timers     = selectors("time After AfterFunc Tick NewTicker NewTimer Sleep", "context WithTimeout WithDeadline WithTimeoutCause WithDeadlineCause")
	zones      = selectors("time LoadLocation LoadLocationFromTZData Local")
	printing   = selectors("fmt Print Printf Println Scan Scanf Scanln")
	limiters   = words("Allow Reserve Wait Tokens")
)

// seeded are the names of math/rand and math/rand/v2 that need a seed; every
// other one draws from the global source.
var seeded = words("New NewSource NewPCG NewChaCha8 NewZipf Rand Source Source64 PCG ChaCha8 Zipf")

// allowed are the exceptions: "file selector" and why. One that nothing uses any
// more fails the test.
var allowed = map[string]string{
	"jobs/store/tx.go time.After":        "a transaction that clashed is tried again after a short wait",
	"server/observe.go time.Now":         "how long an answer took, which is no business instant",
	"server/observe.go time.Since":       "the same",
	"server/plan_run_events.go time.Now": "by when an event must have left, which is no business instant",
	"worker/mail.go time.Until":          "how long the network may still take, which is no business instant",
	"jobs/store/tx.go math/rand/v2.IntN": "that wait differs at random, so that two do not clash again",
}
