package stats

// Beta is what is believed of a share: a Beta distribution with whole parameters.
type Beta struct{ A, B int64 }

// Flat is what is believed of a share after x in n, when before every share was
// as likely as any other: Beta(x + 1, n - x + 1).
func Flat(x, n int64) Beta { return Beta{x + 1, n - x + 1} }

// Larger is the chance that b's share is larger than a's, each drawn from its
// own distribution. The closed form (Miller E, Formulas for Bayesian A/B testing,
// 2015, seen second-hand) is a sum of terms of one sign, and that sum is the
// upper tail of a hypergeometric variable: take Beta(A, B) as the A-th smallest
// of A + B - 1 even numbers; b's is the larger just when of the A + A' - 1
// smallest of all numbers, a's and b's together, A or more are a's (as Altham
// PME, J R Stat Soc B 1969;31:261-269, ties Fisher's test to posteriors; from
// memory). So no term is lost however small the first is. All parameters are at
// least 1, together at most 2^30; otherwise it is 1/2, which says nothing.
// Within 1 part in 10^9 of the whole for parameters up to 100,000.
func Larger(a, b Beta) float64 {
	for _, n := range [...]int64{a.A, a.B, b.A, b.B} {
		if n < 1 || n > mostTrials/4 {
			return 0.5
		}
	}
	own := a.A + a.B - 1
	h := urn{float64(own), float64(a.A + b.A - 1), float64(own + b.A + b.B - 1)}
	return h.above(float64(a.A))
}
