package stats

import "math"

// Whole is a share of 1 in parts: shares, their bounds, differences and p leave
// as parts per 10,000.
const Whole = 10_000

// tenthsPerHour is how many tenths of an event an hour one event a millisecond is.
const tenthsPerHour = 10 * 3_600_000

// noise is the part of a number that is taken for rounding: one in 2^40.
const noise = 1.0 / (1 << 40)

// mostExact is up to where a float holds every whole number.
const mostExact = 1 << 53

// Nearest is x × scale as the nearest whole number. Halves go away from zero,
// and what falls short of a half by no more than noise is one: a half that
// rounding has made a little smaller goes the way of the true one. ok is false,
// and n is 0, when x is no number or the result passes 2^53.
func Nearest(x float64, scale int64) (n int64, ok bool) {
	product := float64(x * float64(scale))
	size := math.Abs(product)
	if !(size <= mostExact) {
		return 0, false
	}
	whole := math.Floor(size)
	if size-whole >= 0.5-float64(size*noise) {
		whole++
	}
	if product < 0 {
		whole = -whole
	}
	return int64(whole), true
}

// CeilQuotient is n / p rounded up, n >= 0 and p > 0: how many attempts for n
// grafts at a share of p, or what time for n events at a rate of p. An excess
// of no more than noise is rounding and not rounded up. ok is false, and q is
// 0, when n or p is out of bounds or the result passes 2^53.
func CeilQuotient(n int64, p float64) (q int64, ok bool) {
	if !(p > 0) || n < 0 {
		return 0, false
	}
	quotient := float64(n) / p
	if quotient > mostExact {
		return 0, false
	}
	whole := math.Floor(quotient)
	if quotient-whole > float64(quotient*noise) {
		whole++
	}
	return int64(whole), true
}

// ShareParts is x in n in parts, halves up, without any float. ok is false when
// nothing was tried, or x lies outside 0..n or n outside 1..2^40.
func ShareParts(x, n int64) (parts int64, ok bool) {
	if n < 1 || n > 1<<40 || x < 0 || x > n {
		return 0, false
	}
	return (2*Whole*x + n) / (2 * n), true
}

// WilsonParts is Wilson in parts, each bound to the nearest.
func WilsonParts(x, n int64) (lo, hi int64) { return bothParts(Wilson(x, n)) }

// ClopperPearsonParts is ClopperPearson in parts, each bound to the nearest.
func ClopperPearsonParts(x, n int64) (lo, hi int64) { return bothParts(ClopperPearson(x, n)) }

// NewcombeParts is Newcombe in parts, below zero where the second share is the
// larger, each bound to the nearest.
func NewcombeParts(x1, n1, x2, n2 int64) (lo, hi int64) {
	return bothParts(Newcombe(x1, n1, x2, n2))
}

// DifferenceParts is x1/n1 − x2/n2 in parts, halves away from zero, without any
// float. ok is false when a share is none (see ShareParts) or a number passes
// 2^20.
func DifferenceParts(x1, n1, x2, n2 int64) (parts int64, ok bool) {
	for _, one := range [...][2]int64{{x1, n1}, {x2, n2}} {
		if one[1] < 1 || one[1] > 1<<20 || one[0] < 0 || one[0] > one[1] {
			return 0, false
		}
	}
	num, den := 2*Whole*(x1*n2-x2*n1), n1*n2
	if num < 0 {
		return -((den - num) / (2 * den)), true
	}
	return (den + num) / (2 * den), true
}

// BinomialParts is Binomial in parts, for a chance of chanceParts. It is never
// 0: 1 means at most 1 in 10,000.
func BinomialParts(x, n, chanceParts int64) int64 {
	return chance(Binomial(x, n, float64(chanceParts)/Whole))
}

// RatesParts is Rates in parts. It is never 0: 1 means at most 1 in 10,000.
func RatesParts(x1, t1, x2, t2 int64) int64 { return chance(Rates(x1, t1, x2, t2)) }

// PerHour10 is the rate of events in a time of ms milliseconds, with Garwood's
// 95 % interval, in tenths of an event an hour, each to the nearest. ok is
// false, and all are 0, when events < 0, ms < 1 or a result passes 2^53.
func PerHour10(events, ms int64) (rate, lo, hi int64, ok bool) {
	if events < 0 || ms < 1 {
		return 0, 0, 0, false
	}
	low, high := Garwood(events)
	perMs := float64(ms)
	hi, ok = Nearest(high/perMs, tenthsPerHour)
	if !ok {
		return 0, 0, 0, false
	}
	lo, _ = Nearest(low/perMs, tenthsPerHour)
	rate, _ = Nearest(float64(events)/perMs, tenthsPerHour)
	return rate, lo, hi, true
}

// bothParts takes two shares through the door.
func bothParts(a, b float64) (lo, hi int64) {
	lo, _ = Nearest(a, Whole)
	hi, _ = Nearest(b, Whole)
	return lo, hi
}

// chance takes a p through the door; it is never 0.
func chance(p float64) int64 {
	parts, _ := Nearest(p, Whole)
	return max(1, parts)
}

// FisherParts is the two-sided p of Fisher in parts. It is never 0: 1 means at
// most 1 in 10,000.
func FisherParts(x1, n1, x2, n2 int64) int64 {
	two, _ := Fisher(x1, n1, x2, n2)
	return chance(two)
}

// LargerParts is the chance that the share of which x2 in n2 were seen is larger
// than that of x1 in n1, under flat priors, in parts. Neither 0 nor Whole: no
// number of trials makes it certain.
func LargerParts(x1, n1, x2, n2 int64) int64 {
	return min(Whole-1, chance(Larger(Flat(x1, n1), Flat(x2, n2))))
}
