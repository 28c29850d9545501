package event

// Kind says what an event is about. Numbers are part of the format: they are
// never changed or used again. Tens group kinds by who taps them.
type Kind uint16

// The kinds.
const (
	KindOpened     Kind = 10
	KindEnded      Kind = 11
	KindJoined     Kind = 12
	KindLeft       Kind = 13
	KindHandedOver Kind = 14

	KindOpeningCount Kind = 15

	KindBudget Kind = 20
	KindZone   Kind = 21
	KindRegion Kind = 22
	KindYield  Kind = 23
	KindFloor  Kind = 24
	KindWatch  Kind = 25

	KindKeeping Kind = 26

	KindPassBegun Kind = 30
	KindPassEnded Kind = 31
	KindFired     Kind = 32
	KindAttempt   Kind = 33
	KindReading   Kind = 34
	KindRetrieved Kind = 35

	KindSetup          Kind = 36
	KindSetupChosen    Kind = 37
	KindTrial          Kind = 38
	KindTrialConcluded Kind = 39

	KindSorted   Kind = 40
	KindRejected Kind = 41
	KindSplit    Kind = 42

	KindInspected Kind = 43
	KindLooked    Kind = 44

	KindSites       Kind = 50
	KindSitesClosed Kind = 51

	KindPlaced   Kind = 60
	KindCameBack Kind = 61

	KindPaused  Kind = 70
	KindResumed Kind = 71
	KindNote    Kind = 72

	KindDish       Kind = 73
	KindDishDone   Kind = 74
	KindDishClosed Kind = 75
	KindRecount    Kind = 76

	KindVoid    Kind = 80
	KindRestore Kind = 81
	KindRefiled Kind = 82
	KindSettled Kind = 83

	KindClockNote Kind = 90
	KindGranted   Kind = 91
	KindReclaimed Kind = 92

	KindAgent    Kind = 100
	KindWeight   Kind = 101
	KindDosed    Kind = 102
	KindDoseRule Kind = 103
)

// Fact is what one event says happened. A fact is a pointer to one of the
// structs of this package; Validate checks what can be checked without
// knowing any other event.
type Fact interface {
	Kind() Kind
	Validate() error
	fields(*fields)
}

type kindRow struct {
	name     string
	empty    func() Fact
	voidable bool
	count    bool // a tally's entry: `late` may be set on it
	server   bool // only a server writes it
}

