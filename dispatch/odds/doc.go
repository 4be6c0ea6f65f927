// Package odds says how sure a plan is: it lets a week happen many times, with lengths
// drawn from what is known of them, and counts how often each promise is kept, each pool
// is low when its crew comes, and how long each crew is out.
//
// # What is drawn
//
// Every length is log-normal with the median and the log standard deviation that the
// week states ([week.Uncertainty] and the fields that it names): the work of each visit,
// each drive, each pumping down and each refill, counted in water hours. A part of each
// spread is shared by all that happens on one civil day: the day's work (access, heat),
// its traffic, its weather for pumping. A customer who starts a drain does so somewhere
// inside the told interval, each instant as likely as any other. What the week does not
// state is taken as certain, and the answer says that it is not known yet
// ([Odds.NotKnown], [Share.Known]).
//
// # Streams
//
// Every number that is drawn hangs on (seed, run, name of the visit, job or tour), never
// on the order of anything: a run can be replayed alone ([Replay]), cores only share out
// the runs, and two plans of one week under one seed meet the same pools, the same
// traffic and the same stuck cords, so that their odds can be compared.
//
// # How crews go on
//
// See [Policy]: the stated live rule that stands in for a dispatcher.
package odds
