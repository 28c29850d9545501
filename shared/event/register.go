package event

// Register is a multi-value register of plan edits: an edit replaces those it
// names, and edits that did not know of each other all stand until one names
// them. It is a function of the set of edits, in any order.
type Register[T any] struct {
	edits    []Edit[T] // the standing ones
	replaced map[Ref]bool
}

// Edit is one standing edit of a register.
type Edit[T any] struct {
	Ref   Ref
	Stamp Stamp
	Value T
}

// Add takes one edit in; supersedes are the edits that it replaces.
func (r *Register[T]) Add(e *Event, value T, supersedes []Ref) {
	if r.replaced == nil {
		r.replaced = make(map[Ref]bool)
	}
	for _, s := range supersedes {
		r.replaced[s] = true
	}
	if ref := e.Ref(); !r.replaced[ref] {
		r.edits = append(r.edits, Edit[T]{ref, e.Stamp, value})
	}
	if len(supersedes) == 0 {
		return
	}
	standing := r.edits[:0]
	for _, one := range r.edits {
		if !r.replaced[one.Ref] {
			standing = append(standing, one)
		}
	}
	r.edits = standing
}

// Standing calls each for every edit that no other replaces. Callers that
// need an order take it from the references.
func (r *Register[T]) Standing(each func(Ref, Stamp, T)) {
	for _, e := range r.edits {
		each(e.Ref, e.Stamp, e.Value)
	}
}

// Sorted lists the standing edits by compare, equal ones by their references:
// with the safe side smallest, the first is the one that counts.
func (r *Register[T]) Sorted(compare func(a, b T) int) []Edit[T] {
	out := make([]Edit[T], 0, len(r.edits))
	for _, e := range r.edits {
		at := len(out) // few stand: a sort of the library would weigh more on a phone than it saves
		for at > 0 && r.before(compare, e, out[at-1]) {
			at--
		}
		out = append(out, e)
		copy(out[at+1:], out[at:])
		out[at] = e
	}
	return out
}

func (r *Register[T]) before(compare func(a, b T) int, a, b Edit[T]) bool {
	c := compare(a.Value, b.Value)
	return c < 0 || c == 0 && CompareRef(a.Ref, b.Ref) < 0
}

// Newest is the standing edit with the greatest stamp, of equals the one with
// the greatest reference: the one whose label is shown. There must be one.
func (r *Register[T]) Newest() Edit[T] {
	newest := r.edits[0]
	for _, e := range r.edits[1:] {
		if e.Stamp > newest.Stamp || e.Stamp == newest.Stamp && CompareRef(e.Ref, newest.Ref) > 0 {
			newest = e
		}
	}
	return newest
}

// Heads are the references of the standing edits, in ascending order: what a
// new edit supersedes.
func (r *Register[T]) Heads() []Ref {
	var out []Ref
	r.Standing(func(ref Ref, _ Stamp, _ T) {
		at := len(out)
		for at > 0 && CompareRef(ref, out[at-1]) < 0 {
			at--
		}
		out = append(out[:at], append([]Ref{ref}, out[at:]...)...)
	})
	return out
}

// CompareRef orders references by replica, seq and check: negative, zero or positive.
func CompareRef(a, b Ref) int {
	if c := compareBytes(a.Replica[:], b.Replica[:]); c != 0 {
		return c
	}
	if a.Seq != b.Seq {
		if a.Seq < b.Seq {
			return -1
		}
		return 1
	}
	return compareBytes(a.Check[:], b.Check[:])
}
