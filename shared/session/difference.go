package session

import (
	"rootledger/shared/event"
)

// What names an identity of the ledger that can fail to hold.
type What string

// The identities.
const (
	WhatPending What = "pending" // punched = outcomes + pending, per pass
	WhatIntact  What = "intact"  // derived intact grafts, per pass by exception
	WhatAgainst What = "against" // a counter moved against its direction, per pass
	WhatBuried  What = "buried"  // buried − retrieved
	WhatBench   What = "bench"   // out − judged
	WhatHolding What = "holding" // sorted and not placed, per size (0: in all)
	WhatSites   What = "sites"   // made − placed − closed, per zone and size
	WhatPlaced  What = "placed"  // place taps − came back, per zone and size
	WhatBeyond  What = "beyond"  // more usable grafts than outcomes
)

// Difference is two tallies that should agree and do not. Amount is the stock
// that shows it, in attempts, grafts or sites: below zero, one tally is ahead
// of the other; above zero, something is still lying there when nothing should.
type Difference struct {
	What       What       `json:"what"`
	At         event.Ref  `json:"at"`   // the pass or zone, when it is about one
	Size       event.Size `json:"size"` // 0 when it is about all
	Amount     int64      `json:"amount"`
	SinceMs    int64      `json:"sinceMs"`    // newest count in either tally, session's clock
	Open       bool       `json:"open"`       // every phone of both stations was heard since, or a hand-over or the end says so
	WaitingFor int64      `json:"waitingFor"` // phones not heard from since, while not open
}

// finding is a difference before it is known whether it opens.
type finding struct {
	Difference
	since    event.Stamp
	stations [2]event.Station
	final    bool // the end of the pass, or the close
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

func (s *State) passFindings(f *fold, ended bool) []finding {
	var out []finding
	newest := s.attempts.Newest()
	add := func(what What, at event.Ref, amount int64, final bool) {
		out = append(out, finding{Difference: Difference{What: what, At: at, Amount: amount}, since: newest,
			stations: [2]event.Station{event.Extraction, event.Extraction}, final: final})
	}
	for _, p := range f.passes {
		closed := p.Ended || ended
		if p.Total.Pending < 0 || p.Total.Pending > 0 && closed {
			add(WhatPending, p.Ref, p.Total.Pending, closed)
		}
		if intact := p.Total.Outcomes[event.Intact-1]; intact < 0 {
			add(WhatIntact, p.Ref, intact, closed)
		}
		if p.Total.Against > 0 {
			add(WhatAgainst, p.Ref, p.Total.Against, closed)
		}
	}
	if buried := f.attempts.BuriedOpen(); buried < 0 || buried > 0 && ended {
		add(WhatBuried, event.Ref{}, buried, ended)
	}
	return out
}

func (s *State) graftFindings(f *fold, ended bool) []finding {
	var out []finding
	newest := s.stocks.Newest()
	add := func(what What, size event.Size, amount int64, since event.Stamp, a, b event.Station) {
		out = append(out, finding{Difference: Difference{What: what, Size: size, Amount: amount}, since: since,
			stations: [2]event.Station{a, b}, final: ended})
	}
	extraction := max(s.attempts.Newest(), newest.Sorting)
	if f.bench < 0 || f.bench > 0 && ended {
		add(WhatBench, 0, f.bench, extraction, event.Extraction, event.Sorting)
	}
	if f.figures.Beyond {
		other := event.Sorting
		if !f.counts(event.Sorting) {
			other = event.Placing
		}
		add(WhatBeyond, 0, f.figures.Usable-f.stocks.Gained-f.attempts.OutcomeTotal(), max(extraction, newest.Placing), event.Extraction, other)
	}
	placing := max(newest.Sorting, newest.Placing)
	bySize := false
	sized := f.stocks.RejectedUnsized == 0 // else what is left by size may be what was rejected
	for i, n := range f.stocks.Holding() {
		if n < 0 || n > 0 && ended && sized {
			add(WhatHolding, event.Size(i+1), n, placing, event.Sorting, event.Placing)
			bySize = true
		}
	}
	if total := f.stocks.HoldingTotal(); !bySize && (total < 0 || total > 0 && ended) {
		add(WhatHolding, 0, total, placing, event.Sorting, event.Placing)
	}
	return out
}

func (s *State) zoneFindings(f *fold, ended bool) []finding {
	var out []finding
	newest := s.stocks.Newest()
	for i, z := range f.zones {
		done := f.zoneDone[i]
		open, placed := done.OpenSites(), done.Placed()
		for size := range event.Sizes {
			at := Difference{At: z.Ref, Size: event.Size(size + 1)}
			if open[size] < 0 {
				at.What, at.Amount = WhatSites, open[size]
				out = append(out, finding{Difference: at, since: max(newest.Sites, newest.Placing),
					stations: [2]event.Station{event.SiteMaking, event.Placing}, final: ended})
			}
			if placed[size] < 0 {
				at.What, at.Amount = WhatPlaced, placed[size]
				out = append(out, finding{Difference: at, since: newest.Placing,
					stations: [2]event.Station{event.Placing, event.Placing}, final: ended})
			}
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
