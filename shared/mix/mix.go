// Package mix answers: will the sizes come out as the plan needs them? What
// was sorted so far tells what is still to come by size, and how many splits
// would cover a shortage of singles.
package mix

import (
	"strconv"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Outlook is what the sorting leads to.
type Outlook struct {
	Known    bool         // something is sorted; else all is zero
	Expected event.BySize // grafts in the end
	Over     event.BySize // expected − need: a surplus, or below zero a shortage
	Splits   Splits
}

// Expect works the outlook out: in the end there are of each size those sorted
// so far and, of the grafts that remain, the size's share of those sorted,
// rounded half up by size (so the sum may be off by two). Sorted so far are
// sort + pieces − split from holding. A size below zero there is a finding of
// its own and has no share; remaining below zero is none.
func Expect(sorted event.BySize, remaining int64, need event.BySize) Outlook {
	var seen int64
	for _, n := range sorted {
		seen += max(0, n)
	}
	if seen == 0 {
		return Outlook{}
	}
	o := Outlook{Known: true}
	for i, n := range sorted {
		o.Expected[i] = n + (2*max(0, remaining)*max(0, n)+seen)/(2*seen)
		o.Over[i] = o.Expected[i] - need[i]
	}
	o.Splits = SplitsFor(o.Over)
	return o
}

// Splits is what makes singles of larger grafts.
type Splits struct {
	Count   event.BySize // grafts to split, by their size
	Total   int64
	Covered bool         // no single is short after them
	After   event.BySize // surplus by size after them, or below zero what stays short
}

// SplitsFor covers a shortage of singles. One split takes a graft of the
// largest size that has a surplus and gives one single and one of the size
// below, whose surplus it may make; so a double gives two singles. They are
// taken one at a time until no single is short or no size has a surplus.
//
// As a size is only touched once no larger one has a surplus, and a split never
// adds to a larger one, it is enough to go down the sizes once.
func SplitsFor(over event.BySize) Splits {
	s := Splits{After: over}
	for i := event.Sizes - 1; i > 0; i-- {
		short, gives := max(0, -s.After[0]), int64(1)
		if i == 1 {
			gives = 2
		}
		n := min(max(0, s.After[i]), (short+gives-1)/gives)
		s.Count[i] = n
		s.Total += n
		s.After[i] -= n
		s.After[i-1] += n
		s.After[0] += n
	}
	s.Covered = s.After[0] >= 0
	return s
}

// Hairs is the hairs in grafts, at least: size 4 is four or more and counts four.
func Hairs(b event.BySize) int64 {
	var hairs int64
	for i, n := range b {
		hairs += int64(i+1) * n
	}
	return hairs
}

// Fraction is an exact rational, Den > 0; with Den 0 it is unknown.
type Fraction struct{ Num, Den int64 }

// Hundredths is the fraction × 100 to the nearest, a half up; 0 when unknown.
func (f Fraction) Hundredths() int64 {
	if f.Den == 0 {
		return 0
	}
	return (200*f.Num + f.Den) / (2 * f.Den)
}

// HairsPerGraft is hairs / grafts, at least; unknown without grafts, and where
// a size below zero leaves no sense in it.
func HairsPerGraft(b event.BySize) Fraction {
	for _, n := range b {
		if n < 0 {
			return Fraction{}
		}
	}
	if b.Total() == 0 {
		return Fraction{}
	}
	return Fraction{Hairs(b), b.Total()}
}

// MeanHairs is the mean hairs per graft of a mix given as shares in parts of
// 10,000: the first of grafts with one hair, the second with two, and so on. A
// mix may miss all by 0.1 point and is normalised by its own sum, else it is
// refused with that. Parts below zero or above all are refused, too.
func MeanHairs(shares ...int64) (Fraction, error) {
	var sum, hairs int64
	for i, share := range shares {
		if share < 0 || share > whole {
			return Fraction{}, fault.New(fault.Invalid, "number-range").With("field", "share").
				WithInt("got", share).WithInt("min", 0).WithInt("max", whole)
		}
		sum += share
		hairs += int64(i+1) * share
	}
	if sum < whole-miss || sum > whole+miss {
		return Fraction{}, fault.New(fault.Invalid, "mix-sum").With("sum", percent(sum))
	}
	return Fraction{hairs, sum}, nil
}

// A mix is given in parts of whole, and may miss it by miss.
const whole, miss = 10_000, 10

// percent writes parts of 10,000 as per cent: 10500 is "105", 9985 "99.85".
func percent(parts int64) string {
	text, rest := strconv.FormatInt(parts/100, 10), parts%100
	switch {
	case rest == 0:
		return text
	case rest%10 == 0:
		return text + "." + strconv.FormatInt(rest/10, 10)
	}
	return text + "." + strconv.FormatInt(100+rest, 10)[1:]
}
