// Package kernel routes vehicles with time windows and capacity: who goes where
// in which order, at the least distance. It is the plain part of the week: no
// links between tours, travel that does not depend on the hour.
//
// It is a hybrid genetic search (Vidal et al., Computers & OR 40, 2013; Operations
// Research 60, 2012) with the neighbourhoods used for time windows, started from
// ruin and recreate (Christiaens and Vanden Berghe, Transportation Science 54,
// 2020). The result depends on problem, seed, strands and rounds only.
package kernel
