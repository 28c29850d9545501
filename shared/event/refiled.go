package event

// Filed says which fields a refile sets: a bit for each.
type Filed uint8

// The fields.
const (
	FiledPass Filed = 1 << iota
	FiledRegion
	FiledZone
	FiledDish
	FiledSize
	FiledSetup
	filedAll = 1<<iota - 1
)

// FiledFields is how many fields a refile can set.
const FiledFields = 6

// Refiled moves whole entries to another pass, region, zone, dish, size or punch
// set-up; they keep their time. Sets says which of the fields it sets: one that
// is set and zero takes the region, dish or set-up away. A field that an entry
// does not have is left alone. Of several refiles of one entry the greatest stamp
// wins, by field. Its targets may arrive after it.
//
// An attempt that moves to another pass keeps its set-up, for that is what was in
// the hand, and leaves its trial, which belongs to its pass. With another set-up
// it stays in its trial, and counts to that arm; without any it leaves it.
type Refiled struct {
	Targets []Ref `json:"targets"`
	Sets    Filed `json:"sets"`
	Pass    Ref   `json:"pass,omitzero"`
	Region  Ref   `json:"region,omitzero"`
	Zone    Ref   `json:"zone,omitzero"`
	Dish    Ref   `json:"dish,omitzero"`
	Size    Size  `json:"size,omitempty"`
	Setup   Ref   `json:"setup,omitzero"`
}

// Kind is KindRefiled.
func (*Refiled) Kind() Kind { return KindRefiled }

func (r *Refiled) fields(f *fields) {
	refs(f, 1, &r.Targets)
	number(f, 2, &r.Sets)
	ref(f, 3, &r.Pass, KindPassBegun)
	ref(f, 4, &r.Region, KindRegion)
	ref(f, 5, &r.Zone, KindZone)
	ref(f, 6, &r.Dish, KindDish)
	number(f, 7, &r.Size)
	ref(f, 8, &r.Setup, KindSetup)
}

// Validate needs 1..MaxRefiled targets and at least one field to set; a pass, a
// zone and a size can not be taken away.
func (r *Refiled) Validate() error {
	if len(r.Targets) == 0 || len(r.Targets) > MaxRefiled {
		return invalid("refile-many").WithInt("max", MaxRefiled)
	}
	given := func(bit Filed, zero bool, takesAway bool) bool {
		return r.Sets&bit == 0 && zero || r.Sets&bit != 0 && (takesAway || !zero)
	}
	if r.Sets == 0 || r.Sets > filedAll || !given(FiledPass, r.Pass.IsZero(), false) || !given(FiledRegion, r.Region.IsZero(), true) ||
		!given(FiledZone, r.Zone.IsZero(), false) || !given(FiledDish, r.Dish.IsZero(), true) || !given(FiledSize, r.Size == 0, false) ||
		!given(FiledSetup, r.Setup.IsZero(), true) {
		return invalid("refile-where")
	}
	return checkSizeOrNone(r.Size)
}

// places points to the fields of a count that a refile can set, nil where the
// count has no such field.
type places struct {
	pass, region, zone, dish, setup *Ref
	size                            *Size
}

// copied is a copy of a count, and its places; nil for what is no count or has
// no places.
func copied(fact Fact) (Fact, places) {
	switch f := fact.(type) {
	case *Fired:
		c := *f
		return &c, places{pass: &c.Pass, region: &c.Region}
	case *Attempt:
		c := *f
		return &c, places{pass: &c.Pass, region: &c.Region, setup: &c.Setup}
	case *Reading:
		c := *f
		return &c, places{pass: &c.Pass, region: &c.Region}
	case *Retrieved:
		c := *f
		return &c, places{pass: &c.Pass, region: &c.Region}
	case *Sorted:
		c := *f
		return &c, places{dish: &c.Dish, size: &c.Size}
	case *Rejected:
		c := *f
		return &c, places{dish: &c.Dish, size: &c.Size}
	case *Split:
		c := *f
		return &c, places{dish: &c.Dish}
	case *Sites:
		c := *f
		return &c, places{zone: &c.Zone, size: &c.Size}
	case *SitesClosed:
		c := *f
		return &c, places{zone: &c.Zone, size: &c.Size}
	case *Placed:
		c := *f
		return &c, places{zone: &c.Zone, dish: &c.Dish, size: &c.Size}
	case *CameBack:
		c := *f
		return &c, places{zone: &c.Zone, dish: &c.Dish, size: &c.Size}
	case *DishDone:
		c := *f
		return &c, places{zone: &c.Zone}
	}
	return nil, places{}
}

// PassOf is the pass that a count names, zero for one that names none.
func PassOf(fact Fact) Ref {
	if _, p := copied(fact); p.pass != nil {
		return *p.pass
	}
	return Ref{}
}

// Fits says whether a count has every field that the refile sets.
func (r *Refiled) Fits(fact Fact) bool {
	c, p := copied(fact)
	has := func(bit Filed, there bool) bool { return r.Sets&bit == 0 || there }
	return c != nil && has(FiledPass, p.pass != nil) && has(FiledRegion, p.region != nil) && has(FiledZone, p.zone != nil) &&
		has(FiledDish, p.dish != nil) && has(FiledSize, p.size != nil) && has(FiledSetup, p.setup != nil)
}

// Refile is a count with those fields of only that the refile sets, as a new
// fact; the fact itself when there is nothing to set.
func (r *Refiled) Refile(fact Fact, only Filed) Fact {
	c, p := copied(fact)
	if c == nil {
		return fact
	}
	set := func(bit Filed, to *Ref, from Ref) {
		if r.Sets&only&bit != 0 && to != nil {
			*to = from
		}
	}
	set(FiledPass, p.pass, r.Pass)
	set(FiledRegion, p.region, r.Region)
	set(FiledZone, p.zone, r.Zone)
	set(FiledDish, p.dish, r.Dish)
	if r.Sets&only&FiledSize != 0 && p.size != nil {
		*p.size = r.Size
	}
	set(FiledSetup, p.setup, r.Setup)
	if a, ok := c.(*Attempt); ok && (a.Setup.IsZero() || r.Sets&only&FiledPass != 0 && a.Pass != PassOf(fact)) {
		a.Trial = Ref{}
	}
	return c
}
