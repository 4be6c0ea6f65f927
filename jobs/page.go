package jobs

// Page asks for a part of a list.
type Page struct {
	Cursor string // where the part before ended ("next"); empty: from the start
	Limit  int    // 1 to MaxPage; zero means DefaultPage
}

// How many items a page holds.
const (
	DefaultPage = 50
	MaxPage     = 200
)

// Size is the limit with its default and bounds applied.
func (p Page) Size() int {
	switch {
	case p.Limit <= 0:
		return DefaultPage
	case p.Limit > MaxPage:
		return MaxPage
	}
	return p.Limit
}

// List is a part of a list.
type List[T any] struct {
	Items []T
	Next  string // cursor of the part after; empty: this was the last
}
