package stats

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Sizes with the correction as tables of such sizes print them (from memory).
func TestNeeded(t *testing.T) {
	tests := []struct {
		name           string
		x1, n1, x2, n2 int64
		want           int64
		ok             bool
	}{
		{"5 % and 10 %", 5, 100, 10, 100, 474, true},
		{"the same the other way", 100, 1000, 50, 1000, 474, true},
		{"60 % and 70 %", 6, 10, 70, 100, 376, true},
		{"none and all", 0, 10, 10, 10, 4, true},
		{"alike", 5, 100, 10, 200, 0, false},
		{"none on both sides", 0, 100, 0, 50, 0, false},
		{"nearly alike", 500, 10_000, 505, 10_000, 0, false},
		{"nothing tried", 0, 0, 1, 10, 0, false},
		{"more than all", 11, 10, 1, 10, 0, false},
		{"below none", 1, 10, -1, 10, 0, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if n, ok := Needed(test.x1, test.n1, test.x2, test.n2); n != test.want || ok != test.ok {
				t.Errorf("got %d, %v, want %d, %v", n, ok, test.want, test.ok)
			}
		})
	}
}

// power is in how many of all trials of n on each side Fisher's test, two-sided
// at 5 %, tells the shares apart: by enumeration.
func power(p1, p2 float64, n int64) (sum float64) {
	a, b := distuv.Binomial{N: float64(n), P: p1}, distuv.Binomial{N: float64(n), P: p2}
	for x := range n + 1 {
		pa := a.Prob(float64(x))
		if pa < 1e-9 {
			continue
		}
		for y := range n + 1 {
			if pb := b.Prob(float64(y)); pb > 1e-9 {
				if two, _ := Fisher(x, n, y, n); two <= 0.05 {
					sum += pa * pb
				}
			}
		}
	}
	return sum
}

// What is said to be needed gives the power that it is for, and a fifth less
// does not.
func TestNeededGivesItsPower(t *testing.T) {
	for _, p := range [][2]int64{{5, 15}, {10, 30}, {2, 12}, {30, 50}} {
		n, ok := Needed(p[0], 100, p[1], 100)
		if !ok {
			t.Fatalf("%v: not known", p)
		}
		p1, p2 := float64(p[0])/100, float64(p[1])/100
		at, below := power(p1, p2, n), power(p1, p2, n*4/5)
		t.Logf("%v %%: %d on each side, power %.3f, with a fifth less %.3f", p, n, at, below)
		if math.Abs(at-0.8) > 0.05 || below > 0.76 {
			t.Errorf("%v %%: %d have a power of %.3f, a fifth less %.3f, want about 0.80", p, n, at, below)
		}
	}
}

// trialBits is the hash of every bit of these figures over a grid, as gridBits.
const trialBits uint64 = 0xee94540eb3fb457a

func TestSameBitsOfTrialsEverywhere(t *testing.T) {
	h := hash(14695981039346656037)
	for _, n := range []int64{1, 2, 7, 20, 101, 997, 10_007, 250_000} {
		for i := int64(0); i <= 12; i++ {
			for _, j := range []int64{0, 1, 5, 12} {
				x, y, m := n*i/12, (n+3)*j/12, n+3
				h.add(pair(Fisher(x, n, y, m))...)
				h.add(Larger(Flat(x, n), Flat(y, m)))
				more, _ := Needed(x, n, y, m)
				h.add(float64(more))
			}
		}
	}
	if uint64(h) != trialBits {
		t.Errorf("got %#x, want %#x", uint64(h), trialBits)
	}
}
