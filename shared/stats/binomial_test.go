package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestClopperPearson(t *testing.T) {
	tests := []struct {
		name   string
		x, n   int64
		lo, hi float64
		within float64
	}{
		// Newcombe RG, Stat Med 1998;17:857-872, Table I, method 5: from memory.
		{"81 of 263, as printed", 81, 263, 0.2527, 0.3676, 5e-5},
		{"15 of 148, as printed", 15, 148, 0.0578, 0.1617, 5e-5},
		{"0 of 20, as printed", 0, 20, 0, 0.1684, 5e-5},
		{"1 of 29, as printed", 1, 29, 0.0009, 0.1776, 5e-5},
		// Conover's example in R's documentation of binom.test: from memory.
		{"682 of 925, as printed", 682, 925, 0.7076683, 0.7654066, 5e-8},
		// Computed from the definition with 40 digits.
		{"0 of 20", 0, 20, 0, 0.1684334709831, 1e-12},
		{"1 of 29", 1, 29, 0.0008726468835799, 0.1776442954887, 1e-12},
		{"15 of 148", 15, 148, 0.05784401008345, 0.1616504903495, 1e-12},
		{"81 of 263", 81, 263, 0.2527367455853, 0.3676219226014, 1e-12},
		{"682 of 925", 682, 925, 0.707668264079, 0.7654065582415, 1e-12},
		{"20 of 20", 20, 20, 0.8315665290169, 1, 1e-12},
		{"nothing tried", 0, 0, 0, 1, 0},
		{"more than all", 3, 2, 0, 1, 0},
		{"fewer than none", -1, 2, 0, 1, 0},
		{"too many", 1, mostTrials + 1, 0, 1, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lo, hi := ClopperPearson(tt.x, tt.n)
			if !(math.Abs(lo-tt.lo) <= tt.within && math.Abs(hi-tt.hi) <= tt.within) {
				t.Errorf("got %v..%v, want %v..%v", lo, hi, tt.lo, tt.hi)
			}
		})
	}
}

func TestBinomial(t *testing.T) {
	tests := []struct {
		name string
		x, n int64
		p    float64
		want float64
	}{
		// Computed from the definition with 40 digits.
		{"7 of 10 at a half", 7, 10, 0.5, 0.34375},
		{"12 of 50 at a tenth", 12, 50, 0.1, 0.00643984227182},
		{"none of 20 at a fifth", 0, 20, 0.2, 0.02305843009214},
		{"3 of 40 at a quarter", 3, 40, 0.25, 0.009391360676501},
		{"682 of 925 at three quarters", 682, 925, 0.75, 0.3920185341078},
		{"all of 3 at a half", 3, 3, 0.5, 0.25},
		{"just what is expected", 5, 10, 0.5, 1},
		{"beyond the smallest float", 0, 100_000, 0.9, 0},
		{"nothing tried", 0, 0, 0.5, 1},
		{"more than all", 3, 2, 0.5, 1},
		{"fewer than none", -1, 2, 0.5, 1},
		{"too many", 1, mostTrials + 1, 0.5, 1},
		{"a chance of 0", 1, 2, 0, 1},
		{"a chance of 1", 1, 2, 1, 1},
		{"no chance at all", 1, 2, math.NaN(), 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Binomial(tt.x, tt.n, tt.p); !(apart(got, tt.want) <= 1e-12) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestRates(t *testing.T) {
	tests := []struct {
		name           string
		x1, t1, x2, t2 int64
		want           float64
	}{
		// Computed from the definition with 40 digits.
		{"11 in 800, 23 in 3,000", 11, 800, 23, 3000, 0.1686912113472},
		{"180 and 140 in half an hour", 180, 1_800_000, 140, 1_800_000, 0.0290868793402},
		{"none, and 9 in twice the time", 0, 5, 9, 10, 0.0520245897475},
		{"the same", 4, 1, 4, 1, 1},
		{"nothing seen", 0, 5, 0, 10, 1},
		{"no time", 3, 0, 4, 1, 1},
		{"no time on the other side", 3, 1, 4, 0, 1},
		{"fewer than none", -1, 1, 4, 1, 1},
		{"fewer than none on the other side", 4, 1, -1, 1, 1},
		{"too many together", mostTrials, 1, 1, 1, 1},
		{"too many to add", math.MaxInt64, 1, math.MaxInt64, 1, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Rates(tt.x1, tt.t1, tt.x2, tt.t2)
			if !(apart(got, tt.want) <= 1e-12) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
			if mirror := Rates(tt.x2, tt.t2, tt.x1, tt.t1); !(apart(mirror, got) <= 1e-12) {
				t.Errorf("got %v, and %v the other way round", got, mirror)
			}
		})
	}
}

// The p is below 5 % just where the share lies outside the interval.
func TestBinomialAgreesWithClopperPearson(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.Int64Range(1, 5000).Draw(rt, "n")
		x := rapid.Int64Range(0, n).Draw(rt, "x")
		lo, hi := ClopperPearson(x, n)
		if share := float64(x) / float64(n); !(lo <= share && share <= hi) {
			rt.Fatalf("%d of %d: got %v..%v, want the share inside", x, n, lo, hi)
		}
		for _, bound := range []struct{ outside, inside float64 }{
			{lo * (1 - 1e-7), lo * (1 + 1e-7)}, {1 - (1-hi)*(1-1e-7), 1 - (1-hi)*(1+1e-7)},
		} {
			if bound.outside <= 0 || bound.outside >= 1 {
				continue // the bound is the end of what shares can be
			}
			if p := Binomial(x, n, bound.outside); p >= 0.05 {
				rt.Fatalf("%d of %d: got p %v at %v just outside", x, n, p, bound.outside)
			}
			if p := Binomial(x, n, bound.inside); p <= 0.05 {
				rt.Fatalf("%d of %d: got p %v at %v just inside", x, n, p, bound.inside)
			}
		}
	})
}
