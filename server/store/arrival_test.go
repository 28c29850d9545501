package store

import "testing"

func TestArrivals(t *testing.T) {
	a := Arrivals{{1, 1000}, {5, 3000}, {9, 10_000}}
	for _, test := range []struct{ ms, n int64 }{{999, 0}, {1000, 4}, {2999, 4}, {3000, 8}, {9999, 8}, {10_000, 1<<62 - 1}} {
		if n, ok := a.By(test.ms); n != test.n || !ok {
			t.Errorf("by %d: got %d %v, want %d", test.ms, n, ok, test.n)
		}
	}
	for _, test := range []struct{ n, ms int64 }{{1, 1000}, {4, 1000}, {5, 3000}, {8, 3000}, {9, 10_000}, {900, 10_000}} {
		if ms := a.At(test.n); ms != test.ms {
			t.Errorf("the %dth: got %d, want %d", test.n, ms, test.ms)
		}
	}
	for _, unknown := range []Arrivals{nil, {{5, 3000}}} { // stored before there were marks
		if n, ok := unknown.By(5000); ok {
			t.Errorf("%v: got %d, want that it is not known", unknown, n)
		}
	}
}
