package budget

import (
	"crypto/sha256"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// dayA is a half-counted day: 500 punched, 180 pulled, 156 off the bench.
// All wanted figures in this file are computed from the definitions.
func dayA() Tallies {
	return Tallies{CountsExtraction: true, CountsSorting: true,
		Outcomes: 180, Pending: 320, Kept: 150, Judged: 156, Bench: 13, Holding: 150,
		Grafts: 2000, BudgetKnown: true, YieldPerMille: 880, DonorLeft: 2100, DonorKnown: true}
}

func TestCompute(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Tallies)
		usable int64
		way    int64
		take   int64
		a      int64
		low    int64 // 0 when there is no range
		high   int64 // -1 when it is open
		stopAt int64
		stops  Stops
		beyond bool
	}{
		{"as counted", func(*Tallies) {}, 163, 289, 1548, 1717, 1647, 1813, 1717, StopsNeed, false},
		{"the donor ends first", func(t *Tallies) { t.DonorLeft = 1716 }, 163, 289, 1548, 1717, 1647, 1813, 1716, StopsDonor, false},
		{"a tie names the need", func(t *Tallies) { t.DonorLeft = 1717 }, 163, 289, 1548, 1717, 1647, 1813, 1717, StopsNeed, false},
		{"nothing left to take from", func(t *Tallies) { t.DonorLeft = 0 }, 163, 289, 1548, 1717, 1647, 1813, 0, StopsDonor, false},
		{"no region", func(t *Tallies) { t.DonorKnown, t.DonorLeft = false, 0 }, 163, 289, 1548, 1717, 1647, 1813, 1717, StopsNeed, false},
		{"no budget", func(t *Tallies) { t.BudgetKnown, t.Grafts = false, 0 }, 163, 289, 0, 0, 0, 0, 0, StopsUnknown, false},
		{"neither", func(t *Tallies) { t.BudgetKnown, t.DonorKnown = false, false }, 163, 289, 0, 0, 0, 0, 0, StopsUnknown, false},
		{"a budget of 0", func(t *Tallies) { t.Grafts = 0 }, 163, 289, 0, 0, 0, 0, 0, StopsNeed, false},
		{"a budget that is met", func(t *Tallies) { t.Grafts = 452 }, 163, 289, 0, 0, 0, 0, 0, StopsNeed, false},
		{"one short of it", func(t *Tallies) { t.Grafts = 453 }, 163, 289, 1, 2, 2, 2, 2, StopsNeed, false},
		{"extraction does not count", func(t *Tallies) { t.CountsExtraction = false }, 163, 282, 1555, 1768, 0, 0, 1768, StopsNeed, false},
		{"sorting does not count", func(t *Tallies) { t.CountsSorting = false; t.Kept, t.Judged = 0, 156 }, 163, 289, 1548, 1717, 1647, 1813, 1717, StopsNeed, false},
		{"pending below zero", func(t *Tallies) { t.Pending = -20 }, 163, 0, 1837, 2037, 1954, 2152, 2037, StopsNeed, false},
		{"a bench below zero", func(t *Tallies) { t.Bench = -40 }, 150, 269, 1581, 1883, 1796, 2048, 1883, StopsNeed, false},
		{"more placed than sorted", func(t *Tallies) { t.Placed, t.Holding, t.Bench = 170, -20, 0 }, 170, 299, 1531, 1638, 1580, 1700, 1638, StopsNeed, false},
		{"grafts gained do not yield", func(t *Tallies) { t.Gained = 12; t.Holding += 12 }, 175, 289, 1536, 1704, 1634, 1799, 1704, StopsNeed, false},
		{"all came", func(t *Tallies) { t.Holding, t.Bench = 180, 0 }, 180, 315, 1505, 1532, 1505, 1538, 1532, StopsNeed, false},
		{"more than all", func(t *Tallies) { t.Holding = 300; t.Bench = 0 }, 300, 320, 1380, 1380, 0, 0, 1380, StopsNeed, true},
		{"outcomes below zero", func(t *Tallies) { t.Outcomes = -3 }, 163, 320, 1517, 1517, 0, 0, 1517, StopsNeed, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := dayA()
			tt.change(&in)
			f := Compute(in)
			type row struct{ usable, way, take, a, low, high, stopAt int64 }
			got := row{f.Usable, f.OnTheWay, f.ToTake, f.Attempts, f.Low, f.High, f.StopAt}
			if f.HighOpen {
				got.high = -1
			}
			if want := (row{tt.usable, tt.way, tt.take, tt.a, tt.low, tt.high, tt.stopAt}); got != want {
				t.Errorf("got %+v, want %+v", got, want)
			}
			if f.Stops != tt.stops || f.Beyond != tt.beyond {
				t.Errorf("got %v first, beyond %v, want %v, %v", f.Stops, f.Beyond, tt.stops, tt.beyond)
			}
		})
	}
}

