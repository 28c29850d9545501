package quality

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/stats"
)

var pass = event.Ref{Replica: event.ReplicaID{9}, Seq: 1}

// entry is an event of one phone; later seqs are later.
func entry(phone byte, seq uint64, fact event.Fact) *event.Event {
	return &event.Event{Replica: event.ReplicaID{phone}, Seq: seq, Stamp: event.StampAt(1_800_000_000_000 + int64(seq)*1000), Fact: fact}
}

func tap(o event.Outcome, n uint32) *event.Attempt {
	return &event.Attempt{Pass: pass, Outcome: o, N: n}
}

func runOf(facts ...event.Fact) (t *Tally, all []*event.Event) {
	t = new(Tally)
	for i, f := range facts {
		all = append(all, entry(1, uint64(i+1), f))
		t.Add(all[i], 1)
	}
	return t, all
}

func TestSums(t *testing.T) {
	const cut, whole = 693147181, -54067221 // log 2 and log(0.9 / 0.95), in billionths
	eight := []event.Fact{tap(event.Partial, 3), tap(event.Total, 5)}
	with := func(more ...event.Fact) []event.Fact { return append(slices.Clone(eight), more...) }
	tests := []struct {
		name             string
		facts            []event.Fact
		sum, trials, cut int64
		since, alarmed   uint64 // seq, 0 for none
	}{
		{"nothing", nil, 0, 0, 0, 0, 0},
		{"intact ones", []event.Fact{tap(event.Intact, 400)}, 0, 0, 0, 0, 0},
		{"topped, buried and empty are not cut", []event.Fact{tap(event.Topped, 40), tap(event.Buried, 40), tap(event.Empty, 40)}, 0, 0, 0, 0, 0},
		{"one cut", []event.Fact{tap(event.Intact, 4), tap(event.Total, 1)}, cut, 1, 1, 2, 0},
		{"and some intact", []event.Fact{tap(event.Partial, 1), tap(event.Intact, 3)}, cut + 3*whole, 4, 1, 1, 0},
		{"down to nothing", []event.Fact{tap(event.Partial, 1), tap(event.Intact, 13), tap(event.Partial, 1)}, cut, 1, 1, 3, 0},
		{"seven cut", []event.Fact{tap(event.Partial, 7)}, 7 * cut, 7, 7, 1, 0},
		{"eight cut", eight, 8 * cut, 8, 8, 1, 2},
		{"no time clears it", with(tap(event.Intact, 500)), 0, 508, 8, 1, 2},
		{"a look clears it", with(&event.Looked{Pass: pass, Grafts: 9}), 0, 0, 0, 0, 0},
		{"and it begins again", with(&event.Looked{Pass: pass, Grafts: 9}, tap(event.Total, 2)), 2 * cut, 2, 2, 4, 0},
		{"a look before clears nothing", []event.Fact{&event.Looked{Pass: pass, Grafts: 9}, tap(event.Total, 8)}, 8 * cut, 8, 8, 2, 2},
		{"a look at another pass", with(&event.Looked{Pass: event.Ref{Seq: 2}, Grafts: 9}), 8 * cut, 8, 8, 1, 2},
		{"a higher limit", with(&event.Watch{P0Parts: 500, P1Parts: 1_000, H100: 600}), 8 * cut, 8, 8, 1, 0},
		{"what was there before has no order", []event.Fact{&event.OpeningCount{Of: event.KindAttempt, Pass: pass, Outcome: event.Total, N: 90}}, 0, 0, 0, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tally, _ := runOf(tt.facts...)
			got := tally.Read(pass)
			if got.Sum != tt.sum || got.Trials != tt.trials || got.Cut != tt.cut || seqOf(got.Since) != tt.since || seqOf(got.Alarmed) != tt.alarmed {
				t.Errorf("got %+v (since %d, alarmed %d)", got, seqOf(got.Since), seqOf(got.Alarmed))
			}
		})
	}
}

