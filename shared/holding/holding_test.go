package holding

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

const minute = 60_000

// told is one entry and whether it is in, for the slow reading.
type told struct {
	Entry
	in bool
}

// never is a graft that had not come when it left.
const never = -1

// queued is single grafts in a queue.
type queued struct {
	Figures
	queue, placed []int64
	sum           int64 // times of what left, less those of what came back
}

func (q *queued) leaves(e Entry) {
	if e.Move == CameBack {
		q.CameBack++
		q.sum -= e.AtMs
		if n := len(q.placed); n > 0 {
			q.queue, q.placed = slices.Insert(q.queue, 0, q.placed[n-1]), q.placed[:n-1]
		}
		return
	}
	q.sum += e.AtMs
	graft := int64(never)
	if len(q.queue) > 0 {
		graft, q.queue = q.queue[0], q.queue[1:]
	}
	if graft != never {
		q.LongestMs = max(q.LongestMs, e.AtMs-graft)
	}
	if e.Move == Placed {
		q.Placed++
		q.placed = append(q.placed, graft)
	} else {
		q.Rejected++
	}
}

// slow reads the same figures from single grafts in a queue.
func slow(all []told, nowMs, stock int64) Figures {
	came := cameMs(all)
	q := queued{queue: slices.Clone(came)}
	var leaving []Entry
	for _, e := range all {
		if e.in && e.Move <= CameBack {
			leaving = append(leaving, e.Entry)
		}
	}
	slices.SortStableFunc(leaving, func(a, b Entry) int { return int(a.AtMs-b.AtMs)*4 + int(a.Move) - int(b.Move) })
	for _, e := range leaving {
		for range e.N {
			q.leaves(e)
		}
	}
	f := q.Figures
	f.Came, f.Left = int64(len(came)), f.Placed+f.Rejected-f.CameBack
	if f.MeanKnown = f.Left > 0 && f.Left <= f.Came; !f.MeanKnown {
		f.LongestMs = 0
	}
	if f.Left < 0 || f.Left > f.Came {
		return f
	}
	if f.MeanKnown {
		f.MeanMs = nearest(q.sum-total(came[:f.Left]), f.Left)
		if f.MeanMs < 0 {
			f.MeanKnown, f.MeanMs = false, 0
		}
	}
	if f.Waiting = max(0, min(f.Came-f.Left, stock)); f.Waiting > 0 {
		f.WaitedMs = nowMs - nearest(total(came[f.Left:f.Left+f.Waiting]), f.Waiting)
		if len(q.queue) > 0 && q.queue[0] != never {
			f.OldestAtMs, f.OldestMs = q.queue[0], nowMs-q.queue[0]
		}
	}
	return f
}

func total(list []int64) (sum int64) {
	for _, ms := range list {
		sum += ms
	}
	return sum
}

// cameMs is when each single graft came, in order.
func cameMs(all []told) []int64 {
	var came []int64
	said, keep := map[int][]int64{}, map[int]int64{}
	for _, e := range all {
		if !e.in {
			continue
		}
		for range e.N {
			switch e.Move {
			case Came:
				came = append(came, e.AtMs)
			case Derived:
				said[e.Of] = append(said[e.Of], e.AtMs)
			}
		}
		switch e.Move {
		case Derived:
			keep[e.Of] += e.N
		case Less:
			keep[e.Of] -= e.N
		}
	}
	for pass, list := range said {
		slices.Sort(list)
		came = append(came, list[:min(max(0, keep[pass]), int64(len(list)))]...)
	}
	slices.Sort(came)
	return came
}

// drawEntry draws an entry; an ordinary day has more coming than going.
func drawEntry(rt *rapid.T, aheadMs int64) Entry {
	moves := []Move{Came, Came, Came, Derived, Derived, Less, Placed, Placed, Rejected, CameBack}
	e := Entry{Move: rapid.SampledFrom(moves).Draw(rt, "move"), AtMs: 1 + rapid.Int64Range(0, aheadMs).Draw(rt, "at"), N: rapid.Int64Range(1, 7).Draw(rt, "n")}
	switch e.Move {
	case Derived, Less:
		e.Of = rapid.IntRange(0, 1).Draw(rt, "pass")
		if e.Move == Derived && rapid.IntRange(0, 5).Draw(rt, "backwards") == 0 {
			e.N = -e.N
		}
	}
	return e
}

