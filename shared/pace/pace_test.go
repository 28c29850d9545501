package pace

import (
	"testing"

	"rootledger/shared/event"
)

// Times in these tests are minutes of a day.
const (
	minute  = int64(60_000)
	opening = 8 * 60 * minute
)

// after is a time so many minutes after the opening.
func after(minutes int64) int64 { return opening + minutes*minute }

// entry is what a phone sorted at a time; the number of the phone and seq are
// its reference.
func entry(phone byte, seq uint64, atMs, n int64) Entry {
	return Entry{event.Sorting, event.Ref{Replica: event.ReplicaID{phone}, Seq: seq}, atMs, n}
}

// day is a day with some pauses.
func day(pauses ...Span) Day { return Day{opening, pauses} }

// pause is one from one minute after the opening to another.
func pause(from, to int64) Span { return Span{after(from), after(to)} }

func tallyOf(entries ...Entry) *Tally {
	t := new(Tally)
	for _, e := range entries {
		t.Add(e, 1)
	}
	return t
}

// tapped is a phone's entries of one each, every so many ms, after a time and up to
// and with another.
func tapped(phone byte, fromMs, toMs, everyMs int64) (out []Entry) {
	for at := fromMs + everyMs; at <= toMs; at += everyMs {
		out = append(out, entry(phone, uint64(len(out)+1), at, 1))
	}
	return out
}

// Wanted numbers in this file: computed from the definitions.
func TestWhereEventsLie(t *testing.T) {
	entries := []Entry{
		entry(1, 1, after(60), 1),
		entry(1, 2, after(80), 20),  // one a minute since the one before, the last at 80
		entry(1, 3, after(81), 9),   // all at 81
		entry(1, 4, after(82), 10),  // one every 6 s
		entry(1, 5, after(200), 60), // two a minute from 170 on
		entry(1, 6, after(200), 11), // the same time as the one before: all at 200
		entry(2, 1, after(80), 3),
		entry(3, 1, after(250), 0),
		entry(3, 2, after(250)+20, 20), // one a ms
	}
	tests := []struct {
		name         string
		from, to     int64
		events, bulk int64
	}{
		{"before anything", after(0), after(59), 0, 0},
		{"a window ends with its last ms", after(59), after(60), 1, 0},
		{"and begins after its first", after(60), after(60) + minute - 1, 0, 0},
		{"the first of 20", after(60), after(61), 1, 1},
		{"nothing between the first and the second", after(61), after(62) - 1, 0, 0},
		{"ten of 20", after(65), after(75), 10, 10},
		{"the edges inside two events", after(65) + 1, after(75) - 1, 9, 9},
		{"the last of 20, and another phone's 3", after(79), after(80), 4, 1},
		{"the last of 20 does not come sooner", after(79), after(80) - 1, 0, 0},
		{"nine come at their time", after(80), after(81) - 1, 0, 0},
		{"nine at their time", after(80), after(81), 9, 0},
		{"ten do not", after(81), after(81) + minute/2, 5, 5},
		{"at most 30 min back", after(82), after(170), 0, 0},
		{"the first half minute of 60", after(170), after(170) + minute/2, 1, 1},
		{"half of 60", after(82), after(185), 30, 30},
		{"without time to spread over", after(185), after(200) - 1, 29, 29},
		{"all at once", after(200) - 1, after(200), 12, 12},
		{"one a ms", after(250), after(250) + 7, 7, 7},
		{"all", after(0), after(300), 134, 121},
		{"nothing after the last", after(260), after(300), 0, 0},
		{"an empty window", after(70), after(70), 0, 0},
	}
	tally := tallyOf(entries...)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tally.Sample(event.Sorting, tt.from, tt.to, day())
			if got.Events != tt.events || got.Bulk != tt.bulk {
				t.Errorf("got %d events, %d of them bulk, want %d, %d", got.Events, got.Bulk, tt.events, tt.bulk)
			}
		})
	}
}