func seqOf(e *event.Event) uint64 {
	if e == nil {
		return 0
	}
	return e.Seq
}

func TestSumsOf(t *testing.T) {
	tally, all := runOf(tap(event.Total, 1), &event.Looked{Pass: pass, Grafts: 1}, tap(event.Intact, 1), tap(event.Partial, 2), tap(event.Intact, 1))
	for i, want := range map[int]bool{0: false, 2: false, 3: true, 4: true} {
		if got := tally.Sums(pass, all[i]); got != want {
			t.Errorf("entry %d: got %v, want %v", i, got, want)
		}
	}
}

// Undoing a look brings the alarm back, and bringing the look back clears it.
func TestUndoneLook(t *testing.T) {
	tally, all := runOf(tap(event.Total, 8), &event.Looked{Pass: pass, Grafts: 9}, tap(event.Intact, 1))
	for i, want := range []uint64{0, 1, 0} {
		if i > 0 {
			tally.Add(all[1], int64(2*(i%2)-1)*-1)
		}
		if got := seqOf(tally.Read(pass).Alarmed); got != want {
			t.Errorf("step %d: alarmed by %d, want %d", i, got, want)
		}
	}
}

// sees says whether a look saw an attempt.
func sees(look, e *event.Event) bool {
	f, ok := look.Fact.(*event.Looked)
	switch {
	case !ok:
		return false
	case len(f.Upto) == 0:
		return event.Before(e, look)
	}
	return slices.ContainsFunc(f.Upto, func(r event.Ref) bool { return r.Replica == e.Replica && e.Seq <= r.Seq })
}

// Clocks are of no account to a look: a phone an hour ahead that looks leaves the
// next hour watched, its own taps are cleared by a look from a right clock, and
// what another phone had tapped out of reach is still asked about.
func TestALookSeesWhatItHad(t *testing.T) {
	const hour = 3600
	at := func(phone byte, second uint64, fact event.Fact) *event.Event { return entry(phone, second, fact) }
	upto := func(of ...*event.Event) *event.Looked {
		f := &event.Looked{Pass: pass, Grafts: 5}
		for _, e := range of {
			f.Upto = append(f.Upto, e.Ref())
		}
		return f
	}
	slow, ahead := at(1, 10, tap(event.Total, 8)), at(2, 10+hour, tap(event.Total, 8))
	early := at(3, 5, tap(event.Partial, 9))
	tests := []struct {
		name    string
		events  []*event.Event
		cut     int64
		alarmed *event.Event
	}{
		{"a look from a phone ahead", []*event.Event{slow, at(2, 11+hour, upto(slow)), at(1, 12, tap(event.Total, 3))}, 3, nil},
		{"a look at a phone ahead", []*event.Event{ahead, at(1, 20, upto(ahead))}, 0, nil},
		{"and what comes then", []*event.Event{ahead, at(1, 20, upto(ahead)), at(1, 21, tap(event.Total, 2)), at(2, 11+hour, tap(event.Total, 1))}, 3, nil},
		{"what came too late to be seen", []*event.Event{slow, at(1, 11, upto(slow)), early}, 9, early},
		{"a look when there was nothing", []*event.Event{at(2, hour, &event.Looked{Pass: pass, Grafts: 5, Upto: []event.Ref{pass}}), slow}, 8, slow},
		{"two looks", []*event.Event{slow, ahead, at(1, 11, upto(slow)), at(3, 1, upto(ahead))}, 0, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tally := new(Tally)
			for _, e := range tt.events {
				tally.Add(e, 1)
				tally.Read(pass)
			}
			if got := tally.Read(pass); got.Cut != tt.cut || got.Alarmed != tt.alarmed {
				t.Errorf("got %+v, want %d cut", got, tt.cut)
			}
		})
	}
}

