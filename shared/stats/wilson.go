// Package stats holds the statistics, and the one door (door.go) through which
// a float leaves as a whole number. It uses only + - * / and Sqrt, each product
// rounded by itself, so that a phone and the server get the same bits.
package stats

import "math"

// Z95 is the two-sided 95 % normal quantile (NIST/SEMATECH e-Handbook
// 1.3.6.7.1 gives 1.960; more digits recomputed).
const Z95 = 1.959963984540054

// Wilson is the 95 % score interval of x in n (Wilson EB, J Am Stat Assoc
// 1927;22:209-212; formula as in Newcombe RG, Stat Med 1998;17:857-872,
// method 3). 0 <= x <= n and n >= 1; otherwise it is 0..1, which says nothing.
func Wilson(x, n int64) (lo, hi float64) {
	if n < 1 || x < 0 || x > n {
		return 0, 1
	}
	count, p, zz := float64(n), float64(x)/float64(n), float64(Z95*Z95)
	scale := 1 + zz/count
	centre := p + zz/float64(2*count)
	spread := float64(Z95 * math.Sqrt(float64(p*(1-p))/count+zz/float64(4*float64(count*count))))
	lo, hi = (centre-spread)/scale, (centre+spread)/scale
	if x == 0 || lo < 0 {
		lo = 0
	}
	if x == n || hi > 1 {
		hi = 1
	}
	return lo, hi
}
