package pace

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// byDefinition counts a window slowly, event by event, as the definition reads.
func byDefinition(entries []Entry, at event.Station, fromMs, toMs int64, d Day) Sample {
	var out Sample
	begun := int64(OpenMs)
	for _, e := range entries {
		if e.Station != at {
			continue
		}
		from := e.AtMs
		if e.N > 9 {
			from = spreadByDefinition(entries, e, d.OpeningMs)
		}
		begun = min(begun, from)
		if e.N <= 9 {
			if fromMs < e.AtMs && e.AtMs <= toMs {
				out.Events += e.N
			}
			continue
		}
		for k := int64(1); k <= e.N; k++ { // at from + k/N of the way, times N
			lies := from*e.N + k*(e.AtMs-from)
			if fromMs*e.N < lies && lies <= toMs*e.N {
				out.Events++
				out.Bulk++
			}
		}
	}
	out.ActiveMs = activeByDefinition(max(begun, fromMs), toMs, d.Pauses)
	return out
}

// spreadByDefinition is from when an entry is spread.
func spreadByDefinition(entries []Entry, e Entry, openingMs int64) int64 {
	from, found := openingMs, false
	for _, b := range entries {
		earlier := b.AtMs < e.AtMs || b.AtMs == e.AtMs && b.Ref.Seq < e.Ref.Seq
		if b.Station == e.Station && b.Ref.Replica == e.Ref.Replica && earlier && (!found || b.AtMs > from) {
			from, found = b.AtMs, true
		}
	}
	return min(max(from, e.AtMs-30*minute), e.AtMs)
}

// activeByDefinition cuts a window wherever something changes, and leaves out the
// pieces that a pause covers.
func activeByDefinition(fromMs, toMs int64, pauses []Span) (sum int64) {
	if fromMs >= toMs {
		return 0
	}
	cuts := []int64{fromMs, toMs}
	for _, p := range pauses {
		cuts = append(cuts, min(max(p.FromMs, fromMs), toMs), min(max(p.ToMs, fromMs), toMs))
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		free := true
		for _, p := range pauses {
			free = free && !(p.FromMs <= cuts[i-1] && cuts[i] <= p.ToMs)
		}
		if free {
			sum += cuts[i] - cuts[i-1]
		}
	}
	return sum
}

// drawTime is a time of which many are the same, and some a ms off.
func drawTime(rt *rapid.T, what string) int64 {
	return after(rapid.Int64Range(-10, 120).Draw(rt, what)) + rapid.Int64Range(-1, 1).Draw(rt, "off")
}

func drawEntries(rt *rapid.T) (out []Entry) {
	for i := range rapid.IntRange(0, 14).Draw(rt, "entries") {
		n := rapid.Int64Range(0, 9).Draw(rt, "few")
		switch rapid.IntRange(0, 5).Draw(rt, "what") {
		case 0, 1:
			n = rapid.Int64Range(10, 70).Draw(rt, "many")
		case 2:
			n = -rapid.Int64Range(1, 30).Draw(rt, "back")
		}
		e := entry(byte(rapid.IntRange(1, 3).Draw(rt, "phone")), uint64(i+1), drawTime(rt, "at"), n)
		e.Station = rapid.SampledFrom([]event.Station{event.Sorting, event.Sorting, event.Placing}).Draw(rt, "station")
		out = append(out, e)
	}
	return out
}

func drawDay(rt *rapid.T) Day {
	d := Day{OpeningMs: drawTime(rt, "opening")}
	for range rapid.IntRange(0, 4).Draw(rt, "pauses") {
		p := Span{drawTime(rt, "pause"), drawTime(rt, "its end")}
		if rapid.IntRange(0, 5).Draw(rt, "open") == 0 {
			p.ToMs = OpenMs
		}
		d.Pauses = append(d.Pauses, p)
	}
	return d
}

// whole is everything that a tally says of a station at a time.
func whole(t *Tally, at event.Station, now int64, d Day) string {
	f := t.Read(at, now, d)
	return fmt.Sprint(f, f.Finish(now, 500), t.Trend(at, now, d))
}

