package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	tests := []struct {
		name  string
		x     float64
		scale int64
		n     int64
		ok    bool
	}{
		{"whole", 3, 1, 3, true},
		{"nothing", 0, 10_000, 0, true},
		{"down", 0.12344, 10_000, 1234, true},
		{"up", 0.12346, 10_000, 1235, true},
		{"a half", 2.5, 1, 3, true},
		{"another half", 3.5, 1, 4, true},
		{"a half below zero", -2.5, 1, -3, true},
		{"below zero", -0.12344, 10_000, -1234, true},
		{"a half but for noise", 1.005, 100, 101, true}, // as a float 1.005 is a little less
		{"a half but for noise, below zero", -1.005, 100, -101, true},
		{"less than a half by more than noise", 0.4999999, 1, 0, true},
		{"just under a large half", 1_000_000.4999, 1, 1_000_000, true},
		{"the largest exact number", 1 << 53, 1, 1 << 53, true},
		{"beyond what is exact", 1 << 53, 2, 0, false},
		{"no number", math.NaN(), 1, 0, false},
		{"without end", math.Inf(1), 1, 0, false},
		{"without end below", math.Inf(-1), 1, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if n, ok := Nearest(tt.x, tt.scale); n != tt.n || ok != tt.ok {
				t.Errorf("got %d, %v, want %d, %v", n, ok, tt.n, tt.ok)
			}
		})
	}
}

// A share in whole numbers is rounded as without floats.
func TestNearestOfFractions(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.Int64Range(1, 100_000).Draw(rt, "n")
		x := rapid.Int64Range(0, n).Draw(rt, "x")
		want, ok := ShareParts(x, n)
		if !ok {
			rt.Fatalf("%d of %d: not ok", x, n)
		}
		if got, ok := Nearest(float64(x)/float64(n), Whole); got != want || !ok {
			rt.Fatalf("%d of %d: got %d, %v, want %d", x, n, got, ok, want)
		}
	})
}

func TestShareParts(t *testing.T) {
	tests := []struct {
		name  string
		x, n  int64
		parts int64
		ok    bool
	}{
		{"a third", 1, 3, 3333, true},
		{"two thirds", 2, 3, 6667, true},
		{"a half part", 1, 20_000, 1, true},
		{"less than half a part", 1, 20_001, 0, true},
		{"none", 0, 5, 0, true},
		{"all", 5, 5, 10_000, true},
		{"all of the most", 1 << 40, 1 << 40, 10_000, true},
		{"nothing tried", 0, 0, 0, false},
		{"fewer than none", -1, 5, 0, false},
		{"more than all", 6, 5, 0, false},
		{"more than the most", 1, 1<<40 + 1, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if parts, ok := ShareParts(tt.x, tt.n); parts != tt.parts || ok != tt.ok {
				t.Errorf("got %d, %v, want %d, %v", parts, ok, tt.parts, tt.ok)
			}
		})
	}
}

func TestIntervalsInParts(t *testing.T) {
	tests := []struct {
		name         string
		lo, hi       int64
		wantLo, want int64
	}{
		{name: "Wilson", wantLo: 2553, want: 3662},
		{name: "Wilson of nothing", wantLo: 0, want: 10_000},
		{name: "Clopper and Pearson", wantLo: 2527, want: 3676},
		{name: "Newcombe", wantLo: 524, want: 3339},
		{name: "Newcombe the other way round", wantLo: -3339, want: -524},
	}
	tests[0].lo, tests[0].hi = WilsonParts(81, 263)
	tests[1].lo, tests[1].hi = WilsonParts(0, 0)
	tests[2].lo, tests[2].hi = ClopperPearsonParts(81, 263)
	tests[3].lo, tests[3].hi = NewcombeParts(56, 70, 48, 80)
	tests[4].lo, tests[4].hi = NewcombeParts(48, 80, 56, 70)
	for _, tt := range tests {
		if tt.lo != tt.wantLo || tt.hi != tt.want {
			t.Errorf("%s: got %d..%d, want %d..%d", tt.name, tt.lo, tt.hi, tt.wantLo, tt.want)
		}
	}
}

func TestChancesInParts(t *testing.T) {
	tests := []struct {
		name      string
		got, want int64
	}{
		{"7 of 10 at a half", BinomialParts(7, 10, 5000), 3438}, // 0.34375: a half goes up
		{"none of many", BinomialParts(0, 1000, 5000), 1},
		{"a chance out of bounds", BinomialParts(1, 2, 10_000), 10_000},
		{"two rates", RatesParts(180, 1_800_000, 140, 1_800_000), 291},
		{"two rates far apart", RatesParts(1000, 1, 1, 1), 1},
		{"the same rates", RatesParts(4, 1, 4, 1), 10_000},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%s: got %d, want %d", tt.name, tt.got, tt.want)
		}
	}
}

