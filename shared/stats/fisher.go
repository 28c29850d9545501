package stats

// Fisher is the exact test of two shares, x1 in n1 and x2 in n2, being the same
// (Fisher RA, Statistical Methods for Research Workers, 5th ed. 1934, from
// memory): given all four margins, x1 is hypergeometric. two adds up the chances
// of all tables that are at most as probable as this one, as most programs do
// (those within 1 part in 10^7 count as equal); above is one-sided, the chance
// of x1 or more. 0 <= x <= n on both sides, n1 + n2 <= 2^30; otherwise, and
// when nothing was tried on one side, both are 1, which says nothing. Within 1
// part in 10^9 for numbers up to 100,000; below 1e-300 they may be 0.
func Fisher(x1, n1, x2, n2 int64) (two, above float64) {
	if x1 < 0 || x1 > n1 || x2 < 0 || x2 > n2 || n1 < 1 || n2 < 1 || n1 > mostTrials || n2 > mostTrials || n1+n2 > mostTrials {
		return 1, 1
	}
	h, x := urn{float64(x1 + x2), float64(n1), float64(n1 + n2)}, float64(x1)
	return min(1, h.asRare(h.chance(x))), h.above(x)
}

// urn is a hypergeometric variable: how many of n that are drawn from all are
// among k marked ones.
type urn struct{ k, n, all float64 }

func (h urn) lo() float64 { return max(0, h.k+h.n-h.all) }
func (h urn) hi() float64 { return min(h.k, h.n) }

// chance is that of exactly x, lo <= x <= hi, as three binomials with one share
// (Loader, as in tail.go): nothing cancels.
func (h urn) chance(x float64) float64 {
	if h.lo() == h.hi() {
		return 1
	}
	p := h.n / h.all
	q := (h.all - h.n) / h.all
	return float64(binomial(x, h.k, p, q)*binomial(h.n-x, h.all-h.k, p, q)) / binomial(h.n, h.all, p, q)
}

// turned counts what is not drawn: x marked ones drawn leave k - x.
func (h urn) turned() urn { return urn{h.k, h.all - h.n, h.all} }

// up adds the chances of x and more, up to hi, x at or above the middle so that
// they fall: chance is that of x.
func (h urn) up(x, chance float64) float64 {
	sum, term, hi := chance, chance, h.hi()
	for x < hi && term > float64(enough*sum) {
		term = float64(term*float64((h.k-x)*(h.n-x))) / float64((x+1)*(h.all-h.k-h.n+x+1))
		x++
		sum += term
	}
	return sum
}

// middle is the mean.
func (h urn) middle() float64 { return float64(h.n*h.k) / h.all }

// above is the chance of x or more, 0 <= x. The smaller side is added up.
func (h urn) above(x float64) float64 {
	switch lo, hi := h.lo(), h.hi(); {
	case x <= lo:
		return 1
	case x > hi:
		return 0
	case x >= h.middle():
		return h.up(x, h.chance(x))
	}
	t, y := h.turned(), h.k-x+1 // x - 1 or fewer drawn leave so many or more
	return 1 - t.up(y, t.chance(y))
}

// alike is how much above the seen chance another one counts as equal.
const alike = 1 + 1e-7

// asRare adds up the chances of all that is at most as probable as a seen one.
func (h urn) asRare(seen float64) float64 {
	most := float64(seen * alike)
	if h.chance(h.mode()) <= most {
		return 1
	}
	return h.rareUp(most) + h.turned().rareUp(most)
}

// mode is the most probable number: of two, the larger.
func (h urn) mode() float64 {
	return float64((int64(h.n) + 1) * (int64(h.k) + 1) / (int64(h.all) + 2))
}

// rareUp adds up the chances at or below most, above the mode, whose own chance
// is more.
func (h urn) rareUp(most float64) float64 {
	common, rare := int64(h.mode()), int64(h.hi())+1
	for rare-common > 1 {
		if at := (common + rare) / 2; h.chance(float64(at)) <= most {
			rare = at
		} else {
			common = at
		}
	}
	x := float64(rare)
	if x > h.hi() {
		return 0
	}
	return h.up(x, h.chance(x))
}
