package stats

import (
	"math"
	"testing"
)

// apart is how far got is from want, as a share of want.
func apart(got, want float64) float64 {
	if got == want {
		return 0
	}
	return math.Abs(got-want) / math.Abs(want)
}

func TestExp(t *testing.T) {
	for x := -700.0; x <= 700; x += 0.0371 {
		if got, want := exp(x), math.Exp(x); !(apart(got, want) <= 5e-16) {
			t.Errorf("of %v: got %v, want %v", x, got, want)
		}
	}
	for x, want := range map[float64]float64{0: 1, -709: 0, -1e6: 0, math.Inf(-1): 0} {
		if got := exp(x); got != want {
			t.Errorf("of %v: got %v, want %v", x, got, want)
		}
	}
}

func TestLog(t *testing.T) {
	check := func(x float64) {
		t.Helper()
		if got, want := log(x), math.Log(x); !(apart(got, want) <= 4e-16) {
			t.Errorf("of %v: got %v, want %v", x, got, want)
		}
	}
	for x := 1e-300; x < 1e300; x *= 1.0173 {
		check(x)
	}
	for x := 0.5; x < 2; x += 0.000_037 {
		check(x)
	}
	for _, x := range []float64{1, math.Nextafter(1, 0), math.Nextafter(1, 2), math.Sqrt2, math.Nextafter(math.Sqrt2, 2), 1 << 40} {
		check(x)
	}
}

func TestStirling(t *testing.T) {
	for n := 1.0; n <= 170; n++ {
		lgamma, _ := math.Lgamma(n + 1)
		want := lgamma - (n+0.5)*math.Log(n) + n - math.Log(2*math.Pi)/2
		if got := stirling(n); math.Abs(got-want) > 1e-14+lgamma*4e-16 {
			t.Errorf("of %v: got %v, want %v", n, got, want)
		}
	}
	// The exact factorials and the series meet at 16 (computed with 40 digits).
	for n, want := range map[float64]float64{
		1: 0.08106146679532726, 15: 0.005554733551962801, 16: 0.005207655919609640, 100: 0.0008333305556349208,
	} {
		if got := stirling(n); math.Abs(got-want) > 1e-14 {
			t.Errorf("of %v: got %v, want %v", n, got, want)
		}
	}
}