// kinds is the one place where a kind is registered.
var kinds = [...]kindRow{
	KindOpened:     {name: "opened", empty: func() Fact { return new(Opened) }},
	KindEnded:      {name: "ended", empty: func() Fact { return new(Ended) }},
	KindJoined:     {name: "joined", empty: func() Fact { return new(Joined) }},
	KindLeft:       {name: "left", empty: func() Fact { return new(Left) }},
	KindHandedOver: {name: "handed over", empty: func() Fact { return new(HandedOver) }},

	KindOpeningCount: {name: "opening count", empty: func() Fact { return new(OpeningCount) }, voidable: true, count: true},

	KindBudget: {name: "budget", empty: func() Fact { return new(Budget) }},
	KindZone:   {name: "zone", empty: func() Fact { return new(Zone) }},
	KindRegion: {name: "region", empty: func() Fact { return new(Region) }},
	KindYield:  {name: "yield", empty: func() Fact { return new(Yield) }},
	KindFloor:  {name: "floor", empty: func() Fact { return new(Floor) }},
	KindWatch:  {name: "watch", empty: func() Fact { return new(Watch) }},

	KindKeeping: {name: "keeping", empty: func() Fact { return new(Keeping) }},

	KindPassBegun: {name: "pass begun", empty: func() Fact { return new(PassBegun) }},
	KindPassEnded: {name: "pass ended", empty: func() Fact { return new(PassEnded) }},
	KindFired:     {name: "fired", empty: func() Fact { return new(Fired) }, voidable: true, count: true},
	KindAttempt:   {name: "attempt", empty: func() Fact { return new(Attempt) }, voidable: true, count: true},
	KindReading:   {name: "reading", empty: func() Fact { return new(Reading) }, voidable: true, count: true},
	KindRetrieved: {name: "retrieved", empty: func() Fact { return new(Retrieved) }, voidable: true, count: true},

	KindSetup:          {name: "setup", empty: func() Fact { return new(Setup) }, voidable: true},
	KindSetupChosen:    {name: "setup chosen", empty: func() Fact { return new(SetupChosen) }, voidable: true},
	KindTrial:          {name: "trial", empty: func() Fact { return new(Trial) }, voidable: true},
	KindTrialConcluded: {name: "trial concluded", empty: func() Fact { return new(TrialConcluded) }, voidable: true},

	KindSorted:   {name: "sorted", empty: func() Fact { return new(Sorted) }, voidable: true, count: true},
	KindRejected: {name: "rejected", empty: func() Fact { return new(Rejected) }, voidable: true, count: true},
	KindSplit:    {name: "split", empty: func() Fact { return new(Split) }, voidable: true, count: true},

	KindInspected: {name: "inspected", empty: func() Fact { return new(Inspected) }, voidable: true},
	KindLooked:    {name: "looked", empty: func() Fact { return new(Looked) }, voidable: true},

	KindSites:       {name: "sites", empty: func() Fact { return new(Sites) }, voidable: true, count: true},
	KindSitesClosed: {name: "sites closed", empty: func() Fact { return new(SitesClosed) }, voidable: true, count: true},

	KindPlaced:   {name: "placed", empty: func() Fact { return new(Placed) }, voidable: true, count: true},
	KindCameBack: {name: "came back", empty: func() Fact { return new(CameBack) }, voidable: true, count: true},

	KindPaused:  {name: "paused", empty: func() Fact { return new(Paused) }, voidable: true},
	KindResumed: {name: "resumed", empty: func() Fact { return new(Resumed) }, voidable: true},
	KindNote:    {name: "note", empty: func() Fact { return new(Note) }, voidable: true},

	KindDish:       {name: "dish", empty: func() Fact { return new(Dish) }},
	KindDishDone:   {name: "dish done", empty: func() Fact { return new(DishDone) }, voidable: true, count: true},
	KindDishClosed: {name: "dish closed", empty: func() Fact { return new(DishClosed) }, voidable: true},
	KindRecount:    {name: "recount", empty: func() Fact { return new(Recount) }, voidable: true},

	KindVoid:    {name: "void", empty: func() Fact { return new(Void) }},
	KindRestore: {name: "restore", empty: func() Fact { return new(Restore) }},
	KindRefiled: {name: "refiled", empty: func() Fact { return new(Refiled) }},
	KindSettled: {name: "settled", empty: func() Fact { return new(Settled) }, voidable: true},

	KindClockNote: {name: "clock note", empty: func() Fact { return new(ClockNote) }, server: true},
	KindGranted:   {name: "granted", empty: func() Fact { return new(Granted) }, server: true},
	KindReclaimed: {name: "reclaimed", empty: func() Fact { return new(Reclaimed) }},

	KindAgent:    {name: "agent", empty: func() Fact { return new(Agent) }},
	KindWeight:   {name: "weight", empty: func() Fact { return new(Weight) }},
	KindDosed:    {name: "dosed", empty: func() Fact { return new(Dosed) }, voidable: true},
	KindDoseRule: {name: "dose rule", empty: func() Fact { return new(DoseRule) }},
}

// row is what is registered of a kind, nothing for one that this version does not know.
func (k Kind) row() *kindRow {
	if k < Kind(len(kinds)) {
		return &kinds[k]
	}
	return &unknown
}

var unknown kindRow

// String is the kind's name, or "kind N" for one that this version does not know.
func (k Kind) String() string {
	if row := k.row(); row.empty != nil {
		return row.name
	}
	return "kind " + decimal(uint64(k))
}

// MarshalText writes the kind's name.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Voidable says whether an event of this kind can be undone by a void.
func (k Kind) Voidable() bool { return k.row().voidable }

// Counts says whether an event of this kind is an entry of a tally.
func (k Kind) Counts() bool { return k.row().count }

// ByServer says whether only a server writes events of this kind.
func (k Kind) ByServer() bool { return k.row().server }

// Kinds lists every kind that this version knows, in ascending order.
func Kinds() []Kind {
	var out []Kind
	for k := range kinds {
		if kinds[k].empty != nil {
			out = append(out, Kind(k))
		}
	}
	return out
}

// New returns an empty fact of a kind, or nil for an unknown kind.
func New(k Kind) Fact {
	if row := k.row(); row.empty != nil {
		return row.empty()
	}
	return nil
}

// Unread is the fact of an event that this version can not read: an unknown
// kind, or a known one in a shape that it does not expect. It is kept,
// chained and forwarded, and counts as zero.
type Unread struct{ Of Kind }

// Kind is the kind that the event claims.
func (u *Unread) Kind() Kind { return u.Of }

// Validate always fails: an unread fact is never recorded and never counted.
func (u *Unread) Validate() error { return invalid("kind-unknown").WithInt("kind", int64(u.Of)) }

func (u *Unread) fields(*fields) {}