func TestPerHour10(t *testing.T) {
	tests := []struct {
		name         string
		events, ms   int64
		rate, lo, hi int64
		ok           bool
	}{
		{"180 in half an hour", 180, 1_800_000, 3600, 3093, 4166, true},
		{"none in half an hour", 0, 1_800_000, 0, 0, 74, true},
		{"one in an hour", 1, 3_600_000, 10, 0, 56, true},
		{"a rate of a half part", 1, 72_000_000, 1, 0, 3, true},
		{"one in a millisecond", 1, 1, 36_000_000, 911_441, 200_579_162, true},
		{"no time", 5, 0, 0, 0, 0, false},
		{"fewer than none", -1, 1000, 0, 0, 0, false},
		{"too many", 1 << 40, 1, 0, 0, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rate, lo, hi, ok := PerHour10(tt.events, tt.ms)
			if rate != tt.rate || lo != tt.lo || hi != tt.hi || ok != tt.ok {
				t.Errorf("got %d, %d..%d, %v, want %d, %d..%d, %v", rate, lo, hi, ok, tt.rate, tt.lo, tt.hi, tt.ok)
			}
		})
	}
}

func TestCeilQuotient(t *testing.T) {
	tests := []struct {
		name string
		n    int64
		p    float64
		q    int64
		ok   bool
	}{
		{"whole", 90, 0.5, 180, true},
		{"rounded up", 91, 0.9, 102, true},
		{"whole but for noise", 3, 0.1, 30, true},
		{"whole but for noise in the share", 3, math.Nextafter(0.1, 0), 30, true},
		{"whole but for noise, large", 900_000, 0.9, 1_000_000, true},
		{"a share of 1", 7, 1, 7, true},
		{"a rate above 1", 7, 2.5, 3, true},
		{"no number", 7, math.NaN(), 0, false},
		{"nothing to take", 0, 0.3, 0, true},
		{"a share of 0", 5, 0, 0, false},
		{"a share below 0", 5, -0.1, 0, false},
		{"nothing, at a share of 0", 0, 0, 0, false},
		{"fewer than nothing", -1, 0.5, 0, false},
		{"the largest exact number", 1 << 53, 1, 1 << 53, true},
		{"beyond what is exact", 1 << 53, 0.5, 0, false},
		{"a tiny share", 1, 1e-17, 0, false},
		{"a tiny share of nothing", 0, 1e-300, 0, true},
		{"an excess that is more than noise", 1_000_001, 1.0 / 3, 3_000_003, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if q, ok := CeilQuotient(tt.n, tt.p); q != tt.q || ok != tt.ok {
				t.Errorf("got %d, %v, want %d, %v", q, ok, tt.q, tt.ok)
			}
		})
	}
}

// A share that is a fraction in whole numbers gives the quotient in whole numbers.
func TestCeilQuotientOfFractions(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		den := rapid.Int64Range(1, 20_000).Draw(rt, "den")
		num := rapid.Int64Range(1, den).Draw(rt, "num")
		n := rapid.Int64Range(0, 20_000).Draw(rt, "n")
		want := (n*den + num - 1) / num
		if got, ok := CeilQuotient(n, float64(num)/float64(den)); got != want || !ok {
			rt.Fatalf("%d / (%d/%d): got %d, %v, want %d", n, num, den, got, ok, want)
		}
	})
}

func TestDifferenceParts(t *testing.T) {
	tests := []struct {
		name           string
		x1, n1, x2, n2 int64
		parts          int64
		ok             bool
	}{
		{"Newcombe's (a): 56 of 70 and 48 of 80", 56, 70, 48, 80, 2000, true},
		{"the other way", 48, 80, 56, 70, -2000, true},
		{"two thirds and a third", 2, 3, 1, 3, 3333, true},
		{"a third and two thirds", 1, 3, 2, 3, -3333, true},
		{"a half part", 1, 20_000, 0, 1, 1, true},
		{"a half part below", 0, 1, 1, 20_000, -1, true},
		{"alike", 3, 9, 1, 3, 0, true},
		{"all and none of the most", 1 << 20, 1 << 20, 0, 1 << 20, 10_000, true},
		{"nothing tried", 0, 0, 1, 2, 0, false},
		{"more than all", 1, 2, 3, 2, 0, false},
		{"fewer than none", -1, 2, 1, 2, 0, false},
		{"more than the most", 1, 1<<20 + 1, 1, 2, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if parts, ok := DifferenceParts(tt.x1, tt.n1, tt.x2, tt.n2); parts != tt.parts || ok != tt.ok {
				t.Errorf("got %d, %v, want %d, %v", parts, ok, tt.parts, tt.ok)
			}
		})
	}
}

func TestPartsOfATrial(t *testing.T) {
	if got := FisherParts(3, 4, 1, 4); got != 4857 {
		t.Errorf("Fisher: got %d, want 4857", got)
	}
	if got := FisherParts(0, 400, 400, 400); got != 1 {
		t.Errorf("Fisher is never 0: got %d", got)
	}
	// Beta(21, 200) and Beta(31, 200) are 20 in 219 and 30 in 229 under flat priors.
	if got := LargerParts(20, 219, 30, 229); got != 9067 {
		t.Errorf("larger: got %d, want 9067", got)
	}
	if low, high := LargerParts(400, 400, 0, 400), LargerParts(0, 400, 400, 400); low != 1 || high != 9_999 {
		t.Errorf("never certain: got %d and %d, want 1 and 9,999", low, high)
	}
}
