// Package worker does what happens after an act has committed: it sends the
// notices that are due and plans weeks in the background. SQL is the only
// record of what is due and done; the queue (asynq on Redis) only wakes a
// worker, and losing all of it loses nothing:
//
//	due -> claimed (attempt, fence, lease) -> handed_over -> sent | failed
//
// A claim raises the notice's fence, and the fence is checked again right
// before the point of no return (the final dot of a mail, the request of a
// text message), so that a worker that was stopped for a while and comes back
// does not send what another has sent. Without Redis the same handlers run in
// this process (Runner).
package worker
