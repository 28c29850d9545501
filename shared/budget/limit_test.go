package budget

import (
	"testing"

	"pgregory.net/rapid"
)

// Wanted numbers: computed from the definition.
func TestLimit(t *testing.T) {
	tests := []struct {
		name           string
		need, capacity int64
		noNeed, noCap  bool
		yield          int64
		want           Limit
	}{
		{"the donor is short", 4570, 4060, false, false, 1000, Limit{4060, StopsDonor, 4060, 510}},
		{"the donor is shorter at 88 %: 3572.8", 4570, 4060, false, false, 880, Limit{3572, StopsDonor, 3572, 998}},
		{"the need is less", 2000, 4060, false, false, 880, Limit{2000, StopsNeed, 3572, 0}},
		{"a tie", 3572, 4060, false, false, 880, Limit{3572, StopsNeed, 3572, 0}},
		{"one more than a tie", 3573, 4060, false, false, 880, Limit{3572, StopsDonor, 3572, 1}},
		{"no need known", 0, 4060, true, false, 880, Limit{3572, StopsDonor, 3572, 0}},
		{"no capacity known", 2000, 0, false, true, 880, Limit{2000, StopsNeed, 0, 0}},
		{"nothing known", 0, 0, true, true, 880, Limit{}},
		{"what is not known counts for nothing", 9, 9, true, true, 880, Limit{}},
		{"no need", 0, 4060, false, false, 880, Limit{0, StopsNeed, 3572, 0}},
		{"nothing left to take", 2000, 0, false, false, 880, Limit{0, StopsDonor, 0, 2000}},
		{"more harvested than the share", 2000, -500, false, false, 880, Limit{0, StopsDonor, 0, 2000}},
		{"a need below zero", -3, 4060, false, false, 880, Limit{0, StopsNeed, 3572, 0}},
		{"neither", 0, 0, false, false, 880, Limit{0, StopsNeed, 0, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := LimitOf(tt.need, !tt.noNeed, tt.capacity, !tt.noCap, tt.yield); got != tt.want {
				t.Errorf("got %+v, want %+v", got, tt.want)
			}
		})
	}
}

func TestLimitIsTheLargestOnBothSides(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		need, capacity := rapid.Int64Range(0, 60_000).Draw(rt, "need"), rapid.Int64Range(0, 600_000).Draw(rt, "capacity")
		yield := rapid.Int64Range(1, 1000).Draw(rt, "yield")
		got := LimitOf(need, true, capacity, true, yield)
		allowed := func(budget int64) bool { return budget <= need && 1000*budget <= capacity*yield }
		if !allowed(got.Grafts) || allowed(got.Grafts+1) || got.Shortfall != need-got.Grafts {
			rt.Fatalf("need %d, capacity %d at %d: got %+v", need, capacity, yield, got)
		}
		if (got.By == StopsNeed) != (got.Grafts == need) || got.By == StopsUnknown {
			rt.Fatalf("need %d, capacity %d at %d: got %s", need, capacity, yield, got.By)
		}
	})
}