func TestUpto(t *testing.T) {
	tally, all := runOf(tap(event.Total, 1), &event.Looked{Pass: pass, Grafts: 1}, tap(event.Intact, 1))
	other := entry(2, 1, tap(event.Empty, 1))
	tally.Add(other, 1)
	got := tally.Upto(pass)
	slices.SortFunc(got, event.CompareRef)
	if want := []event.Ref{all[2].Ref(), other.Ref()}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := new(Tally).Upto(pass); !slices.Equal(got, []event.Ref{pass}) {
		t.Errorf("nothing tapped: got %v, want the pass", got)
	}
}

// slowly is a pass's sum one attempt at a time, from the start.
func slowly(standing []*event.Event, w event.Watch) (s State) {
	slices.SortFunc(standing, event.Compare)
	cut, whole := stats.CusumBillionths(int64(w.P0Parts), int64(w.P1Parts))
	for _, e := range standing {
		f, ok := e.Fact.(*event.Attempt)
		if !ok || slices.ContainsFunc(standing, func(look *event.Event) bool { return sees(look, e) }) {
			continue
		}
		for range f.N {
			s.Trials++
			if s.Since == nil {
				s.Since = e
			}
			if f.Outcome == event.Partial || f.Outcome == event.Total {
				s.Sum, s.Cut = s.Sum+cut, s.Cut+1
			} else {
				s.Sum = max(0, s.Sum+whole)
			}
			if s.Alarmed == nil && s.Sum >= int64(w.H100)*10_000_000 {
				s.Alarmed = e
			}
			if s.Sum == 0 && s.Alarmed == nil {
				s = State{}
			}
		}
	}
	return s
}

// Entries in any order, undone, brought back and under other settings give the
// sum that one walk over those that stand gives.
func TestAnyOrderGivesTheSameSum(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 300).Draw(rt, "entries")
		all := make([]*event.Event, n)
		for i := range all {
			var fact event.Fact = tap(event.Outcome(rapid.IntRange(1, event.Outcomes).Draw(rt, "outcome")), uint32(rapid.IntRange(1, 6).Draw(rt, "n")))
			if rapid.IntRange(0, 40).Draw(rt, "look") == 0 {
				look := &event.Looked{Pass: pass, Grafts: 3}
				for range rapid.IntRange(0, 3).Draw(rt, "phones") {
					look.Upto = append(look.Upto, event.Ref{Replica: event.ReplicaID{byte(rapid.IntRange(0, 3).Draw(rt, "phone"))}, Seq: uint64(rapid.IntRange(1, n).Draw(rt, "upto"))})
				}
				fact = look
			}
			all[i] = entry(byte(i%3), uint64(i/2+1), fact)
		}
		tally, stands := new(Tally), map[*event.Event]bool{}
		for range rapid.IntRange(1, 3*n).Draw(rt, "steps") {
			switch e := all[rapid.IntRange(0, n-1).Draw(rt, "which")]; {
			case rapid.IntRange(0, 30).Draw(rt, "set") == 0:
				w := &event.Watch{P0Parts: uint32(rapid.IntRange(100, 900).Draw(rt, "p0")), P1Parts: 1_500, H100: uint32(rapid.IntRange(100, 900).Draw(rt, "h"))}
				tally.Add(entry(7, 1, w), 1)
			case rapid.IntRange(0, 9).Draw(rt, "read") == 0:
				tally.Read(pass)
			case stands[e]:
				tally.Add(e, -1)
				delete(stands, e)
			default:
				tally.Add(e, 1)
				stands[e] = true
			}
		}
		var standing []*event.Event
		for e := range stands {
			standing = append(standing, e)
		}
		if got, want := tally.Read(pass), slowly(standing, tally.Watch()); got != want {
			rt.Fatalf("got %+v, want %+v", got, want)
		}
	})
}

