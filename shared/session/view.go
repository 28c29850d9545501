package session

import (
	"rootledger/shared/attempt"
	"rootledger/shared/budget"
	"rootledger/shared/donor"
	"rootledger/shared/event"
	"rootledger/shared/holding"
	"rootledger/shared/plan"
	"rootledger/shared/stock"
	"rootledger/shared/team"
)

// View is exactly what screens draw, in sections. Its size is bounded whatever
// the number of events; lists of entries are queries.
type View struct {
	Session     Session      `json:"session"`
	Headline    Headline     `json:"headline"`
	Ledger      Ledger       `json:"ledger"`
	Zones       []Zone       `json:"zones"`
	Regions     []Region     `json:"regions"`
	Passes      []Pass       `json:"passes"`
	Phones      []Phone      `json:"phones"`
	Differences []Difference `json:"differences"`
	Asks        []Ask        `json:"asks"`
	Own         Own          `json:"own"`
	Conflicts   []Conflict   `json:"conflicts"`
	Mix         Mix          `json:"mix"`
	Pace        Pace         `json:"pace"`
	Taken       []Taken      `json:"taken"`
	Dishes      []Dish       `json:"dishes"`
	Recounts    []Recount    `json:"recounts"`
	Settles     []Settle     `json:"settles"`
	Setups      []Setup      `json:"setups"`
	Chosen      []Chosen     `json:"chosen"`
	Trials      []Trial      `json:"trials"`
	Quality     Quality      `json:"quality"`
	TimeOut     TimeOut      `json:"timeOut"`
	Doses       Doses        `json:"doses"`
	Flow        Flow         `json:"flow"`
}

// Session says which session this is. Times in ms since 1970 by its clock.
type Session struct {
	ID       string          `json:"id"` // as a device knows it, before it is told of the opening; "" where only the log speaks
	Case     string          `json:"case"`
	Room     string          `json:"room"`
	Practice bool            `json:"practice"`
	Stations []event.Station `json:"stations"`
	OpenedMs int64           `json:"openedMs"` // 0 until it is opened
	EndedMs  int64           `json:"endedMs"`  // 0 while it runs
	Events   int64           `json:"events"`
	Waiting  int64           `json:"waiting"` // events kept but not counted
	Splits   int64           `json:"splits"`  // phones whose history split: they were copied or restored; all of it counts
}

// Headline is the figure on the wall. Its unknowns are 0 beside a false flag.
type Headline struct {
	BudgetKnown bool         `json:"budgetKnown"`
	Budget      int64        `json:"budget"`   // grafts
	ToTake      int64        `json:"toTake"`   // R, grafts
	Usable      int64        `json:"usable"`   // U, grafts
	OnTheWay    int64        `json:"onTheWay"` // W, grafts
	Attempts    int64        `json:"attempts"` // A
	RangeKnown  bool         `json:"rangeKnown"`
	Low         int64        `json:"low"` // 95 % range of A
	High        int64        `json:"high"`
	HighOpen    bool         `json:"highOpen"`
	DonorKnown  bool         `json:"donorKnown"`
	DonorLeft   int64        `json:"donorLeft"` // D, attempts
	Stops       budget.Stops `json:"stops"`
	StopAt      int64        `json:"stopAt"`    // attempts
	Carried     string       `json:"carried"`   // which tally carries the total: "placed", "sorted" or "bench"
	Away        int64        `json:"away"`      // phones at a counting station that are not heard now
	Held        int64        `json:"held"`      // attempts that those may have taken within their shares
	StopFrom    int64        `json:"stopFrom"`  // StopAt, if they took all of it; not below 0
	SharedOut   int64        `json:"sharedOut"` // attempts that all phones may still take alone
	AtRisk      int64        `json:"atRisk"`    // how far Held is above StopAt
}

