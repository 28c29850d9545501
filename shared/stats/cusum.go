package stats

import "math"

// Billion is the scale of CUSUM sums: they are kept in whole billionths, so that
// a sum depends on nothing but its entries and their order.
const Billion = 1_000_000_000

// CusumWeights are what one attempt adds to the sum of a Bernoulli CUSUM, when
// it failed and when it did not: the log-likelihood ratios of a share of p1
// against one of p0 (Steiner SH et al., Biostatistics 2000;1:441-452, as in the
// documentation of R's charts). 0 < p0 < p1 < 1.
func CusumWeights(p0, p1 float64) (failed, fine float64) {
	return log(p1 / p0), log((1 - p1) / (1 - p0))
}

// CusumBillionths is CusumWeights for shares in parts of 10,000, in billionths,
// each to the nearest. Below zero for one that did not fail.
func CusumBillionths(p0Parts, p1Parts int64) (failed, fine int64) {
	f, g := CusumWeights(float64(p0Parts)/Whole, float64(p1Parts)/Whole)
	failed, _ = Nearest(f, Billion)
	fine, _ = Nearest(g, Billion)
	return failed, fine
}

// Chart is a Bernoulli CUSUM of which run lengths are asked: its sum begins at
// 0, never falls below, and an alarm stands once it reaches the limit.
type Chart struct {
	P0Parts, P1Parts int64 // in parts of 10,000
	H100             int64 // the limit × 100
}

// The sum is followed on so many places below the limit: as many for each step
// of an attempt that did not fail as finePlaces, within these bounds.
const (
	finePlaces  = 8
	leastPlaces = 200
	mostPlaces  = 1_000
)

// mostSteps is how many attempts are followed one by one. Mostly the chance that
// the next one alarms is the same for each long before, to many places; where both
// shares are a few in a thousand and the limit is high it is not even then.
const mostSteps = 20_000

// AlarmParts is the chance that within n attempts, each failing with a chance of
// failParts in parts of 10,000, an alarm stands; in parts of 10,000, at least 1.
// A Markov chain over the sum's places (Brook D, Evans DA, Biometrika
// 1972;59:539-549, from memory), a step between two places being shared by them
// so that its mean stays; within 3 parts in 1,000 of itself at the defaults.
func (c Chart) AlarmParts(failParts, n int64) int64 {
	k := c.chain(failParts)
	for k.steps < n && !k.steady() {
		k.step()
	}
	return chance(1 - float64(k.alive*raised(1-k.hazard, n-k.steps)))
}

// RunLength is how many attempts it takes on average until an alarm stands, to
// the nearest. Billion stands for more than can be told: for a chart that has not
// settled within mostSteps no average above 20,000 is known.
func (c Chart) RunLength(failParts int64) int64 {
	k := c.chain(failParts)
	sum := 0.0
	for !k.steady() {
		sum += k.alive
		k.step()
	}
	if k.hazard > 0 {
		if n, ok := Nearest(sum+k.alive/k.hazard, 1); ok && (k.settled || n <= mostSteps) {
			return min(n, Billion)
		}
	}
	return Billion
}

// chain is where the sum may be after some attempts without an alarm.
type chain struct {
	at, next []float64 // the chance of each place
	up, down move
	alive    float64 // the chance of no alarm so far
	hazard   float64 // the chance that the last attempt alarmed, when none had
	before   float64 // the hazard some steps ago
	steps    int64
	settled  bool // the hazard no longer changes, or nothing is alive
}

// move is a step of so many whole places with a chance of near, or else of one
// place more with a chance of far.
type move struct {
	places    int
	near, far float64
}

func moveOf(length, chance float64) move {
	whole := math.Floor(length)
	far := float64(chance * (length - whole))
	return move{int(whole), chance - far, far}
}

func (c Chart) chain(failParts int64) *chain {
	failed, fine := CusumWeights(float64(c.P0Parts)/Whole, float64(c.P1Parts)/Whole)
	limit, p := float64(c.H100)/100, float64(failParts)/Whole
	places := max(leastPlaces, min(mostPlaces, int(finePlaces*limit/-fine)))
	width := limit / float64(places)
	k := &chain{at: make([]float64, places), next: make([]float64, places), alive: 1,
		up: moveOf(failed/width, p), down: moveOf(-fine/width, 1-p)}
	k.at[0] = 1
	return k
}

// settleSteps is between which steps the hazard is compared.
const settleSteps = 64

// steady says whether to stop: it has settled, or enough steps were followed.
func (k *chain) steady() bool {
	if k.alive < enough {
		k.settled = true
	}
	if k.steps >= mostSteps || k.settled {
		return true
	}
	if k.steps%settleSteps != 0 || k.steps == 0 {
		return false
	}
	same := k.hazard > 0 && math.Abs(k.hazard-k.before) <= float64(1e-6*k.hazard)
	k.before, k.settled = k.hazard, same
	return same
}

func (k *chain) step() {
	clear(k.next)
	alarmed := 0.0
	for i, mass := range k.at {
		if mass == 0 {
			continue
		}
		lower := i - k.down.places
		k.next[max(0, lower)] += float64(mass * k.down.near)
		k.next[max(0, lower-1)] += float64(mass * k.down.far)
		higher := i + k.up.places
		if higher+1 < len(k.next) {
			k.next[higher] += float64(mass * k.up.near)
			k.next[higher+1] += float64(mass * k.up.far)
			continue
		}
		if higher < len(k.next) {
			k.next[higher] += float64(mass * k.up.near)
		} else {
			alarmed += float64(mass * k.up.near)
		}
		alarmed += float64(mass * k.up.far)
	}
	k.at, k.next = k.next, k.at
	k.hazard = alarmed / k.alive
	k.alive -= alarmed
	k.steps++
}

// raised is x to the n, n >= 0.
func raised(x float64, n int64) float64 {
	out := 1.0
	for ; n > 0; n /= 2 {
		if n%2 == 1 {
			out = float64(out * x)
		}
		x = float64(x * x)
	}
	return out
}

// ShareLimits are the centre line and the 3-sigma limits of a p-chart: of total
// in groups of n, the mean share and what a group's share keeps to (NIST/SEMATECH
// e-Handbook 6.3.3.2). n and groups >= 1, 0 <= total <= groups × n.
func ShareLimits(total, groups, n int64) (mean, lo, hi float64) {
	mean = float64(total) / float64(groups*n)
	spread := float64(3 * math.Sqrt(float64(mean*(1-mean))/float64(n)))
	return mean, max(0, mean-spread), min(1, mean+spread)
}

// ShareLimitsParts is ShareLimits in parts, each to the nearest.
func ShareLimitsParts(total, groups, n int64) (mean, lo, hi int64) {
	m, l, h := ShareLimits(total, groups, n)
	mean, _ = Nearest(m, Whole)
	lo, hi = bothParts(l, h)
	return mean, lo, hi
}
