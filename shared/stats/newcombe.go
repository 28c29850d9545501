package stats

import "math"

// Newcombe is the 95 % interval of the difference x1/n1 − x2/n2 of two shares,
// made of their Wilson intervals (Newcombe RG, Stat Med 1998;17:873-890, method
// 10). 0 <= x <= n and n >= 1 on both sides; otherwise it is −1..1, which says
// nothing. Within 1 part in 10^12 of the whole.
func Newcombe(x1, n1, x2, n2 int64) (lo, hi float64) {
	if n1 < 1 || x1 < 0 || x1 > n1 || n2 < 1 || x2 < 0 || x2 > n2 {
		return -1, 1
	}
	p1, p2 := float64(x1)/float64(n1), float64(x2)/float64(n2)
	lo1, hi1 := Wilson(x1, n1)
	lo2, hi2 := Wilson(x2, n2)
	d := p1 - p2
	return d - hypotenuse(p1-lo1, hi2-p2), d + hypotenuse(hi1-p1, p2-lo2)
}

// hypotenuse is the root of a² + b².
func hypotenuse(a, b float64) float64 {
	return math.Sqrt(float64(a*a) + float64(b*b))
}
