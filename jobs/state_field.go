package jobs

// FieldAct is the act that the chain, as reports from the pool left it, asks of
// the job next; empty when the job stands where it should. begun says that a
// report just told of work on a visit other than a survey. Asked again after
// each move, it brings the job to the same state whatever the order in which
// the reports came in.
func (j Job) FieldAct(begun bool) Act {
	surveyed, working, convertOpen, anyOpen := false, false, false, false
	var last, convert Visit // that ended last
	for _, v := range j.Visits {
		if v.State == VisitWithdrawn {
			continue
		}
		if v.Kind == VisitSurvey {
			surveyed = surveyed || v.State == VisitDone
			continue
		}
		anyOpen = anyOpen || v.Open()
		working = working || v.State == VisitUnderWay
		convertOpen = convertOpen || v.Kind == VisitConvert && v.Open()
		if v.State != VisitDone {
			continue
		}
		if last.ID == "" || v.DoneAt.After(last.DoneAt) {
			last = v
		}
		if v.Kind == VisitConvert && (convert.ID == "" || v.DoneAt.After(convert.DoneAt)) {
			convert = v
		}
	}
	safe := last.Outcome == string(OutcomeMadeSafe)
	whole := convert.ID != "" && convert.Outcome != string(OutcomeMadeSafe) && !convertOpen
	if j.Kind == JobCallBack {
		whole = last.ID != "" && !safe && !anyOpen
	}
	switch j.State {
	case StateEnquiry:
		if surveyed {
			return ActMarkSurveyed
		}
	case StateApproved, StateReady, StateRouted:
		if begun {
			return ActBegin
		}
	case StateUnderWay:
		switch {
		case safe && !working:
			return ActMakeSafe
		case whole:
			return ActConvert
		}
	case StateMadeSafe:
		if working || !safe {
			return ActBegin
		}
	case StateConverted:
		if !whole && (convertOpen || convert.ID != "") {
			return ActCorrect
		}
	}
	return ""
}
