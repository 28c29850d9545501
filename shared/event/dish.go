package event

// Dish opens a numbered container of the holding: of one Size, or of all when
// Size is 0. Counts name it by this event.
type Dish struct {
	Label string `json:"label"`
	Size  Size   `json:"size,omitempty"`
}

// Kind is KindDish.
func (*Dish) Kind() Kind { return KindDish }

func (d *Dish) fields(f *fields) {
	text(f, 1, &d.Label)
	number(f, 2, &d.Size)
}

// Validate holds Label to 1..16 letters, digits and dashes, and Size to 0..4.
func (d *Dish) Validate() error {
	if !IsLabel(d.Label) {
		return invalid("dish-label").WithInt("max", MaxLabel)
	}
	return checkSizeOrNone(d.Size)
}

// DishDone empties and closes a dish in one act: of what lay in it, Placed went
// into a zone, Rejected will not be used, and Returned went back to the holding
// outside this dish. Each by unit size.
type DishDone struct {
	Dish     Ref           `json:"dish"`
	Zone     Ref           `json:"zone,omitzero"` // needed when something was placed
	Placed   [Sizes]uint32 `json:"placed"`
	Rejected [Sizes]uint32 `json:"rejected"`
	Reason   Reason        `json:"reason,omitempty"` // needed when something was rejected
	Returned [Sizes]uint32 `json:"returned"`
}

// Kind is KindDishDone.
func (*DishDone) Kind() Kind { return KindDishDone }

func (d *DishDone) fields(f *fields) {
	ref(f, 1, &d.Dish, KindDish)
	ref(f, 2, &d.Zone, KindZone)
	number(f, 3, &d.Reason)
	for i := range uint64(Sizes) {
		number(f, 4+i, &d.Placed[i])
	}
	for i := range uint64(Sizes) {
		number(f, 8+i, &d.Rejected[i])
	}
	for i := range uint64(Sizes) {
		number(f, 12+i, &d.Returned[i])
	}
}

// Validate needs a dish, a zone for what was placed, a reason for what was
// rejected, and holds every number to 0..MaxEntry.
func (d *DishDone) Validate() error {
	var placed, rejected uint32
	for i := range Sizes {
		for _, n := range [...]uint32{d.Placed[i], d.Rejected[i], d.Returned[i]} {
			if err := checkRange("dish", n, 0, MaxEntry); err != nil {
				return err
			}
		}
		placed += d.Placed[i]
		rejected += d.Rejected[i]
	}
	if placed > 0 && d.Zone.IsZero() {
		return invalid("ref-needed").With("field", "zone")
	}
	if rejected > 0 || d.Reason != 0 {
		if err := checkReason(d.Reason); err != nil {
			return err
		}
	}
	return checkNeeded("dish", d.Dish)
}

// DishClosed says that nothing more goes into a dish or comes out of it.
type DishClosed struct {
	Dish Ref `json:"dish"`
}

// Kind is KindDishClosed.
func (*DishClosed) Kind() Kind { return KindDishClosed }

func (d *DishClosed) fields(f *fields) { ref(f, 1, &d.Dish, KindDish) }

// Validate needs a dish.
func (d *DishClosed) Validate() error { return checkNeeded("dish", d.Dish) }
