package odds

// What is shown of a share before anyone opens the number.
const (
	FaceLoose    = "loose"
	FaceTight    = "tight"
	FaceNotKnown = "not_known"
)

// TightBelow is the share in permille below which something is tight: fewer than nine in
// ten (our own rule, no source).
const TightBelow = 900

// Face is what is shown of a share at first sight: tight or loose, or not known yet.
func (s Share) Face() string {
	switch {
	case !s.Known:
		return FaceNotKnown
	case s.Permille < TightBelow:
		return FaceTight
	}
	return FaceLoose
}
