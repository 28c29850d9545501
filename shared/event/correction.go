package event

// Void undoes one event. Voids are a set: two of one target undo it once, and
// a void may arrive before its target.
type Void struct {
	Target Ref    `json:"target"`
	Reason string `json:"reason,omitempty"`
}

// Kind is KindVoid.
func (*Void) Kind() Kind { return KindVoid }

func (v *Void) fields(f *fields) {
	loose(f, 1, &v.Target)
	text(f, 2, &v.Reason)
}

// Validate needs a target.
func (v *Void) Validate() error {
	return first(checkNeeded("target", v.Target), checkLines("reason", v.Reason, 0, maxText))
}

// Restore cancels the voids that it names; voiding again is a new void.
type Restore struct {
	Target Ref   `json:"target"`
	Voids  []Ref `json:"voids"`
}

// Kind is KindRestore.
func (*Restore) Kind() Kind { return KindRestore }

func (r *Restore) fields(f *fields) {
	loose(f, 1, &r.Target)
	refs(f, 2, &r.Voids)
}

// Validate needs a target and 1..64 voids.
func (r *Restore) Validate() error {
	if len(r.Voids) == 0 {
		return invalid("ref-needed").With("field", "voids")
	}
	return first(checkNeeded("target", r.Target), checkSupersedes(r.Voids))
}
