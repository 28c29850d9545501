package stats

// mostTrials bounds the numbers that the exact binomial figures take; what they
// cost grows with the root of it.
const mostTrials = 1 << 30

// ClopperPearson is the exact 95 % interval of a share of which x in n were
// seen: half of 5 % at each end (Clopper CJ, Pearson ES, Biometrika
// 1934;26:404-413). 0 <= x <= n and 1 <= n <= 2^30; otherwise it is 0..1, which
// says nothing. Each end is within 1 part in 10^9 for n up to 1,000,000.
func ClopperPearson(x, n int64) (lo, hi float64) {
	if n < 1 || n > mostTrials || x < 0 || x > n {
		return 0, 1
	}
	return clopperPearsonLow(x, n), 1 - clopperPearsonLow(n-x, n)
}

// clopperPearsonLow is the share at which x or more in n have the chance tail.
func clopperPearsonLow(x, n int64) float64 {
	if x == 0 {
		return 0
	}
	seen, trials := float64(x), float64(n)
	guess, _ := Wilson(x, n)
	return root(guess, 0, seen/trials, func(p float64) (excess, bend float64) {
		q := 1 - p
		above := binomialAbove(seen, trials, p/q) - tail/binomial(seen, trials, p, q)
		return float64(p / seen * above), (seen-1)/p - (trials-seen)/q
	})
}

// Binomial is the exact two-sided p of x in n where each has the chance p: the
// smaller tail doubled, and at most 1. (Doubling, not adding up all that is as
// improbable, so that p is below 5 % just where p lies outside ClopperPearson.)
// 0 <= x <= n <= 2^30 and 0 < p < 1; otherwise it is 1, which says nothing.
// Within 1 part in 10^9 for n up to 1,000,000; below 1e-300 it may be 0.
func Binomial(x, n int64, p float64) float64 {
	if n < 1 || n > mostTrials || x < 0 || x > n || !(p > 0 && p < 1) {
		return 1
	}
	return doubled(float64(x), float64(n), p, 1-p)
}

// doubled is Binomial for numbers in bounds. The median lies within 1 of n p, so
// the tail on the far side of x from n p is the smaller one, or both are a half
// and more.
func doubled(x, n, p, q float64) float64 {
	if x < float64(n*p) {
		x, p, q = n-x, q, p
	}
	return min(1, float64(2*binomial(x, n, p, q)*binomialAbove(x, n, p/q)))
}

// Rates is the exact two-sided p of two rates being the same, x1 events in a
// time of t1 and x2 in t2, if they come one by one: given their sum, x1 is
// Binomial with the chance t1 / (t1 + t2) (Przyborowski J, Wilenski H,
// Biometrika 1940;31:313-323; the smaller tail doubled, as in Binomial).
// x1, x2 >= 0, together 1 to 2^30, t1, t2 > 0 in one unit; otherwise it is 1,
// which says nothing. As exact as Binomial.
func Rates(x1, t1, x2, t2 int64) float64 {
	n := x1 + x2 // below 0 if it is too large to hold
	if x1 < 0 || x2 < 0 || n < 1 || n > mostTrials || t1 < 1 || t2 < 1 {
		return 1
	}
	time := float64(t1) + float64(t2)
	return doubled(float64(x1), float64(n), float64(t1)/time, float64(t2)/time)
}
