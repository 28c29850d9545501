package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestWilson(t *testing.T) {
	tests := []struct {
		name   string
		x, n   int64
		lo, hi float64
		within float64
	}{
		// Newcombe RG, Stat Med 1998;17:857-872, Table I, method 3: read in works citing the table.
		{"81 of 263", 81, 263, 0.2553, 0.3662, 5e-5},
		// The same table, from memory; recomputed from the definition with 40 digits.
		{"15 of 148", 15, 148, 0.062386, 0.160487, 5e-7},
		{"0 of 20", 0, 20, 0, 0.161125, 5e-7},
		// Computed from the definition with 40 digits.
		{"20 of 20", 20, 20, 0.838875, 1, 5e-7},
		{"1 of 29", 1, 29, 0.006113, 0.171755, 5e-7},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lo, hi := Wilson(tt.x, tt.n)
			if math.Abs(lo-tt.lo) > tt.within || math.Abs(hi-tt.hi) > tt.within {
				t.Errorf("got %v..%v, want %v..%v", lo, hi, tt.lo, tt.hi)
			}
		})
	}
}

func TestWilsonAtItsEnds(t *testing.T) {
	tests := []struct {
		name   string
		x, n   int64
		lo, hi float64 // exactly; -1 for "inside"
	}{
		{"none", 0, 1000, 0, -1},
		{"all", 1000, 1000, -1, 1},
		{"none of one", 0, 1, 0, -1},
		{"one of one", 1, 1, -1, 1},
		{"nothing tried", 0, 0, 0, 1},
		{"fewer than none", -1, 10, 0, 1},
		{"more than all", 11, 10, 0, 1},
		{"a number of tries below zero", -3, -2, 0, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lo, hi := Wilson(tt.x, tt.n)
			if tt.lo >= 0 && lo != tt.lo || tt.lo < 0 && (lo <= 0 || lo >= 1) {
				t.Errorf("got a lower end of %v, want %v", lo, tt.lo)
			}
			if tt.hi >= 0 && hi != tt.hi || tt.hi < 0 && (hi <= 0 || hi >= 1) {
				t.Errorf("got an upper end of %v, want %v", hi, tt.hi)
			}
		})
	}
}

func TestWilsonOfNoneAndOfAllIsExact(t *testing.T) {
	for n := int64(1); n <= 3000; n++ {
		if lo, _ := Wilson(0, n); lo != 0 {
			t.Errorf("0 of %d: got a lower end of %v, want 0", n, lo)
		}
		if _, hi := Wilson(n, n); hi != 1 {
			t.Errorf("%d of %d: got an upper end of %v, want 1", n, n, hi)
		}
	}
}

func TestWilsonHoldsTheShareAndMirrors(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.Int64Range(1, 50_000).Draw(rt, "n")
		x := rapid.Int64Range(0, n).Draw(rt, "x")
		lo, hi := Wilson(x, n)
		p := float64(x) / float64(n)
		if lo < 0 || lo > p || hi < p || hi > 1 {
			rt.Fatalf("got %v..%v, want %v inside and both in 0..1", lo, hi, p)
		}
		mirrorLo, mirrorHi := Wilson(n-x, n)
		if math.Abs(lo-(1-mirrorHi)) > 1e-12 || math.Abs(hi-(1-mirrorLo)) > 1e-12 {
			rt.Fatalf("got %v..%v, and %v..%v for the others", lo, hi, mirrorLo, mirrorHi)
		}
	})
}