func TestFromWhenAnEntryIsSpread(t *testing.T) {
	thirty := entry(1, 9, after(60), 30)
	elsewhere := entry(1, 1, after(50), 1)
	elsewhere.Station = event.Placing
	tests := []struct {
		name      string
		before    []Entry
		openingMs int64
		from      int64
	}{
		{"the phone's entry before", []Entry{entry(1, 1, after(50), 1)}, opening, after(50)},
		{"the newest of them", []Entry{entry(1, 2, after(52), 40), entry(1, 1, after(40), 1)}, opening, after(52)},
		{"an entry of none, too", []Entry{entry(1, 1, after(45), 0)}, opening, after(45)},
		{"not another phone's", []Entry{entry(2, 1, after(50), 1)}, opening, after(30)},
		{"not at another station", []Entry{elsewhere}, opening, after(30)},
		{"not a later one", []Entry{entry(1, 10, after(61), 1)}, opening, after(30)},
		{"at most 30 min", []Entry{entry(1, 1, after(20), 1)}, opening, after(30)},
		{"the opening", nil, after(40), after(40)},
		{"an opening long ago", nil, opening, after(30)},
		{"an opening after it", nil, after(70), after(60)},
		{"of two at one time the first by seq is before", []Entry{entry(1, 1, after(60), 1)}, opening, after(60)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			with, without := tallyOf(append(tt.before, thirty)...), tallyOf(tt.before...)
			for at := after(0); at <= after(70); at += minute / 4 {
				d := Day{OpeningMs: tt.openingMs}
				got := with.Sample(event.Sorting, after(-60), at, d).Events - without.Sample(event.Sorting, after(-60), at, d).Events
				want := int64(30)
				if at < after(60) {
					want = max(0, 30*(at-tt.from)/max(1, after(60)-tt.from))
				}
				if got != want {
					t.Fatalf("up to %d s: got %d, want %d", (at-opening)/1000, got, want)
				}
			}
		})
	}
}

func TestStationsAreApart(t *testing.T) {
	tally := new(Tally)
	for s := event.Station(0); s <= event.Office+1; s++ {
		e := entry(1, 1, after(1), int64(s)+1)
		e.Station = s
		tally.Add(e, 1)
	}
	for s := event.Station(0); s <= event.Office+1; s++ {
		want := int64(0)
		if s >= event.Extraction && s <= event.Placing {
			want = int64(s) + 1
		}
		if got := tally.Sample(s, 0, after(2), day()).Events; got != want {
			t.Errorf("station %d: got %d events, want %d", s, got, want)
		}
	}
}

func TestTakenOut(t *testing.T) {
	entries := []Entry{entry(1, 1, after(10), 1), entry(1, 2, after(20), 10), entry(1, 3, after(40), 20), entry(2, 1, after(40), 5)}
	moved := entries[1]
	moved.AtMs = after(35) // its time was told otherwise when it was put in
	tests := []struct {
		name        string
		out         Entry
		until30, in int64 // events up to 30 min, and in all
	}{
		{"the first: the second is spread from the opening", entries[0], 20, 35},
		{"one in the middle: the next is spread from the first", entries[1], 14, 26},
		{"the last of a phone", entries[2], 11, 16},
		{"another phone's only one", entries[3], 21, 31},
		{"at another time than it was put in", moved, 14, 26},
		{"one that is not in", entry(1, 4, after(20), 10), 21, 36},
		{"one of a phone that is not in", entry(3, 1, after(20), 10), 21, 36},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tally := tallyOf(entries...)
			until := func(m int64) int64 { return tally.Sample(event.Sorting, 0, after(m), day()).Events }
			if until(30) != 21 || until(60) != 36 {
				t.Fatalf("before: got %d and %d, want 21 and 36", until(30), until(60))
			}
			tally.Add(tt.out, -1)
			if until(30) != tt.until30 || until(60) != tt.in {
				t.Errorf("got %d and %d, want %d and %d", until(30), until(60), tt.until30, tt.in)
			}
			if tt.in == 36 {
				return
			}
			if tally.Add(tt.out, 1); until(60) != 36 || tt.out.AtMs != moved.AtMs && until(30) != 21 {
				t.Errorf("brought back: got %d and %d, want 21 and 36", until(30), until(60))
			}
		})
	}
}

func TestRedate(t *testing.T) {
	other := entry(1, 4, after(15), 2)
	other.Station = event.Placing
	tally := tallyOf(entry(1, 1, after(10), 1), entry(1, 2, after(20), 2), entry(1, 3, after(30), 4), other, entry(2, 1, after(20), 8))
	tally.Sample(event.Sorting, 0, after(60), day())
	tally.Redate(event.ReplicaID{1}, func(ref event.Ref) int64 { return after(100 - 10*int64(ref.Seq)) }) // they swap places
	tests := []struct {
		at     event.Station
		until  int64
		events int64
	}{
		{event.Sorting, 69, 8}, {event.Sorting, 70, 12}, {event.Sorting, 80, 14}, {event.Sorting, 90, 15},
		{event.Placing, 59, 0}, {event.Placing, 60, 2},
	}
	for _, tt := range tests {
		if got := tally.Sample(tt.at, 0, after(tt.until), day()).Events; got != tt.events {
			t.Errorf("%v up to %d min: got %d, want %d", tt.at, tt.until, got, tt.events)
		}
	}
}

