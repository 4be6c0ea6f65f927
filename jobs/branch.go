package jobs

// Branch is one yard from which crews leave. Branches plan on their own; every
// planned thing carries its branch.
type Branch struct {
	ID      string
	Name    string
	Zone    string // IANA time zone name; its civil days and clock are the branch's
	Version int64
}
