package event

// Register is a multi-value register of plan edits: an edit replaces those it
// names, and edits that did not know of each other all stand until one names
// them. It is a function of the set of edits, in any order.
type Register[T any] struct {
	edits    []edit[T] // the standing ones
	replaced map[Ref]bool
}

type edit[T any] struct {
	ref   Ref
	stamp Stamp
	value T
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
		r.edits = append(r.edits, edit[T]{ref, e.Stamp, value})
	}
	if len(supersedes) == 0 {
		return
	}
	standing := r.edits[:0]
	for _, one := range r.edits {
		if !r.replaced[one.ref] {
			standing = append(standing, one)
		}
	}
	r.edits = standing
}

// Standing calls each for every edit that no other replaces. Callers that
// need an order take it from the references.
func (r *Register[T]) Standing(each func(Ref, Stamp, T)) {
	for _, e := range r.edits {
		each(e.ref, e.stamp, e.value)
	}
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
