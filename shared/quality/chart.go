package quality

import "rootledger/shared/event"

// GroupSize is how many outcomes make one point of a chart of shares.
const GroupSize = 50

// Chart is the cut attempts of a pass in groups of GroupSize outcomes, in order.
type Chart struct {
	Groups []Group
	Cut    int64 // in all groups
	Rest   int64 // outcomes after the last full group
}

// Group is one group: how many were cut, the entry that filled it, and whether
// its share lies outside the 3-sigma limits.
type Group struct {
	Cut  int64
	Last *event.Event
	Out  bool
}

// Chart is a pass's chart as it stands now.
func (t *Tally) Chart(pass event.Ref) (c Chart) {
	r := t.runs[pass]
	if r == nil {
		return c
	}
	r.sort()
	var cut int64
	for _, e := range r.steps {
		for left, wasCut := tapped(e); left > 0; {
			part := min(left, GroupSize-c.Rest)
			if left, c.Rest = left-part, c.Rest+part; wasCut {
				cut += part
			}
			if c.Rest == GroupSize {
				c.Groups = append(c.Groups, Group{Cut: cut, Last: e})
				c.Cut += cut
				cut, c.Rest = 0, 0
			}
		}
	}
	for i := range c.Groups {
		c.Groups[i].Out = outside(c.Groups[i].Cut, c.Cut, int64(len(c.Groups)))
	}
	return c
}

// outside says whether x of GroupSize lies outside the 3-sigma limits of a share
// of total in all groups (NIST/SEMATECH e-Handbook 6.3.3.2), without any float:
// with N = groups × GroupSize outcomes, (x N − total GroupSize)² against
// 9 GroupSize total (N − total).
func outside(x, total, groups int64) bool {
	all := groups * GroupSize
	off := x*all - total*GroupSize
	return off*off > 9*GroupSize*total*(all-total)
}
