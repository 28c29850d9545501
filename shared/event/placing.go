package event

// Placed says that N grafts of one size were placed in a zone.
type Placed struct {
	Zone Ref    `json:"zone"`
	Size Size   `json:"size"`
	N    uint32 `json:"n"`
	Dish Ref    `json:"dish,omitzero"`
}

// Kind is KindPlaced.
func (*Placed) Kind() Kind { return KindPlaced }

func (p *Placed) fields(f *fields) {
	ref(f, 1, &p.Zone, KindZone)
	number(f, 2, &p.Size)
	number(f, 3, &p.N)
	ref(f, 4, &p.Dish, KindDish)
}

// Validate needs a zone, Size 1..4 and N in 1..MaxEntry.
func (p *Placed) Validate() error {
	return first(checkNeeded("zone", p.Zone), checkSize(p.Size), checkN(p.N, MaxEntry))
}

// CameBack says that N placed grafts popped out and lie in holding again, in
// Dish when one is named.
type CameBack struct {
	Zone Ref    `json:"zone"`
	Size Size   `json:"size"`
	N    uint32 `json:"n"`
	Dish Ref    `json:"dish,omitzero"`
}

// Kind is KindCameBack.
func (*CameBack) Kind() Kind { return KindCameBack }

func (c *CameBack) fields(f *fields) {
	ref(f, 1, &c.Zone, KindZone)
	number(f, 2, &c.Size)
	number(f, 3, &c.N)
	ref(f, 4, &c.Dish, KindDish)
}

// Validate needs a zone, Size 1..4 and N in 1..MaxEntry.
func (c *CameBack) Validate() error {
	return first(checkNeeded("zone", c.Zone), checkSize(c.Size), checkN(c.N, MaxEntry))
}
