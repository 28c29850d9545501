// Package budget answers: how many more do we need, and may we take them? It
// holds the budget and the planned yield, and computes what is usable, on the
// way, still to take, and when to stop, in whole numbers and exact fractions.
package budget

import (
	"cmp"

	"rootledger/shared/event"
	"rootledger/shared/stats"
)

// DefaultYieldPerMille is the planned yield until the lead sets one: 0.88
// (Kim J, Ko YU, Yi KH 2024: 88.3 to 90.5 %).
const DefaultYieldPerMille = 880

// Prior is the weight, in grafts, of what is expected before anything is seen.
const Prior = 30

// Budget is the budget and yield registers of one session. The zero value is empty.
type Budget struct {
	grafts event.Register[*event.Budget]
	yield  event.Register[*event.Yield]
}

// Add takes an edit of the budget or the planned yield in; it ignores all
// other kinds.
func (b *Budget) Add(e *event.Event, _ int64) {
	switch f := e.Fact.(type) {
	case *event.Budget:
		b.grafts.Add(e, f, f.Supersedes)
	case *event.Yield:
		b.yield.Add(e, f, f.Supersedes)
	}
}

// Grafts is the budget in grafts; known is false until one was set. While
// edits that do not know of each other stand, the smallest counts.
func (b *Budget) Grafts() (grafts int64, known bool) {
	standing := b.GraftsStanding()
	if len(standing) == 0 {
		return 0, false
	}
	return int64(standing[0].Value.Grafts), true
}

// GraftsStanding lists the standing budget edits, the smallest first: the one
// that counts.
func (b *Budget) GraftsStanding() []event.Edit[*event.Budget] {
	return b.grafts.Sorted(func(a, b *event.Budget) int { return cmp.Compare(a.Grafts, b.Grafts) })
}

// YieldPerMille is the planned yield; of several standing edits the largest.
func (b *Budget) YieldPerMille() int64 {
	standing := b.YieldsStanding()
	if len(standing) == 0 {
		return DefaultYieldPerMille
	}
	return int64(standing[0].Value.PerMille)
}

// YieldsStanding lists the standing yield edits, the largest first: the one
// that counts, for it asks for the fewest attempts.
func (b *Budget) YieldsStanding() []event.Edit[*event.Yield] {
	return b.yield.Sorted(func(a, b *event.Yield) int { return cmp.Compare(b.PerMille, a.PerMille) })
}

// GraftHeads are the standing budget edits, what a new one supersedes.
func (b *Budget) GraftHeads() []event.Ref { return b.grafts.Heads() }

// YieldHeads are the standing yield edits, what a new one supersedes.
func (b *Budget) YieldHeads() []event.Ref { return b.yield.Heads() }

// Fraction is an exact rational, Den > 0.
type Fraction struct {
	Num int64 `json:"num"`
	Den int64 `json:"den"`
}

// Tallies is what the room has counted, in grafts and attempts.
type Tallies struct {
	CountsExtraction, CountsSorting bool // whether these stations count today

	Outcomes int64 // attempts with an outcome
	Pending  int64 // attempts without one; may be below zero
	Kept     int64 // off the bench and used
	Judged   int64 // off the bench
	Bench    int64 // may be below zero
	Holding  int64 // may be below zero
	Placed   int64
	Gained   int64 // G, by splitting

	Grafts        int64 // the budget
	BudgetKnown   bool
	YieldPerMille int64 // planned
	DonorLeft     int64 // D, attempts
	DonorKnown    bool
}

// Stops says what ends the taking first.
type Stops uint8

// What may stop first.
const (
	StopsUnknown Stops = iota // no budget is set
	StopsNeed
	StopsDonor
)

// String is the name.
func (s Stops) String() string { return [...]string{"unknown", "need", "donor"}[s] }

