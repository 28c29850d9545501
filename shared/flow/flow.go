// Package flow answers: where were the grafts, when? It is the cumulative flow of
// a day: what was placed by a time, on it what lay in holding, and on that what
// lay on the bench, so the gaps between the three curves are the stocks themselves
// (the cumulative flow diagram of queueing practice; for the horizontal gap as the
// time that first-in-first-out takes see Little JDC, Oper Res 1961;9:383-387).
// A count lies where it was entered.
package flow

import (
	"cmp"
	"slices"
)

// Stocks is how many grafts are where, or how many more an entry puts there. A
// stock may be below zero: one tally is ahead of another.
type Stocks struct {
	Bench   int64
	Holding int64
	Placed  int64
}

func (s Stocks) plus(d Stocks, sign int64) Stocks {
	return Stocks{s.Bench + sign*d.Bench, s.Holding + sign*d.Holding, s.Placed + sign*d.Placed}
}

// stepMs is the finest step that is kept, maxPoints how many points a curve has at most.
const (
	stepMs    = 5 * 60_000
	maxPoints = 144
)

// Tally is the changes of a day by their time. The zero value is empty. It is a
// function of the set of entries that are in.
type Tally struct {
	steps []step // by their number
}

// step is all that changed in one step of time.
type step struct {
	n int64 // ms since 1970 / stepMs
	Stocks
}

// Add takes an entry's change at atMs (ms since 1970) in with sign 1, or out again with -1.
func (t *Tally) Add(atMs int64, change Stocks, sign int64) {
	n := max(0, atMs) / stepMs
	at := len(t.steps) // what comes now is the newest
	if at > 0 && t.steps[at-1].n >= n {
		at, _ = slices.BinarySearchFunc(t.steps, n, func(s step, n int64) int { return cmp.Compare(s.n, n) })
	}
	if at == len(t.steps) || t.steps[at].n != n {
		t.steps = slices.Insert(t.steps, at, step{n: n})
	}
	t.steps[at].Stocks = t.steps[at].plus(change, sign)
}

// Clear forgets all entries.
func (t *Tally) Clear() { t.steps = t.steps[:0] }

// Curve is what lay where at the end of each step from FromMs on, the last point
// at ToMs: point i is at min(FromMs + (i + 1) × StepMs, ToMs). Times in ms since 1970.
type Curve struct {
	FromMs  int64   `json:"fromMs"` // 0 when nothing is known
	ToMs    int64   `json:"toMs"`
	StepMs  int64   `json:"stepMs"`
	Bench   []int64 `json:"bench"`
	Holding []int64 `json:"holding"`
	Placed  []int64 `json:"placed"`
}

// Read is the day between two times. What was entered before is in the first
// point, what is dated later in the last: that is what lies there now.
func (t *Tally) Read(fromMs, toMs int64) Curve {
	if fromMs <= 0 || toMs < fromMs {
		return Curve{Bench: []int64{}, Holding: []int64{}, Placed: []int64{}}
	}
	each := int64(stepMs)
	for (toMs-fromMs)/each >= maxPoints-1 {
		each *= 2
	}
	c := Curve{FromMs: fromMs / each * each, ToMs: toMs, StepMs: each}
	points := int((toMs-c.FromMs)/each) + 1
	c.Bench, c.Holding, c.Placed = make([]int64, points), make([]int64, points), make([]int64, points)
	var sum Stocks
	next := 0
	for i := range points {
		end := c.FromMs + int64(i+1)*each
		for next < len(t.steps) && (i == points-1 || t.steps[next].n*stepMs < end) {
			sum = sum.plus(t.steps[next].Stocks, 1)
			next++
		}
		c.Bench[i], c.Holding[i], c.Placed[i] = sum.Bench, sum.Holding, sum.Placed
	}
	return c
}