// One entry that comes late costs a walk back to the mark before it, not a sort
// of all: 5,000 back in 12,000, well within what a tap may cost.
func TestALateEntryIsCheap(t *testing.T) {
	tally := new(Tally)
	for i := range uint64(12_000) {
		tally.Add(entry(1, 2*i+2, tap(event.Outcome(1+i%20/19), 1)), 1)
	}
	tally.Read(pass)
	best := time.Hour
	for i := range uint64(20) {
		begin := time.Now()
		tally.Add(entry(2, 14_001-2*i, tap(event.Total, 1)), 1)
		tally.Read(pass)
		best = min(best, time.Since(begin))
	}
	if best > 5*time.Millisecond {
		t.Errorf("got %v at best", best)
	}
}

func TestSamples(t *testing.T) {
	left := event.Ref{Seq: 5}
	tally, all := runOf(&event.Inspected{Pass: pass, Region: left, Grafts: 10, Whole: 20, Cut: 2}, &event.Inspected{Pass: pass, Grafts: 5, Whole: 9, Cut: 1})
	if got, want := tally.Sampled(Place{pass, left}), (Sample{10, 20, 2}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	tally.Add(all[0], -1)
	if got := tally.Sampled(Place{pass, left}); got != (Sample{}) {
		t.Errorf("undone: got %+v", got)
	}
	if got, want := tally.Sampled(Place{Pass: pass}), (Sample{5, 9, 1}); got != want {
		t.Errorf("of no region: got %+v, want %+v", got, want)
	}
}

func TestRates(t *testing.T) {
	got := RatesOf([event.Outcomes]int64{455, 25, 12, 5, 2, 1}, Sample{0, 4180, 120})
	want := Rates{Total: Rate{12, 500, true, 240, 138, 415}, Partial: Rate{25, 492, true, 508, 347, 739}, Topped: Rate{5, 500, true, 100, 43, 232},
		Buried: Rate{2, 500, true, 40, 11, 145}, Empty: Rate{1, 500, true, 20, 4, 112}, Follicles: Rate{120, 4300, true, 279, 234, 333}}
	if got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	for _, r := range []Rate{RateOf(0, 0), RateOf(3, 2), RateOf(-1, 5), RateOf(2, -5)} {
		if r.Known || r.Parts+r.Low+r.High != 0 {
			t.Errorf("got %+v, want nothing known", r)
		}
	}
}

// Of settings made apart the one that asks soonest counts.
func TestWatchesMadeApart(t *testing.T) {
	tally := new(Tally)
	if got := tally.Watch(); got.P0Parts != 500 || got.P1Parts != 1_000 || got.H100 != 500 {
		t.Errorf("by itself: got %+v", got)
	}
	one, two := entry(1, 1, &event.Watch{P0Parts: 400, P1Parts: 900, H100: 450}), entry(2, 1, &event.Watch{P0Parts: 300, P1Parts: 900, H100: 600})
	tally.Add(two, 1)
	tally.Add(one, 1)
	if got := tally.Watch(); got.H100 != 450 || len(tally.WatchHeads()) != 2 {
		t.Errorf("got %+v of %d", got, len(tally.WatchHeads()))
	}
	tally.Add(entry(1, 2, &event.Watch{P0Parts: 300, P1Parts: 900, H100: 600, Supersedes: tally.WatchHeads()}), 1)
	if got := tally.Watch(); got.H100 != 600 || len(tally.WatchesStanding()) != 1 {
		t.Errorf("chosen: got %+v of %d", got, len(tally.WatchesStanding()))
	}
}

func TestCharts(t *testing.T) {
	tally, _ := runOf(tap(event.Intact, 44), tap(event.Partial, 11), &event.Looked{Pass: pass, Grafts: 1}, tap(event.Empty, 45), tap(event.Total, 3))
	got := tally.Chart(pass)
	if len(got.Groups) != 2 || got.Groups[0].Cut != 6 || got.Groups[1].Cut != 5 || got.Cut != 11 || got.Rest != 3 || seqOf(got.Groups[1].Last) != 4 {
		t.Errorf("got %+v", got)
	}
	if c := tally.Chart(event.Ref{Seq: 3}); len(c.Groups) != 0 {
		t.Errorf("of no pass: got %+v", c)
	}
}
