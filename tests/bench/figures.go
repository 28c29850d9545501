package main

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// figures is what one run of one measurement came to.
type figures struct {
	Unit string  `json:"unit"`
	N    int     `json:"n"` // samples
	P50  float64 `json:"p50"`
	P99  float64 `json:"p99"`
	// Limit is what P50 could be at best, measured in the same run; 0 when
	// there is none.
	Limit float64 `json:"limit,omitempty"`
	// LateMs is how far behind its time the latest tap of a load was sent.
	LateMs float64 `json:"lateMs,omitempty"`
}

// row is one measurement with all its runs.
type row struct {
	ID         string    `json:"id"`
	What       string    `json:"what"`
	Durability string    `json:"durability"`
	Runs       []figures `json:"runs"`
}

// timed makes figures of times, in milliseconds.
func timed(samples []time.Duration) figures {
	return figures{Unit: "ms", N: len(samples),
		P50: millis(percentile(samples, 50)), P99: millis(percentile(samples, 99))}
}

// rated makes figures of times that did each operations. Its P99 is the rate
// that 99 of 100 samples reach.
func rated(samples []time.Duration, each float64, unit string) figures {
	rate := func(p int) float64 { return each / percentile(samples, p).Seconds() }
	return figures{Unit: unit, N: len(samples), P50: rate(50), P99: rate(99)}
}

func millis(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// percentile is the smallest sample that at least p of 100 samples do not
// exceed (nearest rank); 0 of none. It leaves the samples in their order.
func percentile(samples []time.Duration, p int) time.Duration {
	if len(samples) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(samples))
	rank := (p*len(sorted) + 99) / 100 // rounded up
	return sorted[min(max(rank, 1), len(sorted))-1]
}

// median is the middle of values, or half way between the two middle ones.
func median(values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(values))
	mid := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[mid]
	}
	return (sorted[mid-1] + sorted[mid]) / 2
}

// across says the median of all runs, and the least and the most.
func (r row) across(of func(figures) float64) string {
	values := make([]float64, len(r.Runs))
	for i, f := range r.Runs {
		values[i] = of(f)
	}
	if len(values) == 0 || math.IsNaN(median(values)) {
		return "–"
	}
	return fmt.Sprintf("%s [%s–%s]", short(median(values)), short(slices.Min(values)), short(slices.Max(values)))
}

// short writes three digits that mean something, and no exponent.
func short(v float64) string {
	digits := 0
	for scale := 100.0; v < scale && digits < 4; scale /= 10 {
		digits++
	}
	return fmt.Sprintf("%.*f", digits, v)
}