// Entries come in any order, are undone and brought back, and told another time,
// and are read in between: what is said is what the definition says of those
// that stand.
func TestAnyOrderCountsByDefinition(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		entries, d := drawEntries(rt), drawDay(rt)
		tally := new(Tally)
		var stand []Entry
		check := func() {
			at, from := event.Sorting, drawTime(rt, "from")
			to := from + rapid.Int64Range(0, 60*minute).Draw(rt, "long")
			if got, want := tally.Sample(at, from, to, d), byDefinition(stand, at, from, to, d); got != want {
				rt.Fatalf("(%d, %d]: got %+v, want %+v", from-opening, to-opening, got, want)
			}
			if got, want := whole(tally, at, to, d), whole(tallyOf(stand...), at, to, d); got != want {
				rt.Fatalf("at %d: got %s, want as told at once %s", to-opening, got, want)
			}
		}
		for _, e := range rapid.Permutation(entries).Draw(rt, "order") {
			tally.Add(e, 1)
			stand = append(stand, e)
			switch rapid.IntRange(0, 7).Draw(rt, "then") {
			case 0:
				gone := rapid.IntRange(0, len(stand)-1).Draw(rt, "gone")
				out := stand[gone]
				stand = slices.Delete(stand, gone, gone+1)
				if rapid.Bool().Draw(rt, "another time") {
					out.AtMs = drawTime(rt, "told")
				}
				tally.Add(out, -1)
			case 1:
				shift := rapid.Int64Range(-20, 20).Draw(rt, "shift") * minute
				times := map[event.Ref]int64{}
				for i := range stand {
					if stand[i].Ref.Replica == e.Ref.Replica {
						stand[i].AtMs = shift + 2*opening - stand[i].AtMs // also turns their order round
						times[stand[i].Ref] = stand[i].AtMs
					}
				}
				tally.Redate(e.Ref.Replica, func(ref event.Ref) int64 { return times[ref] })
			case 2, 3:
				check()
			}
		}
		check()
	})
}

// Two windows side by side hold what the one over both does, in events and time.
func TestWindowsAddUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tally, d := tallyOf(drawEntries(rt)...), drawDay(rt)
		cuts := []int64{drawTime(rt, "a"), drawTime(rt, "b"), drawTime(rt, "c")}
		slices.Sort(cuts)
		of := func(from, to int64) Sample { return tally.Sample(event.Sorting, from, to, d) }
		one, two, both := of(cuts[0], cuts[1]), of(cuts[1], cuts[2]), of(cuts[0], cuts[2])
		if sum := (Sample{one.Events + two.Events, one.Bulk + two.Bulk, one.ActiveMs + two.ActiveMs}); sum != both {
			rt.Fatalf("got %+v and %+v, want together %+v", one, two, both)
		}
	})
}

// A made-up day has the same figures on a server and on a phone, wherever it is
// read: the hash is of their text.
func TestTheSameFiguresEverywhere(t *testing.T) {
	chance := uint64(1)
	below := func(n uint64) int64 { // Marsaglia G, J Stat Softw 2003;8(14), xorshift
		chance ^= chance << 13
		chance ^= chance >> 7
		chance ^= chance << 17
		return int64(chance >> 11 % n)
	}
	tally, d, now := new(Tally), day(), after(0)
	hash := sha256.New()
	for i := range 2000 {
		now += below(40_000)
		n := below(12) * (1 + below(8)/7*10)
		for s := event.Extraction; s <= event.Placing; s++ {
			e := Entry{s, event.Ref{Replica: event.ReplicaID{byte(below(5))}, Seq: uint64(4*i) + uint64(s)}, now - below(3)*below(90_000), n}
			tally.Add(e, 1)
			fmt.Fprintln(hash, whole(tally, s, now, d))
		}
		if below(90) == 0 {
			d.Pauses = append(d.Pauses, Span{now, now + below(900_000)})
		}
	}
	const want = "b9dbecd6c694764e336ce728b0820f874370aa3cee33e97b4bdd4c60a9e4b606"
	if got := fmt.Sprintf("%x", hash.Sum(nil)); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