// Entries in any order, taken out and put in again, read at any moment, give what
// single grafts in a queue give.
func TestAgainstSingleGrafts(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var tally Tally
		var all []told
		for step := range rapid.IntRange(1, 90).Draw(rt, "steps") {
			if len(all) > 0 && rapid.IntRange(0, 4).Draw(rt, "turn") == 0 {
				one := &all[rapid.IntRange(0, len(all)-1).Draw(rt, "which")]
				one.in = !one.in
				tally.Add(one.Entry, map[bool]int64{true: 1, false: -1}[one.in])
			} else {
				e := drawEntry(rt, int64(step)*3)
				all = append(all, told{e, true})
				tally.Add(e, 1)
			}
			if rapid.Bool().Draw(rt, "read") {
				now, stock := int64(1000), rapid.Int64Range(-5, 200).Draw(rt, "stock")
				if got, want := tally.Read(now, stock), slow(all, now, stock); got != want {
					rt.Fatalf("got  %+v\nwant %+v\n%+v", got, want, all)
				}
			}
		}
	})
}

// in adds entries to a new tally.
func in(entries ...Entry) *Tally {
	t := new(Tally)
	for _, e := range entries {
		t.Add(e, 1)
	}
	return t
}

func TestRead(t *testing.T) {
	at := func(move Move, minutes, n int64) Entry { return Entry{Move: move, AtMs: minutes * minute, N: n} }
	tests := []struct {
		name    string
		entries []Entry
		stock   int64
		want    Figures
	}{
		{name: "nothing"},
		{"none left", []Entry{at(Came, 1, 2), at(Came, 3, 2)}, 4,
			Figures{Came: 4, Waiting: 4, WaitedMs: 8 * minute, OldestAtMs: minute, OldestMs: 9 * minute}},
		{"the first is the first to leave", []Entry{at(Came, 1, 2), at(Came, 3, 2), at(Placed, 7, 3)}, 1,
			Figures{Came: 4, Placed: 3, Left: 3, MeanKnown: true, MeanMs: 320_000, LongestMs: 6 * minute,
				Waiting: 1, WaitedMs: 7 * minute, OldestAtMs: 3 * minute, OldestMs: 7 * minute}},
		{"what was placed last came back, what was rejected did not",
			[]Entry{at(Came, 1, 1), at(Came, 2, 1), at(Came, 3, 1), at(Placed, 4, 1), at(Rejected, 5, 1), at(CameBack, 6, 1)}, 2,
			Figures{Came: 3, Placed: 1, Rejected: 1, CameBack: 1, Left: 1, MeanKnown: true, MeanMs: 2 * minute, LongestMs: 3 * minute,
				Waiting: 2, WaitedMs: 450_000, OldestAtMs: minute, OldestMs: 9 * minute}},
		{"and goes first again",
			[]Entry{at(Came, 1, 1), at(Came, 2, 1), at(Placed, 4, 1), at(CameBack, 6, 1), at(Placed, 9, 1)}, 1,
			Figures{Came: 2, Placed: 2, CameBack: 1, Left: 1, MeanKnown: true, MeanMs: 6 * minute, LongestMs: 8 * minute,
				Waiting: 1, WaitedMs: 8 * minute, OldestAtMs: 2 * minute, OldestMs: 8 * minute}},
		{"left before it came: no mean below 0", []Entry{at(Placed, 4, 1), at(Came, 6, 1)}, 0, Figures{Came: 1, Placed: 1, Left: 1}},
		{"fewer came than left: no mean", []Entry{at(Came, 1, 1), at(Placed, 4, 2)}, -1, Figures{Came: 1, Placed: 2, Left: 2}},
		{"more came back than left: none", []Entry{at(Came, 1, 1), at(CameBack, 4, 1)}, 2, Figures{Came: 1, CameBack: 1, Left: -1}},
		{"settled away: the latest do not wait", []Entry{at(Came, 1, 2), at(Came, 9, 2)}, 2,
			Figures{Came: 4, Waiting: 2, WaitedMs: 9 * minute, OldestAtMs: minute, OldestMs: 9 * minute}},
		{"all settled away", []Entry{at(Came, 1, 2)}, 0, Figures{Came: 2}},
		{"found again: their times are not known", []Entry{at(Came, 4, 1)}, 5,
			Figures{Came: 1, Waiting: 1, WaitedMs: 6 * minute, OldestAtMs: 4 * minute, OldestMs: 6 * minute}},
		{"by exception the latest of the pass are taken away",
			[]Entry{{Move: Derived, AtMs: minute, N: 3}, {Move: Less, AtMs: 2 * minute, N: 2}, {Move: Derived, AtMs: 5 * minute, N: 1}}, 2,
			Figures{Came: 2, Waiting: 2, WaitedMs: 9 * minute, OldestAtMs: minute, OldestMs: 9 * minute}},
		{"and of that pass only",
			[]Entry{{Move: Derived, AtMs: minute, N: 3}, {Move: Derived, Of: 9, AtMs: 5 * minute, N: 1}, {Move: Less, AtMs: 6 * minute, N: 2}}, 2,
			Figures{Came: 2, Waiting: 2, WaitedMs: 7 * minute, OldestAtMs: minute, OldestMs: 9 * minute}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := in(tt.entries...).Read(10*minute, tt.stock); got != tt.want {
				t.Errorf("got  %+v\nwant %+v", got, tt.want)
			}
		})
	}
}

