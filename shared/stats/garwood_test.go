package stats

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func TestGarwood(t *testing.T) {
	tests := []struct {
		name   string
		x      int64
		lo, hi float64
	}{
		// Garwood F, Biometrika 1936;28:437-442: from memory; computed again with 40 digits.
		{"none", 0, 0, 3.6888794541139363},
		{"one", 1, 0.025317807984289875, 5.5716433909388986},
		{"five", 5, 1.6234863901184205, 11.66833207932267},
		// Computed from the definition with 40 digits.
		{"180", 180, 154.66390062255624, 208.30262690178711},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lo, hi := Garwood(tt.x)
			if !(apart(lo, tt.lo) <= 1e-9 && apart(hi, tt.hi) <= 1e-9) {
				t.Errorf("got %v..%v, want %v..%v", lo, hi, tt.lo, tt.hi)
			}
		})
	}
}

func TestGarwoodAtItsEnds(t *testing.T) {
	if lo, hi := Garwood(-1); lo != 0 || !math.IsInf(hi, 1) {
		t.Errorf("fewer than none: got %v..%v, want 0..+Inf", lo, hi)
	}
	if lo, _ := Garwood(0); lo != 0 {
		t.Errorf("none: got a lower end of %v, want 0", lo)
	}
	for _, x := range []int64{manyEvents, 1 << 40, math.MaxInt64} {
		lo, hi := Garwood(x)
		if !(lo < float64(x) && float64(x) < hi) {
			t.Errorf("%d: got %v..%v, want it inside", x, lo, hi)
		}
	}
}

func TestGarwoodHoldsTheCountAndGrows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x := rapid.Int64Range(0, 2*manyEvents).Draw(rt, "x")
		lo, hi := Garwood(x)
		if !(lo <= float64(x) && float64(x) < hi) {
			rt.Fatalf("%d: got %v..%v, want it inside", x, lo, hi)
		}
		if nextLo, nextHi := Garwood(x + 1); nextLo <= lo || nextHi <= hi {
			rt.Fatalf("%d: got %v..%v, and for one more %v..%v", x, lo, hi, nextLo, nextHi)
		}
	})
}

func BenchmarkGarwood(b *testing.B) {
	for _, x := range []int64{0, 1, 30, 180, 1000, 10_000, manyEvents - 1, manyEvents} {
		b.Run(strconv.FormatInt(x, 10), func(b *testing.B) {
			for b.Loop() {
				Garwood(x)
			}
		})
	}
}
