package holding

import "testing"

// day is n entries that came and, two hours later, left, a second apart.
func day(n int64) *Tally {
	t := new(Tally)
	for i := range n {
		t.Add(Entry{Move: Came, AtMs: 1 + i*1000, N: 1}, 1)
	}
	for i := range n / 2 {
		t.Add(Entry{Move: Placed, AtMs: 7_200_000 + i*1000, N: 1}, 1)
	}
	t.Read(0, n)
	return t
}

// An entry in order costs the same at any length; so does one of another phone
// that comes a few seconds late.
func BenchmarkEntry(b *testing.B) {
	for name, backMs := range map[string]int64{"in order": 0, "3 s late": 3_000} {
		for _, n := range []int64{1_000, 10_000, 100_000} {
			b.Run(name+"/"+map[int64]string{1_000: "1000", 10_000: "10000", 100_000: "100000"}[n], func(b *testing.B) {
				t := day(n)
				at := 7_200_000 + n*1000
				for b.Loop() {
					at += 10
					t.Add(Entry{Move: Came, AtMs: at - backMs, N: 2}, 1)
					t.Add(Entry{Move: Placed, AtMs: at - backMs, N: 1}, 1)
					t.Read(at, n)
				}
			})
		}
	}
}

// BenchmarkLate is a phone that was away: 2,500 came and 2,500 left, spread over
// a day of 12,000.
func BenchmarkLate(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		t := day(8_000)
		b.StartTimer()
		for i := range int64(2_500) {
			t.Add(Entry{Move: Came, AtMs: 500 + i*3_000, N: 1}, 1)
			t.Add(Entry{Move: Placed, AtMs: 7_200_500 + i*1_500, N: 1}, 1)
		}
		t.Read(0, 12_000)
	}
}
