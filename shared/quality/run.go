package quality

import (
	"slices"

	"rootledger/shared/event"
)

// run is the outcomes of one pass, and the sum over those that no look saw, in
// the total order of events. What comes late is sorted in at the next read, and
// the sum goes on from the mark before it: a tap at the end costs the same at any
// length.
type run struct {
	seen
	steps  []*event.Event // attempts; the first sorted of them in order
	sorted int
	folded int   // how many of them the sum has
	sum    State // after folded steps
	marks  []State
}

// every is how many steps lie between two marks.
const every = 64

// State is a sum over the attempts of a pass since it was last 0: since nothing
// spoke for a raised share; what a look saw is no part of it. While an alarm stands they
// stay those that raised it and all after them.
type State struct {
	Sum     int64        // billionths
	Trials  int64        // attempts since
	Cut     int64        // of them, partly or totally transected
	Since   *event.Event // the entry with the first of them, nil for none
	Alarmed *event.Event // the entry that reached the limit, nil for none; only a look takes it away
}

func (r *run) add(e *event.Event, sign int64) {
	if e.Fact.Kind() == event.KindLooked {
		r.look(e, sign)
		r.restart()
		return
	}
	if sign > 0 {
		if n := len(r.steps); n == r.sorted && (n == 0 || event.Before(r.steps[n-1], e)) {
			r.sorted++
		}
		r.steps = append(r.steps, e)
		return
	}
	r.sort()
	if at, found := slices.BinarySearchFunc(r.steps, e, event.Compare); found {
		r.steps = slices.Delete(r.steps, at, at+1)
		r.sorted--
		r.back(at)
	}
}

// sort merges what came out of order into the rest.
func (r *run) sort() {
	if r.sorted == len(r.steps) {
		return
	}
	from, to := r.sorted, len(r.steps)
	late := slices.Clone(r.steps[from:])
	slices.SortFunc(late, event.Compare)
	for i := len(late); i > 0; {
		to--
		if from > 0 && event.Before(late[i-1], r.steps[from-1]) {
			from--
			r.steps[to] = r.steps[from]
		} else {
			i--
			r.steps[to] = late[i]
		}
	}
	r.sorted = len(r.steps)
	r.back(to)
}

// back has the sum forget the steps from at on.
func (r *run) back(at int) {
	if at < r.folded {
		r.folded = at / every * every
		r.marks = r.marks[:at/every+1]
		r.sum = r.marks[at/every]
	}
}

// restart has the sum forget all steps.
func (r *run) restart() { r.folded, r.sum, r.marks = 0, State{}, nil }

// read folds what is not folded yet.
func (r *run) read(w limits) State {
	r.sort()
	for ; r.folded < len(r.steps); r.folded++ {
		if r.folded%every == 0 && r.folded/every == len(r.marks) {
			r.marks = append(r.marks, r.sum)
		}
		if e := r.steps[r.folded]; !r.saw(e) {
			r.sum.take(e, w)
		}
	}
	return r.sum
}

// tapped is how many attempts an entry has and whether they were cut.
func tapped(e *event.Event) (n int64, cut bool) {
	f := e.Fact.(*event.Attempt)
	return int64(f.N), f.Outcome == event.Partial || f.Outcome == event.Total
}

// take adds one entry. All its attempts have one outcome, so the sum only rises
// or only falls.
func (s *State) take(e *event.Event, w limits) {
	n, cut := tapped(e)
	if cut {
		s.Sum, s.Cut = s.Sum+n*w.cut, s.Cut+n
		if s.Alarmed == nil && s.Sum >= w.limit {
			s.Alarmed = e
		}
	} else {
		s.Sum += n * w.whole
	}
	if s.Trials += n; s.Since == nil {
		s.Since = e
	}
	switch {
	case s.Sum > 0:
	case s.Alarmed == nil:
		*s = State{}
	default:
		s.Sum = 0 // what was cut stays told until somebody looks
	}
}

// Read is the state of a pass's sum, in order, as it stands now.
func (t *Tally) Read(pass event.Ref) State {
	r := t.runs[pass]
	if r == nil {
		return State{}
	}
	return r.read(t.weights())
}

// Sums says whether an attempt is part of its pass's sum as it stands now: no
// look saw it, and the sum was not 0 since.
func (t *Tally) Sums(pass event.Ref, e *event.Event) bool {
	since := t.Read(pass).Since
	return since != nil && !event.Before(e, since) && !t.runs[pass].saw(e)
}