// Ledger is every stock and sum of the session, in attempts and grafts.
type Ledger struct {
	Attempts         attempt.Counts  `json:"attempts"`
	Out              int64           `json:"out"`
	BuriedOpen       int64           `json:"buriedOpen"`
	Judged           int64           `json:"judged"`
	Kept             int64           `json:"kept"`
	Bench            int64           `json:"bench"`
	Sorted           event.BySize    `json:"sorted"`
	Holding          event.BySize    `json:"holding"`
	HoldingUnsized   int64           `json:"holdingUnsized"` // of no known size: rejected at placing so, below zero, and settled
	HoldingTotal     int64           `json:"holdingTotal"`
	Placed           event.BySize    `json:"placed"`
	PlacedTotal      int64           `json:"placedTotal"`
	ToSort           event.BySize    `json:"toSort"` // need − placed − holding, not below 0
	OutcomesTotal    int64           `json:"outcomesTotal"`
	RejectedBench    int64           `json:"rejectedBench"`
	RejectedPlacing  int64           `json:"rejectedPlacing"`
	Gained           int64           `json:"gained"` // G, by splitting
	OpenSites        int64           `json:"openSites"`
	KeptShare        budget.Fraction `json:"keptShare"` // k
	Yield            budget.Fraction `json:"yield"`     // y
	PlannedPerMille  int64           `json:"plannedPerMille"`
	NeedTotal        int64           `json:"needTotal"`        // grafts, all zones
	CapacityTotal    int64           `json:"capacityTotal"`    // attempts, all regions
	CapacityGrafts   int64           `json:"capacityGrafts"`   // what that yields at the planned yield
	PunchedNowhere   int64           `json:"punchedNowhere"`   // attempts that name no region
	BudgetsStanding  int64           `json:"budgetsStanding"`  // above 1 the lead must choose
	YieldsStanding   int64           `json:"yieldsStanding"`   // above 1 the lead must choose
	BudgetLimitedBy  budget.Stops    `json:"budgetLimitedBy"`  // which side is smaller: need or donor
	BudgetAboveLimit bool            `json:"budgetAboveLimit"` // the budget is above the smaller side
	BudgetMax        int64           `json:"budgetMax"`        // grafts: the smaller side; 0 while neither is known
	Shortfall        int64           `json:"shortfall"`        // grafts that the plan needs and the donor has not
	FloorHairs10     int64           `json:"floorHairs10"`     // hairs per cm² × 10 that should stand
	FloorsStanding   int64           `json:"floorsStanding"`   // above 1 the lead must choose
}

// Zone is one recipient zone: its plan and what was done there.
type Zone struct {
	Ref         event.Ref           `json:"ref"`
	Name        string              `json:"name"`
	AreaMM2     int64               `json:"areaMm2"`
	Density10   int64               `json:"density10"`
	Mix         [event.Sizes]uint16 `json:"mixPerMille"`
	Need        event.BySize        `json:"need"`
	Sites       event.BySize        `json:"sites"`
	Open        event.BySize        `json:"openSites"`
	Placed      event.BySize        `json:"placed"`
	NeedTotal   int64               `json:"needTotal"`
	SitesTotal  int64               `json:"sitesTotal"`
	OpenTotal   int64               `json:"openTotal"`
	PlacedTotal int64               `json:"placedTotal"`
	Hairs       int64               `json:"hairs"`            // placed, at least: 4 is four or more
	PerGraft100 int64               `json:"hairsPerGraft100"` // of those placed, × 100; 0 while unknown
	ToPlace     int64               `json:"toPlace"`          // need − placed, not below 0
	ToMake      int64               `json:"toMake"`           // need − sites made, not below 0
	Between     int64               `json:"between"`          // standing edits; above 1 the lead must choose
}

// Region is one donor region and what is left of it, in attempts.
type Region struct {
	Ref             event.Ref `json:"ref"`
	Code            string    `json:"code"`
	Name            string    `json:"name"`
	AreaMM2         int64     `json:"areaMm2"`
	Density10       int64     `json:"density10"`
	Today           bool      `json:"today"`
	SharePerMille   int64     `json:"sharePerMille"`
	Harvested       int64     `json:"harvested"`
	HairsPerUnit100 int64     `json:"hairsPerUnit100"`
	Capacity        int64     `json:"capacity"`
	Punched         int64     `json:"punched"`
	Left            int64     `json:"left"` // below zero when past its capacity
	Between         int64     `json:"between"`

	PerCM2x10       int64 `json:"perCm2x10"`       // attempts of this session per cm² × 10
	ShareTaken      int64 `json:"shareTaken"`      // harvested and attempted, of the native units, in parts of 10,000
	ResidualUnits10 int64 `json:"residualUnits10"` // units per cm² × 10 that stand, if every attempt took one
	HairsKnown      bool  `json:"hairsKnown"`      // hairs per unit are known
	ResidualHairs10 int64 `json:"residualHairs10"` // hairs per cm² × 10 that stand
	BelowFloor      bool  `json:"belowFloor"`
	PastShare       bool  `json:"pastShare"`
}

// Taken is what one pass took from one region; a zero region is none.
type Taken struct {
	Region  event.Ref `json:"region"`
	Pass    event.Ref `json:"pass"`
	Punched int64     `json:"punched"`
	Out     int64     `json:"out"`
}

