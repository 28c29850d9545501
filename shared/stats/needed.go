package stats

import "math"

// zPower is the normal quantile of a power of 80 % (NIST/SEMATECH e-Handbook
// 1.3.6.7.1 gives 0.842; more digits recomputed).
const zPower = 0.8416212335729143

// mostNeeded bounds what Needed gives: ten times the attempts of any day.
const mostNeeded = 50_000

// Needed is how many must be tried on each side so that two shares which truly
// are x1/n1 and x2/n2 are told apart, at two-sided 5 %, in 80 % of all trials:
//
//	p̄ = (p1 + p2) / 2,  d = |p1 - p2|
//	m = (z₀.₉₇₅ √(2 p̄ (1 - p̄)) + z₀.₈ √(p1 (1 - p1) + p2 (1 - p2)))² / d²
//	n = m / 4 × (1 + √(1 + 4 / (m d)))²
//
// the last with the correction for continuity, so that it fits Fisher's exact
// test (Fleiss JL, Statistical Methods for Rates and Proportions, 2nd ed. 1981,
// formulas 3.14 and 3.15, and Casagrande JT, Pike MC, Smith PG, Biometrics
// 1978;34:483-486; both from memory). The shares seen are a guess at the true
// ones, so n is one too. ok is false, and n is 0, when the shares are equal,
// nothing was tried on one side, a number is out of bounds as in Newcombe, or n
// passes mostNeeded: no number that a day can hold would tell.
func Needed(x1, n1, x2, n2 int64) (n int64, ok bool) {
	if n1 < 1 || x1 < 0 || x1 > n1 || n2 < 1 || x2 < 0 || x2 > n2 {
		return 0, false
	}
	p1, p2 := float64(x1)/float64(n1), float64(x2)/float64(n2)
	d, mean := math.Abs(p1-p2), float64((p1+p2)/2)
	if d < noise {
		return 0, false
	}
	root := float64(Z95*math.Sqrt(float64(2*float64(mean*(1-mean))))) +
		float64(zPower*math.Sqrt(float64(p1*(1-p1))+float64(p2*(1-p2))))
	m := float64(root*root) / float64(d*d)
	step := 1 + math.Sqrt(1+4/float64(m*d))
	n, ok = CeilQuotient(1, 4/float64(m*float64(step*step)))
	if n > mostNeeded {
		return 0, false
	}
	return n, ok
}
