package stats

import "math"

// enough is the share of a sum below which one more term no longer matters.
const enough = 1.0 / (1 << 48)

// deviance is x log(x/m) + m − x for x, m > 0, also where the parts would
// cancel (Loader C, Fast and accurate computation of binomial probabilities,
// 2000).
func deviance(x, m float64) float64 {
	v := (x - m) / (x + m)
	if v > 0.1 || v < -0.1 {
		return float64(x*log(x/m)) + m - x
	}
	v2 := float64(v * v)
	sum, power := float64((x-m)*v), float64(2*x*v)
	for odd := 3.0; ; odd += 2 {
		power = float64(power * v2)
		next := sum + power/odd
		if next == sum {
			return sum
		}
		sum = next
	}
}

// poisson is the chance of exactly x events where mean > 0 are expected, by
// Loader's expansion about the mode.
func poisson(x, mean float64) float64 {
	if x == 0 {
		return exp(-mean)
	}
	return exp(-stirling(x)-deviance(x, mean)) / math.Sqrt(float64(2*math.Pi*x))
}

// binomial is the chance of exactly x in n, each with chance p = 1 − q strictly
// between 0 and 1, by the same expansion.
func binomial(x, n, p, q float64) float64 {
	switch x {
	case 0:
		return exp(float64(n * log(q)))
	case n:
		return exp(float64(n * log(p)))
	}
	y := n - x
	d := deviance(x, float64(n*p)) + deviance(y, float64(n*q))
	return exp(stirling(n)-stirling(x)-stirling(y)-d) * math.Sqrt(n/float64(2*math.Pi*x*y))
}

// poissonAbove is the chance of x or more, as a multiple of that of exactly x;
// mean < x + 1, so that the terms fall.
func poissonAbove(x, mean float64) float64 {
	sum, term := 1.0, 1.0
	for term > float64(enough*sum) {
		x++
		term = float64(term * mean / x)
		sum += term
	}
	return sum
}

// poissonBelow is the chance of x or fewer, as a multiple of that of exactly x;
// mean > x.
func poissonBelow(x, mean float64) float64 {
	sum, term, one := 1.0, 1.0, 1/mean
	for term > float64(enough*sum) {
		term = float64(term * float64(x*one))
		x--
		sum += term
	}
	return sum
}

// binomialAbove is the chance of x or more in n, as a multiple of that of
// exactly x; the odds are p / q, and n p < x + 1.
func binomialAbove(x, n, odds float64) float64 {
	sum, term := 1.0, 1.0
	for term > float64(enough*sum) {
		y := n - x
		x++
		term = float64(term * float64(y*odds) / x)
		sum += term
	}
	return sum
}

// settled is how small, as a share of the way to the nearer bound, a step of
// Halley's is when the next one would no longer matter: what is left is about
// its third power.
const settled = 1e-4

// root finds where a function that rises or falls all the way from lo to hi is
// 0, from a guess. at tells of a place the function over its slope, and the
// slope's slope over the slope, for Halley's step; a step that leaves what is
// known to hold the root is replaced by halving that.
func root(guess, lo, hi float64, at func(float64) (excess, bend float64)) float64 {
	first, last := lo, hi
	if !(guess > lo && guess < hi) {
		guess = (lo + hi) / 2
	}
	for range 100 {
		excess, bend := at(guess)
		if excess > 0 {
			hi = guess
		} else {
			lo = guess
		}
		before := guess
		guess -= excess / (1 - float64(excess*bend/2))
		if !(guess > lo && guess < hi) {
			guess = (lo + hi) / 2
		}
		if math.Abs(guess-before) <= float64(settled*min(guess-first, last-guess)) {
			break
		}
	}
	return guess
}
