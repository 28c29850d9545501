package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestNewcombe(t *testing.T) {
	tests := []struct {
		name           string
		x1, n1, x2, n2 int64
		lo, hi         float64
	}{
		// Newcombe RG, Stat Med 1998;17:873-890, Table II, method 10, (a) to (h): (a) read in a work
		// citing it, the others from memory; all computed again with 40 digits.
		{"a", 56, 70, 48, 80, 0.05243147240236, 0.3338726540369},
		{"b", 9, 10, 3, 10, 0.1705227239345, 0.8090179735355},
		{"c", 6, 7, 2, 7, 0.05822792748231, 0.8062496375242},
		{"d", 5, 56, 0, 29, -0.03813714790354, 0.1925600138551},
		{"e", 0, 10, 0, 20, -0.1611251580528, 0.2775327998629},
		{"f", 0, 10, 0, 10, -0.2775327998629, 0.2775327998629},
		{"g", 10, 10, 0, 20, 0.6790860371419, 1},
		{"h", 10, 10, 0, 10, 0.6075093504305, 1},
		{"nothing tried", 0, 0, 1, 2, -1, 1},
		{"nothing tried on the other side", 1, 2, 0, 0, -1, 1},
		{"more than all", 3, 2, 1, 2, -1, 1},
		{"fewer than none", 1, 2, -1, 2, -1, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lo, hi := Newcombe(tt.x1, tt.n1, tt.x2, tt.n2)
			if !(math.Abs(lo-tt.lo) <= 1e-12 && math.Abs(hi-tt.hi) <= 1e-12) {
				t.Errorf("got %v..%v, want %v..%v", lo, hi, tt.lo, tt.hi)
			}
		})
	}
}

func TestNewcombeHoldsTheDifferenceAndMirrors(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n1 := rapid.Int64Range(1, 5000).Draw(rt, "n1")
		x1 := rapid.Int64Range(0, n1).Draw(rt, "x1")
		n2 := rapid.Int64Range(1, 5000).Draw(rt, "n2")
		x2 := rapid.Int64Range(0, n2).Draw(rt, "x2")
		lo, hi := Newcombe(x1, n1, x2, n2)
		d := float64(x1)/float64(n1) - float64(x2)/float64(n2)
		if !(-1 <= lo && lo <= d && d <= hi && hi <= 1) {
			rt.Fatalf("got %v..%v, want %v inside and both in -1..1", lo, hi, d)
		}
		if mirrorLo, mirrorHi := Newcombe(x2, n2, x1, n1); lo != -mirrorHi || hi != -mirrorLo {
			rt.Fatalf("got %v..%v, and %v..%v the other way round", lo, hi, mirrorLo, mirrorHi)
		}
	})
}
