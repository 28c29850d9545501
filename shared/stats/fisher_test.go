package stats

import (
	"math"
	"math/big"
	"testing"
)

// chances lists the exact chances of a hypergeometric variable from its lowest
// value on: counted by whole numbers.
func chances(k, n, all int64) (lo int64, out []*big.Rat) {
	lo = max(0, k+n-all)
	whole := new(big.Int).Binomial(all, n)
	for x := lo; x <= min(k, n); x++ {
		ways := new(big.Int).Mul(new(big.Int).Binomial(k, x), new(big.Int).Binomial(all-k, n-x))
		out = append(out, new(big.Rat).SetFrac(ways, whole))
	}
	return lo, out
}

// exactFisher is the test by enumeration of all tables.
func exactFisher(x1, n1, x2, n2 int64) (two, above float64) {
	lo, list := chances(x1+x2, n1, n1+n2)
	seen, sum, up := list[x1-lo], new(big.Rat), new(big.Rat)
	for i, p := range list {
		if p.Cmp(seen) <= 0 {
			sum.Add(sum, p)
		}
		if int64(i)+lo >= x1 {
			up.Add(up, p)
		}
	}
	two, _ = sum.Float64()
	above, _ = up.Float64()
	return two, above
}

func TestFisherAgainstAllSmallTables(t *testing.T) {
	tables := 0
	for n1 := int64(1); n1 <= 11; n1++ {
		for n2 := int64(1); n2 <= 12; n2++ {
			for x1 := range n1 + 1 {
				for x2 := range n2 + 1 {
					checkFisher(t, x1, n1, x2, n2)
					tables++
				}
			}
		}
	}
	if tables < 5_000 {
		t.Errorf("only %d tables", tables)
	}
}

func checkFisher(t *testing.T, x1, n1, x2, n2 int64) {
	t.Helper()
	two, above := Fisher(x1, n1, x2, n2)
	wantTwo, wantAbove := exactFisher(x1, n1, x2, n2)
	if math.Abs(two-wantTwo) > 1e-9*wantTwo || math.Abs(above-wantAbove) > 1e-9*wantAbove {
		t.Errorf("%d/%d against %d/%d: got %.12g, %.12g, want %.12g, %.12g", x1, n1, x2, n2, two, above, wantTwo, wantAbove)
	}
}

// Tables of the size that a trial of a day has.
func TestFisherAgainstLargeTables(t *testing.T) {
	for _, n := range [][2]int64{{40, 40}, {100, 75}, {251, 300}} {
		for i := int64(0); i <= 8; i++ {
			x1 := n[0] * i / 16
			for j := int64(0); j <= 8; j++ {
				checkFisher(t, x1, n[0], n[1]*j/16, n[1])
			}
		}
	}
}

func TestFisherPublished(t *testing.T) {
	tests := []struct {
		name           string
		x1, n1, x2, n2 int64
		two, above     float64 // 0: not printed
		within         float64
	}{
		{"Fisher's tea tasting, as R documents fisher.test", 3, 4, 1, 4, 0.4857143, 0.2428571, 5e-8},
		{"Prakash V et al., BMJ Qual Saf 2014;23:884-892, prints 0.038, one-sided", 16, 18, 11, 19, 0.0624964, 0.0382374, 5e-8},
		{"reference value of R 3, in public test files", 2, 9, 8, 10, 0.0230141376, 0, 5e-11},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			two, above := Fisher(test.x1, test.n1, test.x2, test.n2)
			if math.Abs(two-test.two) > test.within || test.above > 0 && math.Abs(above-test.above) > test.within {
				t.Errorf("got %.10f and %.10f, want %.10f and %.10f", two, above, test.two, test.above)
			}
		})
	}
}

func TestFisherOutOfBounds(t *testing.T) {
	for _, n := range [][4]int64{{-1, 5, 1, 5}, {6, 5, 1, 5}, {1, 5, 6, 5}, {0, 0, 1, 5}, {1, 5, 0, 0}, {1, 1 << 30, 1, 1 << 30}, {1, math.MaxInt64, 1, 5}} {
		if two, above := Fisher(n[0], n[1], n[2], n[3]); two != 1 || above != 1 {
			t.Errorf("%v: got %v, %v, want 1, 1", n, two, above)
		}
	}
	for _, n := range [][4]int64{{0, 5, 0, 9}, {5, 5, 9, 9}} { // one table alone
		if two, above := Fisher(n[0], n[1], n[2], n[3]); two != 1 || above != 1 {
			t.Errorf("%v: got %v, %v, want 1, 1", n, two, above)
		}
	}
	if two, _ := Fisher(1<<20, 1<<28, 1<<20+900, 1<<28); !(two > 0.4 && two < 0.7) { // z = 0.62
		t.Errorf("far out: got %v", two)
	}
}

func BenchmarkFisher(b *testing.B) {
	for b.Loop() {
		Fisher(80, 1200, 110, 1250)
	}
}