func TestHalvesRoundUp(t *testing.T) {
	half := Tallies{CountsSorting: true, Judged: 30, YieldPerMille: 500} // k = 30/60, y = 1/2
	tests := []struct {
		name           string
		bench, pending int64
		usable, way    int64
	}{
		{"one half", 1, 1, 1, 1},
		{"whole", 2, 2, 1, 1},
		{"one and a half", 3, 3, 2, 2},
		{"nothing", 0, 0, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := half
			in.Bench, in.Pending = tt.bench, tt.pending
			if f := Compute(in); f.Usable != tt.usable || f.OnTheWay != tt.way {
				t.Errorf("got %d usable, %d on the way, want %d, %d", f.Usable, f.OnTheWay, tt.usable, tt.way)
			}
		})
	}
}

func TestSharesBeforeAnythingIsSeen(t *testing.T) {
	f := Compute(Tallies{CountsExtraction: true, CountsSorting: true, YieldPerMille: 880, Grafts: 88, BudgetKnown: true})
	if !equal(f.Kept, 1, 1) || !equal(f.Yield, 880, 1000) || f.Attempts != 100 || f.RangeKnown {
		t.Errorf("got k %v, y %v, %d attempts, range %v, want 1, 0.88, 100, false", f.Kept, f.Yield, f.Attempts, f.RangeKnown)
	}
}

func TestSharesOfStationsThatDoNotCount(t *testing.T) {
	in := dayA()
	in.Kept, in.Judged = 100, 200
	in.CountsExtraction = false
	if f := Compute(in); !equal(f.Yield, 880, 1000) || f.Beyond || f.RangeKnown {
		t.Errorf("no extraction: got y %v, beyond %v, range %v, want the planned 0.88", f.Yield, f.Beyond, f.RangeKnown)
	}
	in.CountsSorting = false
	if f := Compute(in); !equal(f.Kept, 1, 1) || f.Usable != 163 {
		t.Errorf("no sorting: got k %v and %d usable, want 1 and 163", f.Kept, f.Usable)
	}
}

func TestTheRangeNeedsThirtyOutcomes(t *testing.T) {
	tests := []struct {
		name               string
		planned            int64 // per mille
		outcomes, holding  int64
		known, open        bool
		a, low, high, take int64
	}{
		{"29 outcomes", 900, 29, 26, false, false, 1085, 0, 0, 974},
		{"30 outcomes", 900, 30, 27, true, false, 1082, 1008, 1309, 973},
		{"30 outcomes, none usable", 900, 30, 0, true, true, 2223, 2223, 2223, 1000},
		{"30 outcomes, all usable", 900, 30, 30, true, false, 1022, 970, 1095, 970},
		{"far better than planned", 1, 30, 30, true, false, 1939, 970, 1939, 970},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := Compute(Tallies{CountsExtraction: true, CountsSorting: true, Grafts: 1000, BudgetKnown: true, YieldPerMille: tt.planned,
				Outcomes: tt.outcomes, Holding: tt.holding, Kept: tt.holding, Judged: tt.holding})
			if f.RangeKnown != tt.known || f.HighOpen != tt.open {
				t.Errorf("got known %v, open %v, want %v, %v", f.RangeKnown, f.HighOpen, tt.known, tt.open)
			}
			if got, want := [4]int64{f.Attempts, f.Low, f.High, f.ToTake}, [4]int64{tt.a, tt.low, tt.high, tt.take}; got != want {
				t.Errorf("attempts, low, high, to take: got %v, want %v", got, want)
			}
		})
	}
}

