package stats

import "math"

// tail is the chance that a 95 % interval leaves at each of its ends.
const tail = 0.025

// manyEvents is the count from which the closed form alone is exact enough: it
// is off by 5 parts in 10^10 there, and by less beyond.
const manyEvents = 100_000

// Garwood is the exact 95 % interval of the events expected where x were seen
// and they come one by one: half of 5 % at each end (Garwood F, Biometrika
// 1936;28:437-442). x >= 0; otherwise it is 0 to infinity, which says nothing.
// Each end is within 1 part in 10^9; lo is exactly 0 for x = 0. The time grows
// with the root of x, up to 100,000.
//
// It starts at Wilson and Hilferty's approximation (Proc Natl Acad Sci
// 1931;17:684-688) and takes steps of Halley on the Poisson tail.
func Garwood(x int64) (lo, hi float64) {
	if x < 0 {
		return 0, math.Inf(1)
	}
	n := float64(x)
	lo, hi = wilsonHilferty(n, -Z95), wilsonHilferty(n+1, Z95)
	if x >= manyEvents {
		return lo, hi
	}
	hi = root(hi, n, 2*n+10, func(mean float64) (excess, bend float64) {
		return tail/poisson(n, mean) - poissonBelow(n, mean), n/mean - 1
	})
	if x == 0 {
		return 0, hi
	}
	lo = root(lo, 0, n, func(mean float64) (excess, bend float64) {
		return float64(mean / n * (poissonAbove(n, mean) - tail/poisson(n, mean))), (n-1)/mean - 1
	})
	return lo, hi
}

// wilsonHilferty is about the mean at which a Gamma variable of the given shape
// lies at the normal quantile z.
func wilsonHilferty(shape, z float64) float64 {
	r := 1 - 1/float64(9*shape) + z/float64(3*math.Sqrt(shape))
	return float64(shape * r * r * r)
}
