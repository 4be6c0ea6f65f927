package search

import (
	"strings"

	"ebbline/dispatch/week"
)

// bindKinds are the kinds of what keeps a stop from starting earlier, by its words.
var bindKinds = map[string]string{
	bindPin: week.BindPin, bindNow: week.BindNow, bindShift: week.BindShift, bindDrive: week.BindDrive, bindLunch: week.BindLunch,
	bindDue: week.BindLunch, bindCrew: week.BindCrew, bindAllowed: week.BindAllowed, bindNotBef: week.BindNotBefore,
	bindClosed: week.BindClosure, bindPromise: week.BindPromise, bindLow: week.BindLow, bindCovered: week.BindCovered,
	bindLimit: week.BindLowLimit, bindHours: week.BindHours, bindChain: week.BindChain, bindGap: week.BindGap,
	bindReach: week.BindReach, bindOwed: week.BindOwed, bindDrain: week.BindChoice, bindLate: week.BindChoice,
}

// kindOf is the kind of a limit; a closure's words go on with its name.
func kindOf(binds string) string {
	if strings.HasPrefix(binds, bindClosed+": ") {
		return week.BindClosure
	}
	return bindKinds[binds]
}