// Mix is what the sorting leads to, by size.
type Mix struct {
	Known          bool         `json:"known"`  // something is sorted and a zone says what is needed
	Sorted         event.BySize `json:"sorted"` // so far: sorted, pieces of splits, less those split out of the holding
	SortedTotal    int64        `json:"sortedTotal"`
	Remaining      int64        `json:"remaining"` // grafts still to be sorted
	Need           event.BySize `json:"need"`
	Expected       event.BySize `json:"expected"` // in the end
	Over           event.BySize `json:"over"`     // expected − need; below zero it will be short
	Splits         event.BySize `json:"splits"`   // grafts to split for the singles, by their size
	SplitsTotal    int64        `json:"splitsTotal"`
	Covered        bool         `json:"covered"`          // no single is short after those splits
	After          event.BySize `json:"after"`            // Over after them
	Hairs          int64        `json:"hairs"`            // sorted, at least: 4 is four or more
	PerGraft100    int64        `json:"hairsPerGraft100"` // of those sorted, × 100; 0 while unknown
	HairsPlaced    int64        `json:"hairsPlaced"`
	PlacedGraft100 int64        `json:"placedPerGraft100"`
}

// Dish is one container of the holding that is open, or has something in it.
type Dish struct {
	Ref      event.Ref    `json:"ref"`
	Label    string       `json:"label"`
	Size     event.Size   `json:"size"` // 0: mixed
	OpenedMs int64        `json:"openedMs"`
	Closed   bool         `json:"closed"`
	In       event.BySize `json:"in"`
	Total    int64        `json:"total"`

	SinceMs int64         `json:"sinceMs"` // since when its oldest graft lies in it, first-in-first-out, ms since 1970; 0 for none
	HeldMin int64         `json:"heldMin"` // how long that is, whole minutes: it was out for longer
	Held    holding.Level `json:"held"`
}

// Pass is one pass and its counts.
type Pass struct {
	Ref        event.Ref      `json:"ref"`
	Mode       event.Mode     `json:"mode"`
	DiameterUM int64          `json:"diameterUm"`
	Operator   string         `json:"operator"`
	BegunMs    int64          `json:"begunMs"`
	Ended      bool           `json:"ended"`
	Counts     attempt.Counts `json:"counts"`
	Told       bool           `json:"told"`    // counted each, and counters say something too
	Counter    int64          `json:"counter"` // what they say
	Outside    int64          `json:"outside"` // outcomes that they can not know of: before the first reading, or before counting began
}

// Phone is one replica: who holds it, where, and how fresh it is.
type Phone struct {
	Replica       event.ReplicaID `json:"replica"`
	Person        string          `json:"person"`
	Station       event.Station   `json:"station"`
	Left          bool            `json:"left"`
	Away          bool            `json:"away"`
	HeardMs       int64           `json:"heardMs"` // 0 when every phone is taken as heard
	NothingUnsent bool            `json:"nothingUnsent"`
	ClockAheadMs  int64           `json:"clockAheadMs"` // how far its wall clock was off when that was last noted, below zero behind
	ShareKnown    bool            `json:"shareKnown"`   // it was given a share of the attempts left
	ShareLeft     int64           `json:"shareLeft"`    // attempts, below zero past its share
	Own           team.Own        `json:"own"`
}

// Own is the tally of the phone that asks, since its last hand-over.
type Own struct {
	Person  string        `json:"person"`
	Station event.Station `json:"station"`
	Tally   team.Own      `json:"tally"`
	Count   int64         `json:"count"`   // what this station counts, in all
	Rejects int64         `json:"rejects"` // grafts rejected by this phone
	Last    []Entry       `json:"last"`    // newest first, at most lastEntries

	ClockAheadMs int64 `json:"clockAheadMs"` // as in Phone
	ShareKnown   bool  `json:"shareKnown"`   // as in Phone
	ShareLeft    int64 `json:"shareLeft"`
}

// Link is what the room's server last said of one replica.
type Link struct {
	HeardMs       int64 // by the session's clock, ms since 1970
	NothingUnsent bool
}

// Links is the state of the room's phones; nil means "all heard", as in replay
// and on the sheet.
type Links map[event.ReplicaID]Link

// AwayAfterMs is how long a phone is silent, by the session's clock, before it
// is away: 15 s, or three rounds of the server's links on a fast practice clock.
func AwayAfterMs(speed uint32) int64 { return max(15_000, 300*int64(speed)) }

