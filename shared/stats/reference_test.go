package stats

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Here the figures are held to gonum's, within 1 part in 10^9, over grids with
// their edges.

func TestGarwoodAgainstGonum(t *testing.T) {
	counts := []int64{0, 1, 2, 3, 5, 10, 29, 30, 99, 100, 180, 1000, 3333, 10_000, 50_000, manyEvents - 1, manyEvents}
	for _, x := range counts {
		lo, hi := Garwood(x)
		wantLo, wantHi := 0.0, mathext.GammaIncRegCompInv(float64(x)+1, tail)
		if x > 0 {
			wantLo = mathext.GammaIncRegInv(float64(x), tail)
		}
		if !(apart(lo, wantLo) <= 1e-9 && apart(hi, wantHi) <= 1e-9) {
			t.Errorf("%d: got %v..%v, want %v..%v", x, lo, hi, wantLo, wantHi)
		}
	}
}

func TestPoissonAgainstGonum(t *testing.T) {
	for _, mean := range []float64{0.01, 0.5, 1, 7.3, 100, 1234.5, 90_000} {
		reference := distuv.Poisson{Lambda: mean}
		for _, sigmas := range []float64{-4, -2, 0, 1, 3, 6} {
			x := math.Floor(mean + sigmas*math.Sqrt(mean))
			if x < 0 {
				continue
			}
			if got, want := poisson(x, mean), reference.Prob(x); !(apart(got, want) <= 1e-9) {
				t.Errorf("%v at a mean of %v: got %v, want %v", x, mean, got, want)
			}
			what, got, want := "fewer", poisson(x, mean), mathext.GammaIncRegComp(x+1, mean)
			if x > mean {
				what, got, want = "more", got*poissonAbove(x, mean), mathext.GammaIncReg(x, mean)
			} else {
				got *= poissonBelow(x, mean)
			}
			if !(apart(got, want) <= 1e-9) {
				t.Errorf("%v or %s at a mean of %v: got %v, want %v", x, what, mean, got, want)
			}
		}
	}
}

// gridOf are counts of n, the edges with them.
func gridOf(n int64) []int64 {
	var counts []int64
	for _, x := range []int64{0, 1, 2, n / 100, n / 7, n / 2, n - n/20, n - 1, n} {
		if x >= 0 && x <= n && (len(counts) == 0 || x > counts[len(counts)-1]) {
			counts = append(counts, x)
		}
	}
	return counts
}

func TestClopperPearsonAgainstGonum(t *testing.T) {
	for _, n := range []int64{1, 2, 3, 10, 29, 263, 1000, 20_000, 1_000_000} {
		for _, x := range gridOf(n) {
			lo, hi := ClopperPearson(x, n)
			a, b := float64(x), float64(n-x)
			wantLo, wantHi := 0.0, 1.0
			if x > 0 {
				wantLo = mathext.InvRegIncBeta(a, b+1, tail)
			}
			if x < n {
				wantHi = mathext.InvRegIncBeta(a+1, b, 1-tail)
			}
			if !(apart(lo, wantLo) <= 1e-9 && apart(hi, wantHi) <= 1e-9) {
				t.Errorf("%d of %d: got %v..%v, want %v..%v", x, n, lo, hi, wantLo, wantHi)
			}
		}
	}
}

func TestBinomialAgainstGonum(t *testing.T) {
	for _, n := range []int64{1, 2, 3, 10, 29, 263, 1000, 20_000} {
		for _, p := range []float64{0.001, 0.05, 0.5, 0.88, 0.999} {
			for _, x := range gridOf(n) {
				atMost, atLeast := 1.0, 1.0
				if x < n {
					atMost = mathext.RegIncBeta(float64(n-x), float64(x+1), 1-p)
				}
				if x > 0 {
					atLeast = mathext.RegIncBeta(float64(x), float64(n-x+1), p)
				}
				got, want := Binomial(x, n, p), min(1, 2*min(atMost, atLeast))
				if math.Abs(got-want) > 1e-9*want+1e-290 {
					t.Errorf("%d of %d at %v: got %v, want %v", x, n, p, got, want)
				}
			}
		}
	}
}

// Given their sum, two rates that are the same share it like their times: what
// gonum makes of that.
func TestRatesAgainstGonum(t *testing.T) {
	for _, x1 := range []int64{0, 1, 17, 180, 4000} {
		for _, x2 := range []int64{0, 1, 20, 140, 4100} {
			for _, t2 := range []int64{1, 1_800_000, 2_400_000} {
				const t1 = 1_800_000
				n, p := x1+x2, float64(t1)/float64(t1+t2)
				want := 1.0
				if x1 < n {
					want = min(want, 2*mathext.RegIncBeta(float64(n-x1), float64(x1+1), 1-p))
				}
				if x1 > 0 {
					want = min(want, 2*mathext.RegIncBeta(float64(x1), float64(n-x1+1), p))
				}
				if got := Rates(x1, t1, x2, t2); math.Abs(got-want) > 1e-9*want+1e-290 {
					t.Errorf("%d in %d, %d in %d: got %v, want %v", x1, t1, x2, t2, got, want)
				}
			}
		}
	}
}
