package pace

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/stats"
)

// counted90 is a station where so many were counted one by one, the last of them at
// 90 min, in so many active minutes up to then.
func counted90(n, activeMinutes int64) *Tally {
	t := tallyOf(entry(1, 1, after(90-activeMinutes), 0))
	for i := range n {
		t.Add(entry(1, uint64(i+2), after(90)-i, 1), 1)
	}
	return t
}

// Wanted intervals: from the check value "pace" (Garwood F, Biometrika
// 1936;28:437-442, computed), and computed from the definition with 40 digits.
func TestRead(t *testing.T) {
	tests := []struct {
		name         string
		n, active    int64
		pauses       []Span
		state        State
		pace, lo, hi int64
	}{
		{"180 in half an hour", 180, 30, nil, Running, 3600, 3093, 4166},
		{"ten are enough", 10, 30, nil, Running, 200, 96, 368},
		{"nine are too few", 9, 30, nil, TooEarly, 0, 0, 0},
		{"five minutes are enough", 10, 5, nil, Running, 1200, 575, 2207},
		{"four are too short", 100, 4, nil, TooEarly, 0, 0, 0},
		{"none in half an hour", 0, 30, nil, Still, 0, 0, 74},
		{"none in four minutes", 0, 4, nil, TooEarly, 0, 0, 0},
		{"a pause makes it faster", 180, 30, []Span{pause(65, 80)}, Running, 7200, 6187, 8332},
		{"a pause leaves too little", 180, 30, []Span{pause(60, 86)}, TooEarly, 0, 0, 0},
		{"a pause leaves nothing", 180, 30, []Span{pause(0, 90)}, TooEarly, 0, 0, 0},
		{"a pause long ago", 180, 30, []Span{pause(20, 50)}, Running, 3600, 3093, 4166},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := counted90(tt.n, tt.active).Read(event.Sorting, after(90), day(tt.pauses...))
			if f.State != tt.state || f.PerHour10 != tt.pace || f.Low10 != tt.lo || f.High10 != tt.hi {
				t.Errorf("got %v, %d (%d to %d), want %v, %d (%d to %d)", f.State, f.PerHour10, f.Low10, f.High10, tt.state, tt.pace, tt.lo, tt.hi)
			}
			if f.Events != tt.n || f.Station != event.Sorting || f.Paused || f.Bulk != 0 {
				t.Errorf("got %+v, want %d events of sorting, not paused", f, tt.n)
			}
		})
	}
}

// Keeping a count's bounds must not show in a pace.
func TestAPaceIsThatOfTheDoor(t *testing.T) {
	for n := int64(minEvents); n < 2000; n += 37 {
		for active := int64(5); active <= 30; active += 5 {
			f := counted90(n, active).Read(event.Sorting, after(90), day())
			pace, lo, hi, ok := stats.PerHour10(n, active*minute)
			if !ok || f.PerHour10 != pace || f.Low10 != lo || f.High10 != hi {
				t.Errorf("%d in %d min: got %d (%d to %d), want %d (%d to %d)", n, active, f.PerHour10, f.Low10, f.High10, pace, lo, hi)
			}
		}
	}
}

func TestReadBeforeAnything(t *testing.T) {
	d := day(Span{after(10), OpenMs})
	tests := []struct {
		name  string
		tally *Tally
		at    event.Station
		state State
	}{
		{"nothing", new(Tally), event.Sorting, NotBegun},
		{"at another station", tallyOf(entry(1, 1, after(1), 1)), event.Placing, NotBegun},
		{"at no station", tallyOf(entry(1, 1, after(1), 1)), event.Desk, NotBegun},
		{"undone", func() *Tally {
			t := tallyOf(entry(1, 1, after(1), 1))
			t.Add(entry(1, 1, after(1), 1), -1)
			return t
		}(), event.Sorting, NotBegun},
		{"still to come", tallyOf(entry(1, 1, after(91), 1)), event.Sorting, NotBegun},
		{"just now", tallyOf(entry(1, 1, after(90), 1)), event.Sorting, TooEarly},
	}
	for _, tt := range tests {
		f := tt.tally.Read(tt.at, after(90), d)
		if f.State != tt.state || f.PerHour10 != 0 || f.High10 != 0 || !f.Paused {
			t.Errorf("%s: got %+v, want %v, paused", tt.name, f, tt.state)
		}
	}
}