// MarshalText writes the name.
func (s Stops) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Figures is the figure on the wall and what it is made of.
type Figures struct {
	Kept   Fraction // k: share of judged grafts that is used
	Yield  Fraction // y: usable grafts per outcome
	Usable int64    // U, grafts

	BenchUsable int64 // of the grafts on the bench, those that will be used
	OnTheWay    int64 // W, grafts
	ToTake      int64 // R, grafts; 0 when no budget is known
	Attempts    int64 // A, attempts; 0 when no budget is known

	RangeKnown bool // Low..High is the 95 % range of Attempts
	Low, High  int64
	HighOpen   bool // High has no end

	StopAt int64 // attempts, 0 when Stops is unknown
	Stops  Stops
	Beyond bool // more usable grafts than outcomes: a difference
}

// mostTallied is how far a tally is believed: a hundred times what any day has,
// and so little that no product below leaves 64 bits, whatever arrives.
const mostTallied = 10_000_000

// Compute works the figures out:
//
//	k = (kept + 30) / (judged + 30)                            1 when sorting is not counted
//	U = max(placed, holding + placed + round_half_up(max(0, bench) × k))
//	y = min(1, (max(0, U − G) + 30 × y0) / (outcomes + 30))    y0 when extraction is not counted
//	W = round_half_up(max(0, pending) × y)
//	R = max(0, budget − U − W)
//	A = ceil(R / y), from 30 outcomes on with the range ceil(R / hi) … ceil(R / lo), Wilson on U − G of outcomes
//	stop at = min(A, D), the need named on a tie
func Compute(t Tallies) Figures {
	for _, n := range []*int64{&t.Outcomes, &t.Pending, &t.Kept, &t.Judged, &t.Bench, &t.Holding, &t.Placed, &t.Gained, &t.DonorLeft} {
		*n = min(max(*n, -mostTallied), mostTallied)
	}
	f := Figures{Kept: Fraction{1, 1}}
	if t.CountsSorting {
		f.Kept = Fraction{t.Kept + Prior, t.Judged + Prior}
	}
	f.BenchUsable = roundHalfUp(max(0, t.Bench), f.Kept)
	f.Usable = max(t.Placed, t.Holding+t.Placed+f.BenchUsable)
	yielded := max(0, f.Usable-t.Gained)
	t.Outcomes = max(0, t.Outcomes) // derived intact grafts can be below zero
	f.Yield = Fraction{t.YieldPerMille, 1000}
	if t.CountsExtraction {
		f.Yield = Fraction{1000*yielded + Prior*t.YieldPerMille, 1000 * (t.Outcomes + Prior)}
		if f.Yield.Num > f.Yield.Den {
			f.Yield = Fraction{1, 1}
		}
		f.Beyond = yielded > t.Outcomes
	}
	f.OnTheWay = roundHalfUp(max(0, t.Pending), f.Yield)
	if t.BudgetKnown {
		f.ToTake = max(0, t.Grafts-f.Usable-f.OnTheWay)
		f.Attempts = ceilDiv(f.ToTake*f.Yield.Den, f.Yield.Num)
		f.attemptRange(t, yielded)
	}
	f.stop(t)
	return f
}

// minOutcomes is how many outcomes a range needs.
const minOutcomes = 30

func (f *Figures) attemptRange(t Tallies, yielded int64) {
	if !t.CountsExtraction || t.Outcomes < minOutcomes || f.Beyond {
		return
	}
	lo, hi := stats.Wilson(yielded, t.Outcomes)
	f.RangeKnown, f.HighOpen = true, true
	f.Low, f.High = f.Attempts, f.Attempts
	if low, ok := stats.CeilQuotient(f.ToTake, hi); ok {
		f.Low = min(low, f.Attempts)
	}
	if high, ok := stats.CeilQuotient(f.ToTake, lo); ok {
		f.High, f.HighOpen = max(high, f.Attempts), false
	}
}

func (f *Figures) stop(t Tallies) {
	switch {
	case t.BudgetKnown && (!t.DonorKnown || f.Attempts <= t.DonorLeft):
		f.StopAt, f.Stops = f.Attempts, StopsNeed
	case t.DonorKnown && t.BudgetKnown:
		f.StopAt, f.Stops = t.DonorLeft, StopsDonor
	}
}

// roundHalfUp is n × f to the nearest whole number, halves up; n >= 0.
func roundHalfUp(n int64, f Fraction) int64 { return (2*n*f.Num + f.Den) / (2 * f.Den) }

func ceilDiv(a, b int64) int64 { return (a + b - 1) / b }
