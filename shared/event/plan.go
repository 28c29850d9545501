package event

// Size is a unit size: the hairs in one graft, 1, 2, 3, or 4 for four or more.
type Size uint8

// Sizes is how many unit sizes there are.
const Sizes = 4

// MarshalJSON writes the size as a number: without it, encoders take a list of
// sizes for bytes.
func (s Size) MarshalJSON() ([]byte, error) { return []byte(decimal(uint64(s))), nil }

// BySize holds one number per unit size: index 0 is size 1.
type BySize [Sizes]int64

// Total is the sum over all sizes.
func (b BySize) Total() int64 { return b[0] + b[1] + b[2] + b[3] }

// Budget sets how many usable grafts the session is for. Reason is needed when
// the lead goes beyond need or donor.
type Budget struct {
	Grafts     uint32 `json:"grafts"`
	Reason     string `json:"reason,omitempty"`
	Supersedes []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindBudget.
func (*Budget) Kind() Kind { return KindBudget }

func (b *Budget) fields(f *fields) {
	number(f, 1, &b.Grafts)
	text(f, 2, &b.Reason)
	refs(f, 3, &b.Supersedes)
}

// Validate holds Grafts to 0..MaxBudget.
func (b *Budget) Validate() error {
	return first(checkRange("budget", b.Grafts, 0, MaxBudget), checkLines("reason", b.Reason, 0, maxText), checkSupersedes(b.Supersedes))
}

// Zone is a recipient zone, made when Of is zero, else an edit of the zone
// that Of made. Area in mm², density in grafts per cm² × 10, mix in per mille
// by unit size; a mix may miss 1000 by one and is then normalised.
type Zone struct {
	Of         Ref           `json:"of,omitzero"`
	Name       string        `json:"name"`
	AreaMM2    uint32        `json:"areaMm2"`
	Density10  uint32        `json:"density10"`
	Mix        [Sizes]uint16 `json:"mixPerMille"`
	Supersedes []Ref         `json:"supersedes,omitempty"`
}

// Kind is KindZone.
func (*Zone) Kind() Kind { return KindZone }

func (z *Zone) fields(f *fields) {
	ref(f, 1, &z.Of, KindZone)
	text(f, 2, &z.Name)
	number(f, 3, &z.AreaMM2)
	number(f, 4, &z.Density10)
	for i := range z.Mix {
		number(f, 5+uint64(i), &z.Mix[i])
	}
	refs(f, 9, &z.Supersedes)
}

// Validate holds every field to its bounds and the mix to 999..1001 per mille.
func (z *Zone) Validate() error {
	sum := 0
	for _, m := range z.Mix {
		sum += int(m)
	}
	if sum < 999 || sum > 1001 {
		return invalid("mix-sum").With("sum", permilleText(sum))
	}
	return first(checkText("zone name", z.Name, 1, maxName),
		checkRange("area", z.AreaMM2, 1, MaxAreaMM2),
		checkRange("density", z.Density10, 1, maxDensity), checkSupersedes(z.Supersedes))
}

// permilleText writes a sum of per mille as per cent: 1050 is "105", 1005 "100.5".
func permilleText(sum int) string {
	s := decimal(uint64(sum / 10))
	if sum%10 != 0 {
		s += "." + decimal(uint64(sum%10))
	}
	return s
}

// Region is a donor region, made when Of is zero, else an edit of the region
// that Of made. Code is one or two capitals for the wall. Area in mm²; density
// in units per cm² × 10, native unless Today says that it was measured after
// the earlier harvest; share that may be harvested in per mille of the native
// units; Harvested in units taken before; hairs per unit × 100, 0 if unknown.
type Region struct {
	Of              Ref    `json:"of,omitzero"`
	Code            string `json:"code"`
	Name            string `json:"name"`
	AreaMM2         uint32 `json:"areaMm2"`
	Density10       uint32 `json:"density10"`
	Today           bool   `json:"today,omitempty"`
	SharePerMille   uint32 `json:"sharePerMille"`
	Harvested       uint32 `json:"harvested"`
	HairsPerUnit100 uint32 `json:"hairsPerUnit100"`
	Supersedes      []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindRegion.
func (*Region) Kind() Kind { return KindRegion }

func (r *Region) fields(f *fields) {
	ref(f, 1, &r.Of, KindRegion)
	text(f, 2, &r.Code)
	text(f, 3, &r.Name)
	number(f, 4, &r.AreaMM2)
	number(f, 5, &r.Density10)
	flag(f, 6, &r.Today)
	number(f, 7, &r.SharePerMille)
	number(f, 8, &r.Harvested)
	number(f, 9, &r.HairsPerUnit100)
	refs(f, 10, &r.Supersedes)
}

// Validate holds every field to its bounds.
func (r *Region) Validate() error {
	if !isCode(r.Code) {
		return invalid("region-code")
	}
	hairs := error(nil)
	if r.HairsPerUnit100 != 0 {
		hairs = checkRange("hairs per unit", r.HairsPerUnit100, 100, maxHairs)
	}
	return first(checkText("region name", r.Name, 1, maxName),
		checkRange("area", r.AreaMM2, 1, MaxAreaMM2),
		checkRange("density", r.Density10, 1, maxDensity),
		checkRange("share", r.SharePerMille, 1, 1000),
		checkRange("harvested", r.Harvested, 0, maxHarvested), hairs, checkSupersedes(r.Supersedes))
}

func isCode(s string) bool {
	if len(s) < 1 || len(s) > 2 {
		return false
	}
	for _, c := range []byte(s) {
		if c < 'A' || c > 'Z' {
			return false
		}
	}
	return true
}

// Yield sets the planned yield: usable grafts per outcome, in per mille.
type Yield struct {
	PerMille   uint32 `json:"perMille"`
	Supersedes []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindYield.
func (*Yield) Kind() Kind { return KindYield }

func (y *Yield) fields(f *fields) {
	number(f, 1, &y.PerMille)
	refs(f, 2, &y.Supersedes)
}

// Validate holds PerMille to 1..1000.
func (y *Yield) Validate() error {
	return first(checkRange("yield", y.PerMille, 1, 1000), checkSupersedes(y.Supersedes))
}

// Floor sets the residual density that no donor region should fall below, in
// hairs per cm² × 10; 0 is no floor.
type Floor struct {
	HairsPerCM2x10 uint32 `json:"hairsPerCm2x10"`
	Supersedes     []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindFloor.
func (*Floor) Kind() Kind { return KindFloor }

func (l *Floor) fields(f *fields) {
	number(f, 1, &l.HairsPerCM2x10)
	refs(f, 2, &l.Supersedes)
}

// Validate holds HairsPerCM2x10 to 0..5,000.
func (l *Floor) Validate() error {
	return first(checkRange("floor", l.HairsPerCM2x10, 0, maxFloor), checkSupersedes(l.Supersedes))
}
