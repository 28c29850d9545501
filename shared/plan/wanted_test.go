package plan

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// Wanted numbers: computed from the definition.
func TestWanted(t *testing.T) {
	tests := []struct {
		name                         string
		area, hairs, share, pergraft int64
		want                         int64
		known                        bool
	}{
		{"50 cm² of 200 hairs, a quarter, 2 a graft", 5000, 2000, 250, 200, 1250, true},
		{"the same at 2.2 a graft: 1136.4", 5000, 2000, 250, 220, 1137, true},
		{"the same at 35 %", 5000, 2000, 350, 200, 1750, true},
		{"exactly one", 100, 10, 1000, 100, 1, true},
		{"a trace more than one", 101, 10, 1000, 100, 2, true},
		{"a trace", 1, 1, 1, 600, 1, true},
		{"all of the largest", 200_000, 18_000, 1000, 1, 360_000_000, true},
		{"no area", 0, 2000, 250, 200, 0, false},
		{"no hairs", 5000, 0, 250, 200, 0, false},
		{"no share", 5000, 2000, 0, 200, 0, false},
		{"no hairs in a graft", 5000, 2000, 250, 0, 0, false},
		{"below zero twice", -5000, -2000, 250, 200, 0, false},
		{"an area beyond all", 200_001, 2000, 250, 200, 0, false},
		{"hairs beyond all", 5000, 18_001, 250, 200, 0, false},
		{"more than all hairs", 5000, 2000, 1001, 200, 0, false},
		{"a graft beyond all", 5000, 2000, 250, 601, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, known := Wanted(tt.area, tt.hairs, tt.share, tt.pergraft)
			if got != tt.want || known != tt.known {
				t.Errorf("got %d, %v, want %d, %v", got, known, tt.want, tt.known)
			}
		})
	}
}

func TestWantedIsTheLeastThatIsEnough(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := func(name string, most int64) int64 { return rapid.Int64Range(1, most).Draw(rt, name) }
		area, hairs, share, graft := n("area", 200_000), n("hairs", 18_000), n("share", 1000), n("graft", 600)
		got, known := Wanted(area, hairs, share, graft)
		exact := new(big.Rat).SetFrac(big.NewInt(area*hairs*share), big.NewInt(10_000*graft))
		if !known || new(big.Rat).SetInt64(got).Cmp(exact) < 0 || new(big.Rat).SetInt64(got-1).Cmp(exact) >= 0 {
			rt.Fatalf("got %d, %v, want %v rounded up", got, known, exact.FloatString(4))
		}
	})
}
