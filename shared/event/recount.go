package event

// Recount says that somebody counted the objects themselves again, without
// being shown what the tallies say: N grafts on the bench, in the holding, or in
// one dish of it; or N open sites of a zone. Of one Size, or of all when it is 0.
type Recount struct {
	Of   Stock  `json:"of"`
	Dish Ref    `json:"dish,omitzero"` // of Holding: one dish
	Zone Ref    `json:"zone,omitzero"` // of OpenSites
	Size Size   `json:"size,omitempty"`
	N    uint32 `json:"n"`
}

// Kind is KindRecount.
func (*Recount) Kind() Kind { return KindRecount }

func (r *Recount) fields(f *fields) {
	number(f, 1, &r.Of)
	ref(f, 2, &r.Dish, KindDish)
	ref(f, 3, &r.Zone, KindZone)
	number(f, 4, &r.Size)
	number(f, 5, &r.N)
}

// Validate needs a stock, a dish only of the holding, a zone for open sites and
// for nothing else, no size on the bench, and N in 0..MaxBudget.
func (r *Recount) Validate() error {
	switch {
	case r.Of < Bench || r.Of > OpenSites:
		return invalid("stock-unknown").WithInt("stock", int64(r.Of))
	case r.Of == OpenSites && r.Zone.IsZero():
		return invalid("ref-needed").With("field", "zone")
	case r.Of != OpenSites && !r.Zone.IsZero(), r.Of != Holding && !r.Dish.IsZero(), r.Of == Bench && r.Size != 0:
		return invalid("recount-of")
	}
	return first(checkSizeOrNone(r.Size), checkRange("recount", r.N, 0, MaxBudget))
}