func TestPausedNow(t *testing.T) {
	tests := []struct {
		name   string
		pauses []Span
		paused bool
	}{
		{"no pause", nil, false},
		{"one that goes on", []Span{{after(80), OpenMs}}, true},
		{"one that begins now", []Span{pause(90, 95)}, true},
		{"one that ends now", []Span{pause(80, 90)}, false},
		{"one of two", []Span{pause(10, 20), pause(85, 95)}, true},
	}
	for _, tt := range tests {
		if got := counted90(50, 30).Read(event.Sorting, after(90), day(tt.pauses...)).Paused; got != tt.paused {
			t.Errorf("%s: got paused %v, want %v", tt.name, got, tt.paused)
		}
	}
}

func TestBulkIsTold(t *testing.T) {
	tally := tallyOf(entry(1, 1, after(60), 5), entry(1, 2, after(80), 20), entry(1, 3, after(90), 9))
	tests := []struct {
		now, events, bulk int64
	}{
		{90, 29, 20}, {100, 19, 10}, {110, 9, 0},
	}
	for _, tt := range tests {
		if f := tally.Read(event.Sorting, after(tt.now), day()); f.Events != tt.events || f.Bulk != tt.bulk {
			t.Errorf("at %d: got %d events, %d of them bulk, want %d, %d", tt.now, f.Events, f.Bulk, tt.events, tt.bulk)
		}
	}
}

// The bounds are kept from read to read, so each count must still get its own.
func TestBoundsFollowTheCount(t *testing.T) {
	tally := counted90(180, 30)
	read := func() Figures { return tally.Read(event.Sorting, after(90), day()) }
	first := read()
	tally.Add(entry(2, 1, after(90), 1), 1)
	if more, want := read(), counted90(181, 30).Read(event.Sorting, after(90), day()); more != want || more == first {
		t.Errorf("one more: got %+v, want %+v", more, want)
	}
	tally.Add(entry(2, 1, after(90), 1), -1)
	if again := read(); again != first {
		t.Errorf("undone: got %+v, want %+v", again, first)
	}
}

func TestCountersThatRanBackwards(t *testing.T) {
	tally := counted90(20, 30)
	tally.Add(entry(1, 99, after(80), -30), 1)
	f := tally.Read(event.Sorting, after(90), day())
	if f.Events != -10 || f.State != Still || f.PerHour10 != 0 || f.Low10 != 0 || f.High10 != 74 {
		t.Errorf("got %+v, want -10 events, still, 0 to 7.4 an hour", f)
	}
}

// Wanted hours: from the check value "pace" (computed), 2.833 (2.448 to 3.297).
func TestFinish(t *testing.T) {
	hours := func(thousandths int64) int64 { return thousandths * 3600 }
	running := counted90(180, 30).Read(event.Sorting, after(90), day())
	early := counted90(9, 30).Read(event.Sorting, after(90), day())
	still := counted90(0, 30).Read(event.Sorting, after(90), day())
	tests := []struct {
		name        string
		f           Figures
		left        int64
		done, known bool
		at, lo, hi  int64 // thousandths of an hour
	}{
		{"1,020 left", running, 1020, false, true, 2833, 2448, 3297},
		{"one left", running, 1, false, true, 3, 2, 3},
		{"nothing left", running, 0, true, false, 0, 0, 0},
		{"less than nothing left", running, -3, true, false, 0, 0, 0},
		{"too early", early, 1020, false, false, 0, 0, 0},
		{"too early, and nothing left", early, 0, true, false, 0, 0, 0},
		{"still", still, 1020, false, false, 0, 0, 0},
		{"not begun", Figures{}, 1020, false, false, 0, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.f.Finish(after(90), tt.left)
			if got.Done != tt.done || got.Known != tt.known || got.Station != tt.f.Station {
				t.Fatalf("got %+v, want done %v, known %v", got, tt.done, tt.known)
			}
			if !tt.known {
				if got.AtMs != 0 || got.EarliestMs != 0 || got.LatestMs != 0 {
					t.Errorf("got times in %+v, want none", got)
				}
				return
			}
			for _, one := range [][2]int64{{got.AtMs, tt.at}, {got.EarliestMs, tt.lo}, {got.LatestMs, tt.hi}} {
				if off := one[0] - after(90) - hours(one[1]); off < -1800 || off > 1800 {
					t.Errorf("got %d ms from now, want %d", one[0]-after(90), hours(one[1]))
				}
			}
		})
	}
}

