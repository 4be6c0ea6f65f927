package estimate

// chances are what is thought of pulling the conduit's cords, in thousandths;
// false while nothing is thought of it yet.
func (c Conduit) chances() (pull, help, open int64, ok bool) {
	ch := c.Chances
	return ch.Pull, ch.Help, ch.Open, ch.Pull+ch.Help+ch.Open == 1000
}
