package stats

import "math"

// ln2High has so few bits that its product with an exponent is exact.
const (
	ln2High = 0x1.62e42fp-1
	ln2Low  = math.Ln2 - ln2High
)

// inverseFactorials are 1/13! down to 1/0!, for the Taylor series of exp.
var inverseFactorials = [...]float64{
	1.0 / 6227020800, 1.0 / 479001600, 1.0 / 39916800, 1.0 / 3628800, 1.0 / 362880, 1.0 / 40320,
	1.0 / 5040, 1.0 / 720, 1.0 / 120, 1.0 / 24, 1.0 / 6, 1.0 / 2, 1, 1,
}

// smallestExp is about the logarithm of the smallest normal float.
const smallestExp = -708

// exp is e to the x for x <= 700, within 5 parts in 10^16; below smallestExp it
// is 0.
func exp(x float64) float64 {
	if x < smallestExp {
		return 0
	}
	power := math.Floor(float64(x*(1/math.Ln2)) + 0.5)
	rest := x - float64(power*ln2High) - float64(power*ln2Low)
	sum := 0.0
	for _, c := range inverseFactorials {
		sum = float64(sum*rest) + c
	}
	return float64(sum * math.Float64frombits(uint64(int64(power)+1023)<<52))
}

// inverseOdds are 1/21 down to 1/3, for the series of the inverse hyperbolic
// tangent.
var inverseOdds = [...]float64{
	1.0 / 21, 1.0 / 19, 1.0 / 17, 1.0 / 15, 1.0 / 13, 1.0 / 11, 1.0 / 9, 1.0 / 7, 1.0 / 5, 1.0 / 3,
}

// log is the natural logarithm of a normal x > 0, within 4 parts in 10^16.
func log(x float64) float64 {
	bits := math.Float64bits(x)
	power := int64(bits>>52) - 1023
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	if m > math.Sqrt2 {
		m /= 2
		power++
	}
	s := (m - 1) / (m + 1)
	s2 := float64(s * s)
	sum := 0.0
	for _, c := range inverseOdds {
		sum = float64((sum + c) * s2)
	}
	k := float64(power)
	return float64(k*ln2High) + (float64(2*s) + (float64(2*s*sum) + float64(k*ln2Low)))
}

// stirling is what Stirling's formula leaves out of the logarithm of n!:
//
//	log(n!) = (n + 1/2) log n − n + log(2π)/2 + stirling(n)
//
// for n >= 1, within 1 part in 10^14 absolutely (Abramowitz and Stegun 6.1.41).
// Working with it instead of log(n!) keeps large numbers from cancelling.
func stirling(n float64) float64 {
	if n < 16 {
		factorial := 1.0
		for k := 2.0; k <= n; k++ {
			factorial = float64(factorial * k)
		}
		return log(factorial) - float64((n+0.5)*log(n)) + n - halfLog2Pi
	}
	r := 1 / float64(n*n)
	return (1.0/12 - float64(r*(1.0/360-float64(r*(1.0/1260-float64(r*(1.0/1680-float64(r*(1.0/1188))))))))) / n
}

// halfLog2Pi is log(2π)/2.
const halfLog2Pi = 0.91893853320467274178032973640562
