package main

import (
	"slices"
	"testing"
	"time"
)

func TestPercentileIsNearestRank(t *testing.T) {
	var hundred, threeHundred []time.Duration
	for i := range 300 {
		threeHundred = append(threeHundred, time.Duration(300-i))
	}
	hundred = threeHundred[200:] // 100 down to 1
	for _, c := range []struct {
		samples []time.Duration
		p       int
		want    time.Duration
	}{
		{nil, 50, 0}, {[]time.Duration{7}, 1, 7}, {[]time.Duration{7}, 99, 7},
		{[]time.Duration{2, 1}, 50, 1}, {[]time.Duration{3, 1, 2}, 50, 2},
		{hundred, 50, 50}, {hundred, 99, 99}, {hundred, 100, 100}, {hundred, 0, 1},
		{threeHundred, 50, 150}, {threeHundred, 99, 297},
	} {
		before := slices.Clone(c.samples)
		if got := percentile(c.samples, c.p); got != c.want {
			t.Errorf("percentile(%d samples, %d) = %d, want %d", len(c.samples), c.p, got, c.want)
		}
		if !slices.Equal(before, c.samples) {
			t.Errorf("percentile of %d samples changed their order", len(before))
		}
	}
}

func TestMedianAcrossRuns(t *testing.T) {
	for _, c := range []struct {
		p50  []float64
		want string
	}{
		{nil, "–"}, {[]float64{2}, "2.00 [2.00–2.00]"}, {[]float64{3, 1}, "2.00 [1.00–3.00]"},
		{[]float64{300, 0.0123, 20}, "20.0 [0.0123–300]"},
	} {
		var r row
		for _, v := range c.p50 {
			r.Runs = append(r.Runs, figures{P50: v})
		}
		if got := r.across(func(f figures) float64 { return f.P50 }); got != c.want {
			t.Errorf("across %v = %q, want %q", c.p50, got, c.want)
		}
	}
}

func TestRateTurnsTimesOver(t *testing.T) {
	samples := []time.Duration{time.Second, 2 * time.Second, 4 * time.Second}
	if f := rated(samples, 100, "rows/s"); f.P50 != 50 || f.P99 != 25 || f.N != 3 {
		t.Errorf("rated = %+v, want 50, 25 of 3", f)
	}
}
