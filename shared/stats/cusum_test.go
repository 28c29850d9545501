package stats

import (
	"math"
	"math/rand/v2"
	"testing"
)

// defaults is the chart of a session that nobody set otherwise.
var defaults = Chart{P0Parts: 500, P1Parts: 1_000, H100: 500}

// simulated is the share of made-up sessions of n attempts in which an alarm
// stands, by sums of whole billionths and nothing else.
func simulated(c Chart, failParts, n, sessions int64) float64 {
	failed, fine := CusumBillionths(c.P0Parts, c.P1Parts)
	r, alarms := rand.New(rand.NewPCG(uint64(failParts), uint64(n))), int64(0)
	for range sessions {
		sum := int64(0)
		for range n {
			if r.Int64N(Whole) < failParts {
				sum += failed
			} else {
				sum = max(0, sum+fine)
			}
			if sum >= c.H100*(Billion/100) {
				alarms++
				break
			}
		}
	}
	return float64(alarms) / float64(sessions)
}

// The stated chances are those of simulated sessions: at the defaults one false
// alarm in about five clean sessions of 2,500 attempts, and a doubled share is
// noticed within 400 in nine of ten.
func TestAlarmChancesAreThoseOfSimulatedSessions(t *testing.T) {
	tests := []struct {
		name       string
		chart      Chart
		fail, n    int64
		sessions   int64
		least, top float64 // what the chance must lie between, by itself
	}{
		{"false alarms of a clean session", defaults, 500, 2_500, 3_000, 0.18, 0.21},
		{"false alarms of a short one", defaults, 500, 400, 5_000, 0, 0.05},
		{"a doubled share within 400", defaults, 1_000, 400, 5_000, 0.9, 0.94},
		{"a doubled share within 200", defaults, 1_000, 200, 5_000, 0.5, 0.65},
		{"a lower limit", Chart{500, 1_000, 300}, 500, 1_000, 3_000, 0.4, 0.8},
		{"a clean hand", Chart{200, 500, 400}, 200, 2_000, 3_000, 0, 0.4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, want := float64(tt.chart.AlarmParts(tt.fail, tt.n))/Whole, simulated(tt.chart, tt.fail, tt.n, tt.sessions)
			sure := 4*math.Sqrt(want*(1-want)/float64(tt.sessions)) + 1.0/Whole
			if math.Abs(got-want) > sure+0.006*want {
				t.Errorf("got %v, simulated %v ± %v", got, want, sure)
			}
			if got < tt.least || got > tt.top {
				t.Errorf("got %v, want %v to %v", got, tt.least, tt.top)
			}
		})
	}
}

// exactly is the chance of an alarm within n attempts, over every sum that can
// be reached, each kept apart.
func exactly(c Chart, p float64, n int64) float64 {
	failed, fine := CusumBillionths(c.P0Parts, c.P1Parts)
	at, alarmed := map[int64]float64{0: 1}, 0.0
	for range n {
		next := map[int64]float64{}
		for sum, mass := range at {
			if higher := sum + failed; higher >= c.H100*(Billion/100) {
				alarmed += mass * p
			} else {
				next[higher] += mass * p
			}
			next[max(0, sum+fine)] += mass * (1 - p)
		}
		at = next
	}
	return alarmed
}

func TestAlarmChancesAgainstEverySum(t *testing.T) {
	for _, c := range []Chart{defaults, {500, 1_000, 250}, {300, 900, 400}, {1_000, 1_500, 300}} {
		for _, fail := range []int64{c.P0Parts, 3_000} {
			for _, n := range []int64{1, 8, 60, 150} {
				got, want := float64(c.AlarmParts(fail, n))/Whole, exactly(c, float64(fail)/Whole, n)
				if math.Abs(got-want) > 0.015*want+1.5/Whole {
					t.Errorf("%+v at %d in %d: got %v, want %v", c, fail, n, got, want)
				}
			}
		}
	}
}

func TestRunLengths(t *testing.T) {
	tests := []struct {
		chart       Chart
		fail        int64
		least, most int64
	}{
		{defaults, 500, 11_000, 11_400},
		{defaults, 1_000, 200, 215},
		{defaults, 5_000, 14, 18}, // eight failures reach 5, at one in two
		{Chart{10, 5_000, 100}, 5_000, 2, 2},
		{Chart{10, 20, 2_000}, 10, Billion, Billion},
		{Chart{5_000, 9_000, 2_000}, 5_000, Billion, Billion},
	}
	for _, tt := range tests {
		if got := tt.chart.RunLength(tt.fail); got < tt.least || got > tt.most {
			t.Errorf("%+v at %d: got %d, want %d to %d", tt.chart, tt.fail, got, tt.least, tt.most)
		}
	}
}

// A server and a phone must both find these; see TestSameBitsEverywhere.
func TestSameChancesEverywhere(t *testing.T) {
	const want uint64 = 0x79f43b5a6e2a7cb6
	h := hash(14695981039346656037)
	for _, c := range []Chart{defaults, {200, 500, 400}, {10, 20, 300}} {
		h.add(CusumWeights(float64(c.P0Parts)/Whole, float64(c.P1Parts)/Whole))
		k := c.chain(c.P0Parts)
		for range 700 {
			k.step()
		}
		h.add(k.alive, k.hazard, float64(c.AlarmParts(c.P0Parts, 2_500)), float64(c.RunLength(c.P1Parts)))
	}
	for n := int64(1); n < 60; n += 7 {
		m, lo, hi := ShareLimits(n, n, 50)
		h.add(m, lo, hi, raised(0.97, n*n))
	}
	if uint64(h) != want {
		t.Errorf("got %#x, want %#x", uint64(h), want)
	}
}

func TestShareLimitsParts(t *testing.T) {
	tests := []struct{ total, groups, n, mean, lo, hi int64 }{
		{0, 1, 50, 0, 0, 0},
		{50, 1, 50, 10_000, 10_000, 10_000},
		{30, 10, 50, 600, 0, 1_608}, // 0.06 + 3 √(0.06 × 0.94 / 50) = 0.16075…
		{250, 10, 50, 5_000, 2_879, 7_121},
	}
	for _, tt := range tests {
		if mean, lo, hi := ShareLimitsParts(tt.total, tt.groups, tt.n); mean != tt.mean || lo != tt.lo || hi != tt.hi {
			t.Errorf("%d of %d × %d: got %d, %d..%d", tt.total, tt.groups, tt.n, mean, lo, hi)
		}
	}
}

// Where a chart has not settled within 20,000 attempts its average is more than
// that, and not a guess: 53,011 were simulated where a guess said 352,707.
func TestRunLengthsThatCannotBeTold(t *testing.T) {
	c := Chart{P0Parts: 10, P1Parts: 20, H100: 2_000}
	if got := (Chart{P0Parts: 10, P1Parts: 20, H100: 300}).RunLength(20); got < 5_800 || got > 5_950 {
		t.Errorf("not settled, and hardly any left: got %d", got)
	}
	if rare, often := c.RunLength(10), c.RunLength(20); rare != Billion || often != Billion {
		t.Errorf("got %d and %d, want more than can be told", rare, often)
	}
}
