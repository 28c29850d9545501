package event

// Sorted says that N grafts of one unit size went from the bench to holding.
type Sorted struct {
	Size Size   `json:"size"`
	N    uint32 `json:"n"`
	Dish Ref    `json:"dish,omitzero"`
}

// Kind is KindSorted.
func (*Sorted) Kind() Kind { return KindSorted }

func (s *Sorted) fields(f *fields) {
	number(f, 1, &s.Size)
	number(f, 2, &s.N)
	ref(f, 3, &s.Dish, KindDish)
}

// Validate holds Size to 1..4 and N to 1..MaxEntry.
func (s *Sorted) Validate() error { return first(checkSize(s.Size), checkN(s.N, MaxEntry)) }

// Stock is where grafts lie when something happens to them.
type Stock uint8

// The stocks.
const (
	Bench     Stock = iota + 1 // out, not sorted
	Holding                    // sorted, not placed
	OpenSites                  // made, not filled: only a recount is of these
)

var stockNames = [...]string{"", "bench", "holding", "open sites"}

// String is the stock's name.
func (s Stock) String() string { return nameOf(stockNames[:], uint8(s)) }

// MarshalText writes the stock's name.
func (s Stock) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// ParseStock finds a stock by name.
func ParseStock(name string) (Stock, bool) {
	i, ok := parseName(stockNames[:], name)
	return Stock(i), ok
}

// Reason is why a graft was rejected.
type Reason uint8

// The reasons.
const (
	ReasonCut Reason = iota + 1
	ReasonNoHair
	ReasonDamaged
	ReasonDried
	ReasonLost // dropped or lost
	ReasonSurplus
	ReasonOther
)

// Reasons is how many reasons there are.
const Reasons = 7

var reasonNames = [...]string{"", "cut", "no hair", "damaged", "dried", "lost", "surplus", "other"}

// String is the reason's name.
func (r Reason) String() string { return nameOf(reasonNames[:], uint8(r)) }

// MarshalText writes the reason's name.
func (r Reason) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// ParseReason finds a reason by name.
func ParseReason(name string) (Reason, bool) {
	i, ok := parseName(reasonNames[:], name)
	return Reason(i), ok
}

// Rejected says that N grafts will not be used: From the Bench by sorting, or
// from Holding at placing. Size is 0 when it is not known.
type Rejected struct {
	From   Stock  `json:"from"`
	Size   Size   `json:"size,omitempty"`
	Reason Reason `json:"reason"`
	N      uint32 `json:"n"`
	Dish   Ref    `json:"dish,omitzero"`
}

// Kind is KindRejected.
func (*Rejected) Kind() Kind { return KindRejected }

func (r *Rejected) fields(f *fields) {
	number(f, 1, &r.From)
	number(f, 2, &r.Size)
	number(f, 3, &r.Reason)
	number(f, 4, &r.N)
	ref(f, 5, &r.Dish, KindDish)
}

// Validate needs a stock, a reason, Size 0..4 and N in 1..MaxEntry.
func (r *Rejected) Validate() error {
	if r.From != Bench && r.From != Holding {
		return invalid("stock-unknown").WithInt("stock", int64(r.From))
	}
	return first(checkReason(r.Reason), checkSizeOrNone(r.Size), checkN(r.N, MaxEntry))
}

func checkReason(r Reason) error {
	if r < ReasonCut || r > ReasonOther {
		return invalid("reason-unknown").WithInt("reason", int64(r))
	}
	return nil
}

// Split says that N grafts of one size were each made into Pieces, 2 to 6
// sizes, which lie in holding. The hairs of the pieces never exceed those of
// a graft of two or three; "4" means four or more, so its pieces are free. Dish
// is where the pieces lie, and where the graft lay when it was held.
type Split struct {
	From   Stock  `json:"from"`
	Size   Size   `json:"size"`
	Pieces []Size `json:"pieces"`
	N      uint32 `json:"n"`
	Dish   Ref    `json:"dish,omitzero"`
}

// Kind is KindSplit.
func (*Split) Kind() Kind { return KindSplit }

func (s *Split) fields(f *fields) {
	number(f, 1, &s.From)
	number(f, 2, &s.Size)
	numbers(f, 3, &s.Pieces)
	number(f, 4, &s.N)
	ref(f, 5, &s.Dish, KindDish)
}

// Validate needs a stock, Size 2..4, 2..6 pieces whose hairs fit, and N in 1..MaxEntry.
func (s *Split) Validate() error {
	if s.From != Bench && s.From != Holding {
		return invalid("stock-unknown").WithInt("stock", int64(s.From))
	}
	if s.Size < 2 || s.Size > Sizes {
		return invalid("split-size").WithInt("got", int64(s.Size))
	}
	if len(s.Pieces) < 2 || len(s.Pieces) > maxPieces {
		return invalid("split-pieces").WithInt("max", maxPieces)
	}
	hairs := 0
	for _, p := range s.Pieces {
		if err := checkSize(p); err != nil {
			return err
		}
		hairs += int(p)
	}
	if s.Size < Sizes && hairs > int(s.Size) {
		return invalid("split-hairs").WithInt("size", int64(s.Size)).WithInt("hairs", int64(hairs))
	}
	return checkN(s.N, MaxEntry)
}
