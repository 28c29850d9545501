package stats

import (
	"math"
	"math/big"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Miller E 2015's value for the parameters (not the counts) of two shares, seen
// second-hand.
func TestLargerPublished(t *testing.T) {
	if got := Larger(Beta{21, 200}, Beta{31, 200}); math.Abs(got-0.906704245199) > 1e-12 {
		t.Errorf("got %.13f, want 0.906704245199", got)
	}
}

// closedForm is the sum of the closed form in exact fractions.
func closedForm(a, b Beta) float64 {
	beta := func(p, q int64) *big.Rat { // B(p, q) of whole numbers
		f := func(n int64) *big.Int { return new(big.Int).MulRange(1, n-1) }
		return new(big.Rat).SetFrac(new(big.Int).Mul(f(p), f(q)), f(p+q))
	}
	sum := new(big.Rat)
	for i := range b.A {
		term := beta(a.A+i, a.B+b.B)
		below := new(big.Rat).SetInt64(b.B + i)
		below.Mul(below, beta(1+i, b.B))
		below.Mul(below, beta(a.A, a.B))
		sum.Add(sum, term.Quo(term, below))
	}
	got, _ := sum.Float64()
	return got
}

func TestLargerAgainstTheClosedForm(t *testing.T) {
	sizes := []int64{1, 2, 3, 7, 20, 53}
	for _, p := range sizes {
		for _, q := range sizes {
			for _, r := range sizes {
				for _, s := range sizes {
					a, b := Beta{p, q}, Beta{r, s}
					if got, want := Larger(a, b), closedForm(a, b); math.Abs(got-want) > 1e-12 {
						t.Fatalf("%v below %v: got %.15f, want %.15f", a, b, got, want)
					}
				}
			}
		}
	}
}

// The integral over both densities, by a reference library.
func TestLargerAgainstGonum(t *testing.T) {
	for _, one := range [][2]Beta{{{6, 96}, {11, 92}}, {{61, 1141}, {84, 1118}}, {{301, 2701}, {340, 2662}}, {{1, 31}, {4, 28}}} {
		a := distuv.Beta{Alpha: float64(one[0].A), Beta: float64(one[0].B)}
		b := distuv.Beta{Alpha: float64(one[1].A), Beta: float64(one[1].B)}
		want := quad.Fixed(func(x float64) float64 { return b.Prob(x) * a.CDF(x) }, 1e-12, 1-1e-12, 4_000, nil, 0)
		if got := Larger(one[0], one[1]); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: got %.12f, want %.12f", one, got, want)
		}
	}
}

func TestLargerIsAChance(t *testing.T) {
	for _, a := range []Beta{{1, 1}, {3, 40}, {500, 9_000}, {40_000, 60_000}} {
		if got := Larger(a, a); math.Abs(got-0.5) > 1e-9 {
			t.Errorf("%v with itself: got %.12f, want a half", a, got)
		}
		for _, b := range []Beta{{2, 9}, {77, 800}, {50_000, 50_000}} {
			if sum := Larger(a, b) + Larger(b, a); math.Abs(sum-1) > 1e-9 {
				t.Errorf("%v and %v: both ways give %.12f, want 1", a, b, sum)
			}
		}
	}
	if got, want := Flat(3, 10), (Beta{4, 8}); got != want {
		t.Errorf("flat: got %v, want %v", got, want)
	}
	for _, bad := range [][2]Beta{{{0, 1}, {1, 1}}, {{1, 1}, {1, -3}}, {{1 << 29, 1}, {1, 1}}} {
		if got := Larger(bad[0], bad[1]); got != 0.5 {
			t.Errorf("%v: got %v, want a half", bad, got)
		}
	}
}
