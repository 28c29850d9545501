package session

import (
	"rootledger/shared/event"
)

// Difference is two tallies that should agree and do not. Amount is the stock
// that shows it, in attempts, grafts or sites: below zero, one tally is ahead
// of the other; above zero, something is still lying there when nothing should.
// When the objects were counted again and the ledger said otherwise, Amount is
// Ledger − Counted.
type Difference struct {
	What       event.Identity `json:"what"`
	At         event.Ref      `json:"at"`   // the pass, zone or dish, when it is about one
	Size       event.Size     `json:"size"` // 0 when it is about all
	Amount     int64          `json:"amount"`
	SinceMs    int64          `json:"sinceMs"`    // newest count in either tally, or the recount, session's clock
	Open       bool           `json:"open"`       // every phone of both stations was heard since, or a hand-over, a recount or the end says so
	WaitingFor int64          `json:"waitingFor"` // phones not heard from since, while not open

	Recounted bool   `json:"recounted"` // the objects were counted again
	Counted   int64  `json:"counted"`
	Ledger    int64  `json:"ledger"` // what it said then, late counts and what was settled since included
	CountedMs int64  `json:"countedMs"`
	CountedBy string `json:"countedBy"`

	Settle       int64 `json:"settle"`       // the amount that would settle it; 0: it asks for a correction
	RecountFirst bool  `json:"recountFirst"` // the objects must be counted again before it can be settled
}

// finding is a difference before it is known whether it opens.
type finding struct {
	Difference
	since    event.Stamp
	stations [2]event.Station
	final    bool // the end of the pass, a recount, or the close
}

// differences lists what does not agree. While counting goes on only a stock
// below zero opens; at the end of a pass what is pending, at the close what is
// on the bench, in holding or buried. An identity with a station that does not
// count today is not checked.
func (s *State) differences(f *fold, phones []Phone, nowMs int64) []Difference {
	ended := firstOf(s.ended) != nil
	found := s.passFindings(f, ended)
	found = append(found, s.graftFindings(f, ended)...)
	found = append(found, s.zoneFindings(f, ended)...)
	out := []Difference{}
	for _, one := range found {
		if !f.counts(one.stations[0]) || !f.counts(one.stations[1]) {
			continue
		}
		one.SinceMs = one.since.Ms()
		one.WaitingFor = s.unheard(one, phones, nowMs)
		one.Open = one.final || one.WaitingFor == 0 || s.handedOver(one)
		if one.Open {
			one.WaitingFor = 0
		}
		out = append(out, one.Difference)
	}
	return out
}

// add appends a finding unless its amount is zero once what was settled is added.
func (s *State) addFinding(list []finding, one finding) []finding {
	if one.What == event.Against || one.What == event.Counter || one.What == event.Beyond {
		one.Amount += s.settledOf(one.What, one.At) // the stocks have theirs in them
	}
	if one.Amount == 0 {
		return list
	}
	switch {
	case !one.What.Settles(), one.What == event.SitesOpen && one.Size == 0: // sites are settled by size
	case one.Amount < 0 && (one.What == event.Pending || one.What == event.LeftIn):
	default:
		one.Settle = -one.Amount
	}
	return append(list, one)
}

// settledOf is what was settled of an identity, in all.
func (s *State) settledOf(what event.Identity, at event.Ref) int64 {
	var sum int64
	for _, e := range s.settles {
		if f := e.Fact.(*event.Settled); f.What == what && f.At == at {
			sum += f.Amount
		}
	}
	return sum
}

func (s *State) passFindings(f *fold, ended bool) []finding {
	var out []finding
	newest := s.attempts.Newest()
	add := func(what event.Identity, at event.Ref, amount int64, final bool) {
		out = s.addFinding(out, finding{Difference: Difference{What: what, At: at, Amount: amount}, since: newest,
			stations: [2]event.Station{event.Extraction, event.Extraction}, final: final})
	}
	for _, p := range f.passes {
		closed := p.Ended || ended
		if p.Total.Pending < 0 || closed {
			add(event.Pending, p.Ref, p.Total.Pending, closed)
		}
		add(event.Derived, p.Ref, min(0, p.Total.Outcomes[event.Intact-1]), closed)
		if p.Total.Against > 0 {
			add(event.Against, p.Ref, p.Total.Against, closed)
		}
		ahead := p.Total.Punched - p.Outside - p.Counter
		if p.Told && (ahead+s.settledOf(event.Counter, p.Ref) < 0 || closed) { // taps run ahead of a reading until the pass ends
			add(event.Counter, p.Ref, ahead, closed)
		}
	}
	if f.buried < 0 || ended {
		add(event.LeftIn, event.Ref{}, f.buried, ended)
	}
	return out
}

// stockFinding is what a stock shows: a recount that the ledger does not bear
// out, a stock below zero, or, where nothing should lie at the close, one above.
func (s *State) stockFinding(list []finding, one finding, atClose bool) []finding {
	f, since := s.recountOf(about{one.What, one.At, one.Size})
	if f != nil {
		one.Recounted, one.Counted, one.Ledger, one.CountedMs, one.CountedBy = true, f.Counted, f.Ledger, f.AtMs, f.Person
		if f.Amount != 0 {
			one.Amount, one.since, one.final = f.Amount, since, true
			return s.addFinding(list, one)
		}
	}
	if one.Amount > 0 && !atClose {
		return list
	}
	if f != nil && since >= one.since && one.Amount > 0 {
		before := len(list)
		if list = s.addFinding(list, one); len(list) > before {
			list[before].Settle = 0 // they were counted and are there: they are placed or rejected, not settled
		}
		return list
	}
	one.RecountFirst = true // nobody counted since
	return s.addFinding(list, one)
}