// Graft-hours of those that left are the area between the curves (Little JDC,
// Oper Res 1961;9:383-387): counted here minute by minute.
func TestMeanIsTheAreaBetweenTheCurves(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var tally Tally
		var came, left [200]int64
		n := rapid.IntRange(1, 40).Draw(rt, "grafts")
		for range n {
			from := rapid.IntRange(1, 100).Draw(rt, "from")
			to := rapid.IntRange(from, 199).Draw(rt, "to")
			came[from]++
			left[to]++
			tally.Add(Entry{Move: Came, AtMs: int64(from), N: 1}, 1)
			tally.Add(Entry{Move: Rejected, AtMs: int64(to), N: 1}, 1)
		}
		var out, area int64
		for i := range came {
			out += came[i] - left[i]
			area += out
		}
		if got, want := tally.Read(200, 0).MeanMs, nearest(area, int64(n)); got != want {
			rt.Fatalf("got %d, want %d", got, want)
		}
	})
}

func TestDish(t *testing.T) {
	at := func(move Move, minutes, n int64, dish int) Entry {
		return Entry{Move: move, AtMs: minutes * minute, N: n, Of: dish}
	}
	tally := in(at(IntoDish, 3, 2, 1), at(IntoDish, 1, 2, 1), at(OutOfDish, 6, 3, 1), at(IntoDish, 5, 1, 0),
		at(OutOfDish, 8, 2, 2), at(IntoDish, 2, 4, 3), at(OutOfDish, 4, 2, 3), at(BackIntoDish, 5, 1, 3))
	for i, want := range []Dish{
		{OldestAtMs: 5 * minute},
		{OldestAtMs: 3 * minute, LeftKnown: true, Left: 3, MeanMs: 260_000},
		{Left: 2}, // more left it than came into it
		{OldestAtMs: 2 * minute, LeftKnown: true, Left: 1, MeanMs: minute},
		{},
	} {
		if got := tally.Dish(i); got != want {
			t.Errorf("dish %d: got %+v, want %+v", i, got, want)
		}
	}
}

func TestClearKeepsTheLimits(t *testing.T) {
	tally := in(Entry{Move: Came, AtMs: 1, N: 1})
	tally.Limit(&event.Event{Seq: 1}, &event.Keeping{AmberMin: 100, RedMin: 200})
	tally.Clear()
	if f, l := tally.Read(9, 9), tally.Limits(); f != (Figures{}) || l.AmberMin != 100 {
		t.Errorf("got %+v and %+v, want nothing and 100", f, l)
	}
}
