package server

import (
	"fmt"
	"slices"
	"strings"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// reach is how far a role reaches with an operation.
type reach int

const (
	no  reach = iota
	own       // what is the actor's own: the desk looks, and answers "no such" for the rest
	all
)

// rule says who may ask for an operation, and how large the question may be.
type rule struct {
	public                  bool // without signing in
	owner, dispatcher, tech reach
	body                    int64    // largest body in bytes; zero means defaultBody
	stream                  bool     // writes on and on: no write deadline of the server's
	types                   []string // media types of the body, where the contract names none
}

// defaultBody is the largest JSON body where the rule names none.
const defaultBody = 256 << 10

// Rules that many operations share.
var (
	public = rule{public: true}
	anyone = rule{owner: all, dispatcher: all, tech: own}
	office = rule{owner: all, dispatcher: all}
	owners = rule{owner: all}
)

func (r rule) size(n int64) rule { r.body = n; return r }

func (r rule) of(types ...string) rule { r.types = types; return r }

func (r rule) streaming() rule { r.stream = true; return r }

// access is the table of operations and roles. An operation of the contract
// that is missing here keeps the server from starting; so does a line here
// without an operation.
var access = map[string]rule{
	// session, user, branch, settings
	"signIn":           public,
	"showSession":      anyone,
	"signOut":          anyone,
	"refreshSession":   public,
	"listUsers":        owners,
	"createUser":       owners,
	"changeUser":       owners,
	"listBranches":     anyone,
	"showSettings":     office,
	"changeSettings":   owners,
	"listLearnedTimes": office,

	// customer, site, survey
	"listCustomers":    office,
	"createCustomer":   office,
	"showCustomer":     office,
	"changeCustomer":   office,
	"addContact":       office,
	"changeContact":    office,
	"removeContact":    office,
	"listSites":        office,
	"createSite":       office,
	"showSite":         office,
	"changeSite":       office,
	"listSurveyFields": anyone,
	"showSurvey":       anyone,
	"changeSurvey":     anyone.size(2 << 20),

	// job, estimate, quote, fact, part
	"createEnquiry":    office.size(2 << 20),
	"listJobs":         office,
	"showJob":          office,
	"changeJob":        office,
	"actOnJob":         office,
	"addVisit":         office,
	"changeVisit":      office,
	"listJobHistory":   office,
	"showEstimate":     office,
	"makeEstimate":     office,
	"showKeptEstimate": office,
	"listOptions":      office,
	"listWorth":        office,
	"listQuotes":       office,
	"createQuote":      office,
	"showQuote":        office,
	"showQuotePaper":   office,
	"sendQuote":        office,
	"answerQuote":      office,
	"showFacts":        office,
	"addPayment":       office,
	"setPermit":        office,
	"setMarking":       office,
	"addSignOff":       office,
	"addJobPart":       office,
	"changeJobPart":    office,
	"renewJobParts":    office,
	"showSets":         office,
	"takeSets":         office,
	"listParts":        office,
	"createPart":       office,
	"changePart":       office,

	// import
	"importFile":         office.size(10<<20).of("text/csv", desk.TypeXLSX),
	"lookAtFile":         office.size(10<<20).of("text/csv", desk.TypeXLSX),
	"listImports":        office,
	"showImport":         office,
	"showImportTemplate": office,
	"takeOut":            office,

	// crew, person, pump, absence, closure
	"listHomes":     office,
	"createHome":    office,
	"changeHome":    office,
	"listPersons":   office,
	"createPerson":  office,
	"changePerson":  office,
	"listCrews":     office,
	"createCrew":    office,
	"changeCrew":    office,
	"listPumps":     office,
	"createPump":    office,
	"changePump":    office,
	"listAbsences":  office,
	"createAbsence": office,
	"removeAbsence": office,
	"listClosures":  office,
	"createClosure": office,
	"removeClosure": office,

	// draft, plan run, plan, notice, prep, link
	"listDrafts":      office,
	"createDraft":     office,
	"showDraft":       office,
	"dropDraft":       office,
	"showDraftFile":   office,
	"showDraftWeek":   office,
	"showTold":        office,
	"handOut":         office,
	"startPlanRun":    office,
	"showPlanRun":     office,
	"stopPlanRun":     office,
	"followPlanRun":   office.streaming(),
	"listPlans":       office,
	"showWeek":        office,
	"listNotices":     office,
	"showNotice":      office,
	"sendNoticeAgain": office,
	"listPrep":        office,
	"addReading":      anyone,
	"addAnswer":       office,
	"showLink":        public,
	"showLinkPaper":   public,
	"answerLink":      public,

	// try, place, reason, odds, offer, hold, mend, day now
	"tryChange":      office,
	"takeChange":     office,
	"listPlaces":     office,
	"listReasons":    office,
	"showOdds":       office,
	"listStandby":    office,
	"showComparison": office,
	"listOffers":     office,
	"listHolds":      office,
	"holdWindow":     office,
	"showHold":       office,
	"releaseHold":    office,
	"bookHold":       office,
	"mendWeek":       office,
	"tellLate":       office,
	"showDayNow":     office,

	// tile, week map
	"listTileSets": anyone,
	"showTile":     anyone,
	"showWeekMap":  anyone,

	// address
	"findAddresses": office,
	"showTravel":    office,

	// field, photo, sheet, figures
	"showToday":       anyone,
	"recordField":     anyone.size(2 << 20),
	"addPhoto":        anyone.size(10 << 20),
	"listPhotos":      anyone,
	"showPhoto":       anyone,
	"showPoolSheet":   anyone,
	"listExtraWorks":  anyone,
	"answerExtraWork": office,
	"showFigures":     office,
}

// allows says whether a role may ask at all. What is "own" the desk decides.
func (r rule) allows(role jobs.Role) bool {
	switch role {
	case jobs.RoleOwner:
		return r.owner != no
	case jobs.RoleDispatcher:
		return r.dispatcher != no
	case jobs.RoleTech:
		return r.tech != no
	}
	return r.public
}

// checkAccess compares the table with the contract's operations.
func checkAccess(operations []string, table map[string]rule) error {
	var faults []string
	for _, op := range operations {
		if _, ok := table[op]; !ok {
			faults = append(faults, op+" is in no line of the access table")
		}
	}
	for op := range table {
		if !slices.Contains(operations, op) {
			faults = append(faults, op+" is in the access table and not in the contract")
		}
	}
	if len(faults) == 0 {
		return nil
	}
	slices.Sort(faults)
	return fmt.Errorf("access: %s", strings.Join(faults, "; "))
}