func TestActive(t *testing.T) {
	// Window: 60 to 90 min after the opening.
	tests := []struct {
		name   string
		first  Entry
		pauses []Span
		active int64 // minutes
	}{
		{"no pause", entry(1, 1, after(0), 1), nil, 30},
		{"one inside", entry(1, 1, after(0), 1), []Span{pause(70, 75)}, 25},
		{"before it", entry(1, 1, after(0), 1), []Span{pause(40, 60)}, 30},
		{"after it", entry(1, 1, after(0), 1), []Span{pause(90, 95)}, 30},
		{"across its beginning", entry(1, 1, after(0), 1), []Span{pause(50, 62)}, 28},
		{"across its end", entry(1, 1, after(0), 1), []Span{pause(80, 100)}, 20},
		{"one that goes on", entry(1, 1, after(0), 1), []Span{{after(85), OpenMs}}, 25},
		{"all of it", entry(1, 1, after(0), 1), []Span{pause(10, 200)}, 0},
		{"two apart", entry(1, 1, after(0), 1), []Span{pause(70, 75), pause(80, 81)}, 24},
		{"two that overlap", entry(1, 1, after(0), 1), []Span{pause(70, 75), pause(73, 78)}, 22},
		{"one within another", entry(1, 1, after(0), 1), []Span{pause(65, 85), pause(70, 75)}, 10},
		{"the same twice", entry(1, 1, after(0), 1), []Span{pause(70, 75), pause(70, 75)}, 25},
		{"two that touch", entry(1, 1, after(0), 1), []Span{pause(70, 75), pause(75, 78)}, 22},
		{"in any order", entry(1, 1, after(0), 1), []Span{pause(85, 86), pause(70, 75), pause(61, 62), pause(72, 80)}, 18},
		{"an empty one and one turned round", entry(1, 1, after(0), 1), []Span{pause(70, 70), pause(80, 75)}, 30},
		{"the first entry in the window", entry(1, 1, after(80), 1), nil, 10},
		{"a pause before the first entry", entry(1, 1, after(80), 1), []Span{pause(65, 75)}, 10},
		{"a pause across the first entry", entry(1, 1, after(80), 1), []Span{pause(75, 82)}, 8},
		{"the first entry at the end", entry(1, 1, after(90), 1), nil, 0},
		{"the first entry a ms later", entry(1, 1, after(90)+1, 1), nil, 0},
		{"the first entry to come", entry(1, 1, after(91), 1), nil, 0},
		{"a first entry that is spread into the window", entry(1, 1, after(100), 30), nil, 20},
		{"a first entry that is spread out of the window", entry(1, 1, after(70), 30), nil, 30},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tally := tallyOf(tt.first)
			if got := tally.Sample(event.Sorting, after(60), after(90), day(tt.pauses...)).ActiveMs; got != tt.active*minute {
				t.Errorf("got %d ms, want %d min", got, tt.active)
			}
		})
	}
}

func TestTheStationBeginsWithItsFirstPhone(t *testing.T) {
	tally := tallyOf(entry(1, 1, after(80), 1), entry(2, 1, after(70), 1), entry(3, 1, after(85), 1))
	active := func() int64 { return tally.Sample(event.Sorting, after(60), after(90), day()).ActiveMs / minute }
	if got := active(); got != 20 {
		t.Errorf("got %d min, want 20", got)
	}
	if tally.Add(entry(2, 1, after(70), 1), -1); active() != 10 {
		t.Errorf("the first undone: got %d min, want 10", active())
	}
	if tally.Add(entry(3, 2, after(65), 1), 1); active() != 25 {
		t.Errorf("an earlier one came late: got %d min, want 25", active())
	}
}

// A phone that comes back brings thousands, and its clock may have run anyhow.
func TestThousandsInAnyOrder(t *testing.T) {
	const n = 5_003
	of := func(i int64) Entry { return entry(1, uint64(i), after(0)+i*1000, 1+i%12) }
	want := new(Tally)
	for i := range int64(n) {
		want.Add(of(i), 1)
	}
	for name, place := range map[string]func(int64) int64{
		"backwards":     func(i int64) int64 { return n - 1 - i },
		"mixed up":      func(i int64) int64 { return i * 1234 % n }, // n is prime
		"two at a time": func(i int64) int64 { return min(i^1, n-1) },
	} {
		got := new(Tally)
		for i := range int64(n) {
			got.Add(of(place(i)), 1)
			if i == n/3 {
				got.Sample(event.Sorting, 0, after(60), day())
			}
		}
		for at := after(0); at < after(90); at += 7 * minute {
			got, want := got.Read(event.Sorting, at, day()), want.Read(event.Sorting, at, day())
			if got != want {
				t.Errorf("%s, at %d: got %+v, want %+v", name, at, got, want)
			}
		}
	}
}

// What is spread shows no earlier work.
func TestWorked(t *testing.T) {
	tally := tallyOf(entry(1, 1, after(40), 40), entry(2, 1, after(50), 1))
	for at, want := range map[int64]int64{39: 0, 40: 0, 60: 20, 70: 25} {
		if got := tally.Worked(event.Sorting, after(at), day(Span{after(60), after(65)})); got != want*minute {
			t.Errorf("after %d minutes: got %d ms, want %d", at, got, want*minute)
		}
	}
}