// View works out what the replica me draws at now (ms since 1970, the
// session's clock). The same events, me, now and links give equal views.
func (s *State) View(me event.ReplicaID, nowMs int64, links Links) View {
	f := s.fold()
	v := View{Session: s.sessionView()}
	v.Zones, v.Regions, v.Passes = f.zoneViews(), f.regionViews(), s.passViews(f)
	v.Phones = s.phoneViews(nowMs, links)
	v.Ledger = f.ledger()
	v.Headline = f.headline()
	v.Headline.hold(f, v.Phones)
	v.Differences = s.differences(f, v.Phones, nowMs)
	v.Conflicts = s.conflicts(f)
	v.Pace = s.pace(f, nowMs)
	v.Mix, v.Taken, v.Recounts, v.Settles = f.mix(), f.taken(), s.Recounted(), s.settleViews()
	v.Setups, v.Chosen = s.setupViews(v.Passes)
	v.Trials = s.trialViews()
	v.Quality = s.quality(f, v.Passes, me)
	v.TimeOut = s.timeOut(f, &v.Pace, nowMs)
	v.Flow = s.flowOf(me, &v.Session, nowMs)
	v.Dishes = s.dishViews(nowMs)
	v.Doses = s.doseView()
	v.Asks = asks(&v)
	v.Own = s.own(me, v.Phones)
	return v
}

// fold is the nouns' answers, read once for one view.
type fold struct {
	stations []event.Station
	passes   []attempt.Pass
	attempts attempt.Counts
	nowhere  int64
	zones    []plan.Zone
	zoneDone []stock.ZoneCounts
	regions  []donor.Region
	punched  []int64 // by region, in the order of regions
	stocks   stock.Counts
	bench    int64
	buried   int64

	tallies  budget.Tallies
	figures  budget.Figures
	budgets  int
	yields   int
	need     int64
	capacity int64
	limit    budget.Limit
	floor10  int64
	floors   int
	watches  int
}

func (s *State) fold() *fold {
	f := &fold{passes: s.attempts.Passes(), zones: s.plans.Zones(), regions: s.donors.Regions(), stocks: s.stocks.Counts()}
	if o := s.opening(); o != nil {
		f.stations = o.Fact.(*event.Opened).Stations
	}
	f.punched = make([]int64, len(f.regions))
	for _, p := range f.passes {
		f.attempts = f.attempts.Plus(p.Total)
		for _, r := range p.ByRegion {
			if at := f.regionAt(r.Region); at >= 0 {
				f.punched[at] += r.Counts.Punched
			} else {
				f.nowhere += r.Counts.Punched
			}
		}
	}
	f.zoneDone = make([]stock.ZoneCounts, 0, len(f.zones))
	for _, z := range f.zones {
		f.zoneDone = append(f.zoneDone, s.stocks.Zone(z.Ref))
		f.need += z.Need.Total()
	}
	capacities := make([]int64, len(f.regions))
	for i, r := range f.regions {
		capacities[i] = r.Capacity
		f.capacity += max(0, r.Capacity)
	}
	f.bench = f.attempts.Out() - f.stocks.Judged() + f.stocks.SettledBench
	f.buried = f.attempts.BuriedOpen() + s.attempts.Left()
	f.budgets, f.yields = len(s.budgets.GraftHeads()), len(s.budgets.YieldHeads())
	f.tallies = budget.Tallies{
		CountsExtraction: f.counts(event.Extraction), CountsSorting: f.counts(event.Sorting),
		Outcomes: f.attempts.OutcomeTotal(), Pending: f.attempts.Pending,
		Kept: f.stocks.Kept(), Judged: f.stocks.Judged(), Bench: f.bench,
		Holding: f.stocks.HoldingTotal(), Placed: f.stocks.Placed().Total(), Gained: f.stocks.Gained,
		YieldPerMille: s.budgets.YieldPerMille(),
		DonorKnown:    len(f.regions) > 0, DonorLeft: donor.Left(capacities, f.punched, f.nowhere),
	}
	f.tallies.Grafts, f.tallies.BudgetKnown = s.budgets.Grafts()
	f.limit = budget.LimitOf(f.need, len(f.zones) > 0, f.capacity, len(f.regions) > 0, f.tallies.YieldPerMille)
	f.floor10, f.floors = s.donors.Floor10(), len(s.donors.FloorHeads())
	f.watches = len(s.qualities.WatchHeads())
	f.figures = budget.Compute(f.tallies)
	return f
}

// counts says whether a station counts today; before the session is opened, all do.
func (f *fold) counts(station event.Station) bool {
	if f.stations == nil {
		return station >= event.Extraction && station <= event.Placing
	}
	for _, s := range f.stations {
		if s == station {
			return true
		}
	}
	return false
}

func (f *fold) regionAt(ref event.Ref) int {
	for i, r := range f.regions {
		if r.Ref == ref {
			return i
		}
	}
	return -1
}

// opening is the event that opened the session: of several, the first in the
// total order. Nil until one is known.
func (s *State) opening() *event.Event { return firstOf(s.opened) }

func firstOf(events []*event.Event) *event.Event {
	var first *event.Event
	for _, e := range events {
		if first == nil || event.Before(e, first) {
			first = e
		}
	}
	return first
}