func (s *State) graftFindings(f *fold, ended bool) []finding {
	var out []finding
	newest := s.stocks.Newest()
	of := func(what event.Identity, at event.Ref, amount int64, since event.Stamp, a, b event.Station) finding {
		return finding{Difference: Difference{What: what, At: at, Amount: amount}, since: since,
			stations: [2]event.Station{a, b}, final: ended}
	}
	extraction := max(s.attempts.Newest(), newest.Sorting)
	out = s.stockFinding(out, of(event.OnBench, event.Ref{}, f.bench, extraction, event.Extraction, event.Sorting), ended)
	if f.figures.Beyond {
		other := event.Sorting
		if !f.counts(event.Sorting) {
			other = event.Placing
		}
		out = s.addFinding(out, of(event.Beyond, event.Ref{}, f.figures.Usable-f.stocks.Gained-f.attempts.OutcomeTotal(),
			max(extraction, newest.Placing), event.Extraction, other))
	}
	held := of(event.Held, event.Ref{}, f.stocks.HoldingTotal(), s.touched.held[0], event.Sorting, event.Placing)
	// what is left by size may be what was rejected without one
	inAll := s.sizedFindings(nil, held, f.stocks.Holding(), ended && f.stocks.Unsized() == 0, ended)
	var inDishes []finding
	s.recounted()
	for _, d := range s.stocks.Dishes() {
		if d.Closed() && d.In == (event.BySize{}) && d.Unsized == 0 && !s.recounts.seen[d.Ref] {
			continue // so it is with nearly all dishes late in a day
		}
		in := of(event.InDish, d.Ref, d.Total(), s.touched.held[0], event.Sorting, event.Placing)
		inDishes = s.sizedFindings(inDishes, in, d.In, false, d.Closed())
	}
	settleInDishes(inAll, inDishes)
	return append(append(out, inAll...), inDishes...)
}

// settleInDishes leaves what the dishes show of a size to be settled there:
// settled in the holding too it would be settled twice.
func settleInDishes(inAll, inDishes []finding) {
	var by [event.Sizes + 1]int64
	for _, one := range inDishes {
		by[one.Size] += one.Amount
	}
	for i := range inAll {
		if by[inAll[i].Size] != 0 && inAll[i].Amount == by[inAll[i].Size] {
			inAll[i].Settle = 0
		}
	}
}

// sizedFindings adds what the sizes of a stock show, and what all of it shows
// where that says more than they do.
func (s *State) sizedFindings(list []finding, all finding, sizes event.BySize, sizesAtClose, atClose bool) []finding {
	before, sum := len(list), int64(0)
	for i, n := range sizes {
		one := all
		one.Size, one.Amount = event.Size(i+1), n
		if one.What == event.SitesOpen {
			one.since = s.touched.sites[siteKey{one.At, one.Size}]
		} else {
			one.since = s.touched.held[one.Size]
		}
		list = s.stockFinding(list, one, sizesAtClose)
	}
	for _, one := range list[before:] {
		sum += one.Amount
	}
	total := s.stockFinding(nil, all, atClose)
	if len(total) > 0 && (len(list) == before || total[0].Amount != sum && (total[0].Recounted || atClose && !sizesAtClose)) {
		list = append(list, total[0])
	}
	return list
}

func (s *State) zoneFindings(f *fold, ended bool) []finding {
	var out []finding
	newest := s.stocks.Newest()
	for i, z := range f.zones {
		open, placed := f.zoneDone[i].OpenSites(), f.zoneDone[i].Placed()
		if len(s.recounts.list) == 0 && min(open[0], open[1], open[2], open[3], placed[0], placed[1], placed[2], placed[3]) >= 0 {
			continue // so it is at nearly every tap
		}
		of := func(what event.Identity, amount int64, since event.Stamp, a event.Station) finding {
			return finding{Difference: Difference{What: what, At: z.Ref, Amount: amount}, since: since,
				stations: [2]event.Station{a, event.Placing}, final: ended}
		}
		sites := of(event.SitesOpen, open.Total(), max(newest.Sites, newest.Placing), event.SiteMaking)
		out = s.sizedFindings(out, sites, open, false, false)
		for size, n := range placed {
			one := of(event.PlacedIn, min(0, n), newest.Placing, event.Placing)
			one.Size = event.Size(size + 1)
			one.since = s.touched.sites[siteKey{z.Ref, one.Size}]
			out = s.addFinding(out, one)
		}
	}
	return out
}

// unheard is how many phones of the finding's stations were not heard from
// since it arose: away, heard before it, or with something unsent. A stamp
// ahead of now (a fast clock) only asks that the phone is not away.
func (s *State) unheard(one finding, phones []Phone, nowMs int64) int64 {
	since := one.since.Ms()
	if since > nowMs {
		since = 0
	}
	var n int64
	for _, p := range phones {
		if p.Left || p.Station != one.stations[0] && p.Station != one.stations[1] {
			continue
		}
		// HeardMs is 0 only when all are taken as heard, or beside NothingUnsent false.
		if p.Away || !p.NothingUnsent || p.HeardMs != 0 && p.HeardMs < since {
			n++
		}
	}
	return n
}

// handedOver says whether a hand-over at one of the finding's stations came
// after it arose.
func (s *State) handedOver(one finding) bool {
	for _, h := range s.team().HandOvers() {
		if h.Stamp >= one.since && (h.Station == one.stations[0] || h.Station == one.stations[1]) {
			return true
		}
	}
	return false
}
