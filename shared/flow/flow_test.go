package flow

import (
	"reflect"
	"testing"
)

const minute = 60_000

// at is a time of a day that opened at minute 100.
func at(minutes int64) int64 { return (100 + minutes) * minute }

// A day by hand: ten came in the first step, seven were sorted and three placed
// in the third; one that was placed came back in the fourth.
func TestRead(t *testing.T) {
	var day Tally
	day.Add(at(13), Stocks{Holding: -3, Placed: 3}, 1)
	day.Add(at(1), Stocks{Bench: 10}, 1)
	day.Add(at(16), Stocks{Holding: 1, Placed: -1}, 1)
	day.Add(at(12), Stocks{Bench: -7, Holding: 7}, 1)
	got := day.Read(at(0), at(17))
	want := Curve{FromMs: at(0), ToMs: at(17), StepMs: 5 * minute,
		Bench: []int64{10, 10, 3, 3}, Holding: []int64{0, 0, 4, 5}, Placed: []int64{0, 0, 3, 2}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	day.Add(at(12), Stocks{Bench: -7, Holding: 7}, -1) // undone
	if got = day.Read(at(0), at(17)); got.Bench[2] != 10 || got.Holding[3] != -2 {
		t.Errorf("undone: got %+v", got)
	}
	day.Clear()
	if got = day.Read(at(0), at(17)); got.Bench[3] != 0 || got.Placed[3] != 0 {
		t.Errorf("cleared: got %+v", got)
	}
}

// What clocks date before the opening or after now is not lost: the last point
// is what lies there.
func TestFarOff(t *testing.T) {
	var day Tally
	day.Add(at(-100_000), Stocks{Bench: 1}, 1)
	day.Add(-5, Stocks{Bench: 2}, 1)
	day.Add(at(100_000), Stocks{Bench: 4}, 1)
	got := day.Read(at(3), at(12))
	if want := []int64{3, 3, 7}; got.FromMs != at(0) || !reflect.DeepEqual(got.Bench, want) {
		t.Errorf("got %+v, want %v from %d", got, want, at(0))
	}
}

// However long a session is left open, a curve stays small and ends in the same place.
func TestLength(t *testing.T) {
	var day Tally
	for i := range int64(3000) {
		day.Add(at(i), Stocks{Bench: 1}, 1)
	}
	for _, minutes := range []int64{0, 4, 5, 600, 714, 715, 719, 720, 721, 3000, 100_000} {
		c := day.Read(at(0), at(minutes))
		n := len(c.Bench)
		if n == 0 || n > maxPoints || len(c.Holding) != n || len(c.Placed) != n || c.Bench[n-1] != 3000 {
			t.Errorf("%d min: %d points, the last %v", minutes, n, c.Bench[max(0, n-1):])
		}
		if last := c.FromMs + int64(n)*c.StepMs; last <= c.ToMs || last-c.StepMs > c.ToMs {
			t.Errorf("%d min: %d points of %d ms from %d do not end at %d", minutes, n, c.StepMs, c.FromMs, c.ToMs)
		}
	}
	if c := day.Read(0, at(5)); len(c.Bench) != 0 || c.FromMs != 0 {
		t.Errorf("no opening: got %+v", c)
	}
	if c := day.Read(at(5), at(4)); len(c.Bench) != 0 {
		t.Errorf("now is before the opening: got %+v", c)
	}
}

// The order of entries and what was taken out again leave no trace.
func TestOrder(t *testing.T) {
	times := []int64{7, 3, 90, 41, 3, 12, 55, 0, 700}
	var one, other Tally
	for i, m := range times {
		one.Add(at(m), Stocks{Bench: int64(i + 1)}, 1)
		other.Add(at(times[len(times)-1-i]), Stocks{Bench: int64(len(times) - i)}, 1)
		other.Add(at(m+1), Stocks{Placed: 9}, 1)
	}
	for _, m := range times {
		other.Add(at(m+1), Stocks{Placed: 9}, -1)
	}
	if a, b := one.Read(at(0), at(700)), other.Read(at(0), at(700)); !reflect.DeepEqual(a, b) {
		t.Errorf("got %+v, want %+v", b, a)
	}
}