func equal(f Fraction, num, den int64) bool { return f.Num*den == num*f.Den && f.Den > 0 }

func rat(num, den int64) *big.Rat { return big.NewRat(num, den) }

// halfUp and up round an exact fraction of zero or more.
func halfUp(r *big.Rat) int64 {
	r = new(big.Rat).Add(r, rat(1, 2))
	return new(big.Int).Div(r.Num(), r.Denom()).Int64()
}

func up(r *big.Rat) int64 {
	n := new(big.Int).Add(r.Num(), r.Denom())
	return n.Sub(n, big.NewInt(1)).Div(n, r.Denom()).Int64()
}

func drawTallies(rt *rapid.T) Tallies {
	n := func(name string, lo, hi int64) int64 { return rapid.Int64Range(lo, hi).Draw(rt, name) }
	kept := n("kept", 0, 5000)
	return Tallies{
		CountsExtraction: rapid.Bool().Draw(rt, "extraction"), CountsSorting: rapid.Bool().Draw(rt, "sorting"),
		Outcomes: n("outcomes", -50, 8000), Pending: n("pending", -300, 5000), Kept: kept, Judged: kept + n("rejected", 0, 500),
		Bench: n("bench", -300, 4000), Holding: n("holding", -300, 4000), Placed: n("placed", -20, 5000), Gained: n("gained", 0, 900),
		Grafts: n("grafts", 0, event.MaxBudget), BudgetKnown: rapid.Bool().Draw(rt, "budget known"), YieldPerMille: n("planned", 1, 1000),
		DonorLeft: n("donor left", 0, 12_000), DonorKnown: rapid.Bool().Draw(rt, "donor known"),
	}
}

func TestComputeInExactFractions(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := drawTallies(rt)
		f := Compute(in)
		k, y := rat(1, 1), rat(in.YieldPerMille, 1000)
		if in.CountsSorting {
			k = rat(in.Kept+30, in.Judged+30)
		}
		usable := max(in.Placed, in.Holding+in.Placed+halfUp(new(big.Rat).Mul(rat(max(0, in.Bench), 1), k)))
		if in.CountsExtraction {
			y.Mul(y, rat(30, 1)).Add(y, rat(max(0, usable-in.Gained), 1)).Quo(y, rat(max(0, in.Outcomes)+30, 1))
			if y.Cmp(rat(1, 1)) > 0 {
				y = rat(1, 1)
			}
		}
		way := halfUp(new(big.Rat).Mul(rat(max(0, in.Pending), 1), y))
		take, attempts := int64(0), int64(0)
		if in.BudgetKnown {
			take = max(0, in.Grafts-usable-way)
			attempts = up(new(big.Rat).Quo(rat(take, 1), y))
		}
		if rat(f.Kept.Num, f.Kept.Den).Cmp(k) != 0 || rat(f.Yield.Num, f.Yield.Den).Cmp(y) != 0 {
			rt.Fatalf("k, y: got %v, %v, want %v, %v", f.Kept, f.Yield, k, y)
		}
		got, want := [4]int64{f.Usable, f.OnTheWay, f.ToTake, f.Attempts}, [4]int64{usable, way, take, attempts}
		if got != want {
			rt.Fatalf("U, W, R, A: got %v, want %v", got, want)
		}
		checkOrder(rt, in, f)
	})
}