func TestFinishesAtTheirBounds(t *testing.T) {
	f := counted90(10, 30).Read(event.Sorting, after(90), day())
	got, most := f.Finish(after(90), 1<<62), f.Finish(after(90), mostLeft)
	if got != most || got.EarliestMs <= after(90) || got.AtMs <= got.EarliestMs || got.LatestMs <= got.AtMs {
		t.Errorf("got %+v, want it as for %d left", got, int64(mostLeft))
	}
}

func TestAPausedStationsFinishSaysSo(t *testing.T) {
	at := func(pauses ...Span) Finish {
		return counted90(180, 30).Read(event.Sorting, after(90), day(pauses...)).Finish(after(90), 360)
	}
	free, paused := at(), at(Span{after(90), OpenMs})
	if free.Paused || !paused.Paused || paused.AtMs != free.AtMs || free.AtMs != after(150) {
		t.Errorf("got %+v and %+v, want both at 150 min, the second paused", free, paused)
	}
}

func TestBottleneck(t *testing.T) {
	known := func(at event.Station, lo, hi int64) Finish {
		return Finish{Station: at, Known: true, AtMs: (lo + hi) / 2, EarliestMs: lo, LatestMs: hi}
	}
	paused := func(f Finish) Finish {
		f.Paused = true
		return f
	}
	const e, s, p = event.Extraction, event.Sorting, event.Placing
	done := func(at event.Station) Finish { return Finish{Station: at, Done: true} }
	unknown := func(at event.Station) Finish { return Finish{Station: at} }
	tests := []struct {
		name string
		all  []Finish
		want event.Station
	}{
		{"the last is clear", []Finish{known(e, 10, 20), known(s, 15, 25), known(p, 26, 40)}, p},
		{"the first is last", []Finish{known(e, 30, 40), known(s, 15, 25), known(p, 16, 28)}, e},
		{"they overlap", []Finish{known(e, 10, 20), known(s, 15, 27), known(p, 26, 40)}, 0},
		{"they touch", []Finish{known(e, 10, 20), known(s, 15, 26), known(p, 26, 40)}, 0},
		{"one is not known", []Finish{known(e, 10, 20), unknown(s), known(p, 26, 40)}, 0},
		{"the last may be the unknown one", []Finish{unknown(e), known(s, 15, 25), unknown(p)}, 0},
		{"nor where times are below zero", []Finish{unknown(e), known(s, -25, -15)}, 0},
		{"one is done", []Finish{done(e), known(s, 15, 25), known(p, 26, 40)}, p},
		{"only one is left", []Finish{done(e), done(s), known(p, 26, 40)}, p},
		{"only one is left, not known till when", []Finish{done(e), unknown(s), done(p)}, s},
		{"all are done", []Finish{done(e), done(s), done(p)}, 0},
		{"the last is paused: later still", []Finish{known(e, 10, 20), known(s, 15, 25), paused(known(p, 26, 40))}, p},
		{"another is paused: who knows", []Finish{known(e, 10, 20), paused(known(s, 15, 25)), known(p, 26, 40)}, 0},
		{"none", nil, 0},
	}
	for _, tt := range tests {
		if got := Bottleneck(tt.all...); got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.name, got, tt.want)
		}
	}
}

func TestNames(t *testing.T) {
	for s, want := range map[State]string{NotBegun: "not begun", TooEarly: "too early", Still: "still", Running: "running"} {
		if got, _ := s.MarshalText(); string(got) != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	for v, want := range map[Verdict]string{CannotTell: "can't tell", Slower: "slower", Faster: "faster"} {
		if got, _ := v.MarshalText(); string(got) != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
