package event

// Identity names an identity of the ledger that can fail to hold: a difference
// is one of these with an amount.
type Identity uint8

// The identities.
const (
	Pending   Identity = iota + 1 // punched − outcomes, of a pass
	Derived                       // intact grafts that are derived, of a pass by exception
	Against                       // steps of a counter against its direction, of a pass
	LeftIn                        // buried − retrieved
	OnBench                       // out − judged
	Held                          // sorted and not placed, of a size or of all
	SitesOpen                     // made − placed − closed, of a zone and size
	PlacedIn                      // place taps − came back, of a zone and size
	Beyond                        // usable grafts − outcomes
	Counter                       // outcomes − what the counters say, of a pass counted each
	InDish                        // in a dish, of a size or of all
)

var identityNames = [...]string{"", "pending", "intact", "against", "buried", "bench", "holding", "sites", "placed", "beyond", "reading", "dish"}

// String is the identity's name.
func (i Identity) String() string { return nameOf(identityNames[:], uint8(i)) }

// MarshalText writes the identity's name.
func (i Identity) MarshalText() ([]byte, error) { return []byte(i.String()), nil }

// ParseIdentity finds an identity by name.
func ParseIdentity(name string) (Identity, bool) {
	i, ok := parseName(identityNames[:], name)
	return Identity(i), ok
}

// Settled closes a difference after the objects were counted again: the lead
// changes the stock by Amount, with a reason. For Pending it is shots in the
// air, taken from what was punched, so below zero; for LeftIn grafts declared
// left, below zero too. It is the only way to change a stock without a count.
type Settled struct {
	What   Identity `json:"what"`
	At     Ref      `json:"at,omitzero"`     // the pass, zone or dish, by What
	Region Ref      `json:"region,omitzero"` // of Pending: where the shots would have been
	Size   Size     `json:"size,omitempty"`
	Amount int64    `json:"amount"`
	Reason string   `json:"reason"`
}

// Kind is KindSettled.
func (*Settled) Kind() Kind { return KindSettled }

func (s *Settled) fields(f *fields) {
	number(f, 1, &s.What)
	ref(f, 2, &s.At, s.at())
	ref(f, 3, &s.Region, KindRegion)
	number(f, 4, &s.Size)
	signed(f, 5, &s.Amount)
	text(f, 6, &s.Reason)
}

// at is the kind of event that At names, 0 when it names none.
func (s *Settled) at() Kind {
	switch s.What {
	case Pending, Against, Counter:
		return KindPassBegun
	case SitesOpen:
		return KindZone
	case InDish:
		return KindDish
	}
	return 0
}

// Settles says whether a difference of this identity can be settled at all.
// Intact grafts below zero and place taps below zero ask for a correction.
func (i Identity) Settles() bool {
	return i >= Pending && i <= InDish && i != Derived && i != PlacedIn
}

// Validate needs an identity that can be settled, the pass, zone or dish that it
// is about, an amount within ±MaxBudget (below zero for Pending and LeftIn), a
// size where the stock has one, and a reason of 1..500 characters.
func (s *Settled) Validate() error {
	sized := s.What == Held || s.What == SitesOpen || s.What == InDish
	switch {
	case !s.What.Settles():
		return invalid("settle-what").WithInt("what", int64(s.What))
	case s.At.IsZero() != (s.at() == 0):
		return invalid("settle-at")
	case s.What != Pending && !s.Region.IsZero(), !sized && s.Size != 0:
		return invalid("settle-at")
	case s.What == SitesOpen && s.Size == 0:
		return checkSize(0)
	case s.Amount == 0 || s.Amount > MaxBudget || s.Amount < -MaxBudget,
		s.Amount > 0 && (s.What == Pending || s.What == LeftIn):
		return invalid("settle-amount").WithInt("got", s.Amount).WithInt("max", MaxBudget)
	}
	return first(checkSizeOrNone(s.Size), checkLines("reason", s.Reason, 1, maxText))
}