// checkOrder holds for every tally, however strange.
func checkOrder(rt *rapid.T, in Tallies, f Figures) {
	if f.ToTake < 0 || f.OnTheWay < 0 || f.Attempts < f.ToTake || f.StopAt < 0 {
		rt.Fatalf("below zero, or fewer attempts than grafts: %+v", f)
	}
	if f.RangeKnown && (f.Low > f.Attempts || f.High < f.Attempts || f.Low < f.ToTake) {
		rt.Fatalf("A is outside its range: %+v", f)
	}
	if !f.RangeKnown && (f.Low != 0 || f.High != 0 || f.HighOpen) {
		rt.Fatalf("a range that is not known: %+v", f)
	}
	if f.Stops == StopsNeed && in.DonorKnown && f.StopAt > in.DonorLeft || f.Stops == StopsDonor && f.StopAt >= f.Attempts {
		rt.Fatalf("%v stops first at %d: %+v of %+v", f.Stops, f.StopAt, f, in)
	}
}

// made is an event of one replica, as an edit of the plan needs it.
func made(replica byte, seq uint64, fact event.Fact) *event.Event {
	e := &event.Event{Replica: event.ReplicaID{replica}, Seq: seq, Stamp: event.Stamp(seq), Fact: fact}
	e.Hash = sha256.Sum256(event.Encode(e))
	return e
}

func TestEditsMadeApart(t *testing.T) {
	first := made(1, 1, &event.Budget{Grafts: 2000})
	a := made(1, 2, &event.Budget{Grafts: 1800, Supersedes: []event.Ref{first.Ref()}})
	b := made(2, 1, &event.Budget{Grafts: 1900, Supersedes: []event.Ref{first.Ref()}})
	last := made(2, 2, &event.Budget{Grafts: 2500, Supersedes: []event.Ref{a.Ref(), b.Ref()}})
	slow, fast := made(1, 3, &event.Yield{PerMille: 850}), made(2, 3, &event.Yield{PerMille: 930})
	tests := []struct {
		name              string
		events            []*event.Event
		grafts            int64
		known             bool
		yield             int64
		budgets, yieldsUp int
	}{
		{"nothing set", nil, 0, false, DefaultYieldPerMille, 0, 0},
		{"one", []*event.Event{first, slow}, 2000, true, 850, 1, 1},
		{"the smallest budget, the largest yield", []*event.Event{first, a, b, slow, fast}, 1800, true, 930, 2, 2},
		{"the same, newest first", []*event.Event{fast, slow, b, a, first}, 1800, true, 930, 2, 2},
		{"decided", []*event.Event{first, a, b, last}, 2500, true, DefaultYieldPerMille, 1, 0},
		{"decided before the others came", []*event.Event{last, b, first, a}, 2500, true, DefaultYieldPerMille, 1, 0},
		{"other kinds", []*event.Event{made(3, 1, &event.Note{Text: "x"})}, 0, false, DefaultYieldPerMille, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var b Budget
			for _, e := range tt.events {
				b.Add(e, 1)
			}
			if grafts, known := b.Grafts(); grafts != tt.grafts || known != tt.known || b.YieldPerMille() != tt.yield {
				t.Errorf("got %d, %v, yield %d, want %d, %v, %d", grafts, known, b.YieldPerMille(), tt.grafts, tt.known, tt.yield)
			}
			if got, want := [2]int{len(b.GraftHeads()), len(b.YieldHeads())}, [2]int{tt.budgets, tt.yieldsUp}; got != want {
				t.Errorf("standing: got %v, want %v", got, want)
			}
		})
	}
}

func TestNamesOfWhatStops(t *testing.T) {
	for s, want := range map[Stops]string{StopsUnknown: "unknown", StopsNeed: "need", StopsDonor: "donor"} {
		if got, err := s.MarshalText(); string(got) != want || err != nil {
			t.Errorf("got %s, %v, want %s", got, err, want)
		}
	}
}
