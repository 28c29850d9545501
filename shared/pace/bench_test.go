package pace

import (
	"strconv"
	"testing"

	"rootledger/shared/event"
)

// bySize runs a benchmark for a small day and for one larger than any that is planned for.
func bySize(b *testing.B, run func(b *testing.B, entries []Entry)) {
	for _, n := range []int{1_000, 100_000} {
		entries := make([]Entry, n) // one a second from eight phones, a tenth of them of 20
		for i := range entries {
			entries[i] = entry(byte(i%8), uint64(i+1), after(0)+int64(i)*1000, 1+int64(i/8%10/9*19))
		}
		b.Run(strconv.Itoa(n), func(b *testing.B) { run(b, entries) })
	}
}

// One entry that comes in order.
func BenchmarkAdd(b *testing.B) {
	bySize(b, func(b *testing.B, entries []Entry) {
		b.ReportAllocs()
		tally := new(Tally)
		for i := 0; b.Loop(); i++ {
			if i%len(entries) == 0 {
				tally = new(Tally)
			}
			tally.Add(entries[i%len(entries)], 1)
		}
	})
}

// What a screen needs after a tap: one more entry, the pace, and the trend.
func BenchmarkTapAndRead(b *testing.B) {
	bySize(b, func(b *testing.B, entries []Entry) {
		b.ReportAllocs()
		tally, d := tallyOf(entries...), day(pause(10, 20), pause(15, 30))
		last := entries[len(entries)-1]
		for b.Loop() {
			last.Ref.Seq++
			last.AtMs += 1000
			tally.Add(last, 1)
			tally.Read(event.Sorting, last.AtMs, d)
			tally.Trend(event.Sorting, last.AtMs, d)
		}
	})
}

// A screen that is drawn again a second later, with nothing counted since.
func BenchmarkReadAgain(b *testing.B) {
	bySize(b, func(b *testing.B, entries []Entry) {
		b.ReportAllocs()
		tally, d := tallyOf(entries...), day(pause(10, 20), pause(15, 30))
		now := entries[len(entries)-1].AtMs
		for i := int64(0); b.Loop(); i++ {
			tally.Read(event.Sorting, now+i%2, d)
		}
	})
}

// An entry in the middle of the day is undone and brought back, and read each time.
func BenchmarkUndoAndRead(b *testing.B) {
	bySize(b, func(b *testing.B, entries []Entry) {
		tally, d := tallyOf(entries...), day()
		middle, now := entries[len(entries)/2], entries[len(entries)-1].AtMs
		for b.Loop() {
			tally.Add(middle, -1)
			tally.Read(event.Sorting, now, d)
			tally.Add(middle, 1)
			tally.Read(event.Sorting, now, d)
		}
	})
}

// Ten thousand late entries of one phone, in the wrong order, and a read.
func BenchmarkLateEntries(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		tally := new(Tally)
		for i := range int64(10_000) {
			tally.Add(entry(1, uint64(i), after(0)+i*7919%10_007*1000, 1), 1)
		}
		tally.Read(event.Sorting, after(160), day())
	}
}
