package syncengine

import (
	"encoding/json"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// forest is everything that was written under a few replica ids, some of which
// were copied, at any place and more than once. Every choice comes from pick.
type forest struct {
	t      failer
	pick   func(int) int
	pass   event.Ref
	events []*event.Event // each after what it follows
	parent map[*event.Event]*event.Event
	lines  int
}

// drawForest is a lead's history and one to three trees of others'.
func drawForest(rt *rapid.T) *forest {
	f := &forest{t: rt, pick: func(n int) int { return rapid.IntRange(0, n-1).Draw(rt, "pick") }, parent: map[*event.Event]*event.Event{}}
	lead := f.grow(event.ReplicaID{1}, nil, &event.Joined{Person: "Lea", Station: event.Lead})
	lead = f.grow(event.ReplicaID{1}, lead, &event.Opened{Case: "C-1", Room: "1", Stations: []event.Station{1, 2}})
	f.pass = f.grow(event.ReplicaID{1}, lead, &event.PassBegun{Mode: event.Pulled}).Ref()
	f.lines = 1
	for id := range 1 + f.pick(3) {
		f.tree(event.ReplicaID{byte(id + 2)}, f.pick(16))
	}
	return f
}

// tree is up to n events under one id: mostly each behind the one before, at
// times behind any earlier one, or behind none. Up to eight lines.
func (f *forest) tree(id event.ReplicaID, n int) {
	var all []*event.Event
	var tips []*event.Event
	f.lines++
	for range 1 + n {
		var after *event.Event
		if len(all) > 0 {
			after = all[len(all)-1]
			if f.pick(3) == 0 {
				after = append([]*event.Event{nil}, all...)[f.pick(len(all)+1)]
			}
		}
		at := slices.Index(tips, after)
		if at < 0 && len(all) > 0 {
			if len(tips) == 8 {
				continue
			}
			f.lines++
		}
		e := f.grow(id, after, f.fact(id, all))
		if at >= 0 {
			tips[at] = e
		} else {
			tips = append(tips, e)
		}
		all = append(all, e)
	}
}

// grow writes one event behind another. Stamps grow along a history, and those
// of two copies are at times the same.
func (f *forest) grow(id event.ReplicaID, after *event.Event, fact event.Fact) *event.Event {
	e := &event.Event{Replica: id, Seq: 1, Session: testSession, Phone: event.PhoneID{id[0]}, Stamp: event.StampAt(dayStart), Fact: fact}
	if after != nil {
		e.Seq, e.Prev, e.Session, e.Phone, e.Stamp = after.Seq+1, after.Hash, event.SessionID{}, event.PhoneID{}, after.Stamp
	}
	e.Stamp += event.Stamp(1 + f.pick(3))
	e.WallMs = int64(len(f.events)) // no two events are the same
	e = remade(f.t, e)
	f.events = append(f.events, e)
	f.parent[e] = after
	return e
}

// fact is anything whose figure could depend on an order.
func (f *forest) fact(id event.ReplicaID, earlier []*event.Event) event.Fact {
	target := event.Ref{Replica: event.ReplicaID{1}, Seq: 1, Check: [8]byte{1}}
	if len(earlier) > 0 {
		target = earlier[f.pick(len(earlier))].Ref()
	}
	n := uint32(1 + f.pick(9))
	facts := []event.Fact{
		&event.Sorted{Size: 1, N: n}, &event.Fired{Pass: f.pass, N: n}, &event.Fired{Pass: f.pass, N: n},
		&event.Attempt{Pass: f.pass, Outcome: event.Intact, N: n},
		&event.Reading{Pass: f.pass, Counter: "a", Direction: event.Up, Value: 10 * n},
		&event.Reading{Pass: f.pass, Counter: "b", Direction: event.Down, Value: 10 * n},
		&event.Joined{Person: personNames[f.pick(4)], Station: event.Station(1 + f.pick(3))}, &event.HandedOver{Person: personNames[f.pick(4)]},
		&event.Left{}, &event.Paused{Room: f.pick(2) == 0}, &event.Resumed{}, &event.Void{Target: target},
		&event.Restore{Target: target, Voids: []event.Ref{target}}, &event.Budget{Grafts: n},
		&event.Refiled{Targets: []event.Ref{target}, Sets: event.FiledSize, Size: event.Size(1 + n%4)},
		&event.OpeningCount{Of: event.KindSorted, Size: 2, N: 100 * n}, &event.Recount{Of: event.Holding, Size: 2, N: n},
	}
	return facts[f.pick(len(facts))]
}

// some is a part of a forest that holds with every event all that it follows.
func (f *forest) some() map[*event.Event]bool {
	held := map[*event.Event]bool{}
	most := 1 + f.pick(4) // in so many, one is left out
	for _, e := range f.events {
		if after := f.parent[e]; (after == nil || held[after]) && f.pick(most+1) > 0 {
			held[e] = true
		}
	}
	return held
}

// spread hands parts of a forest to replicas, so that each event is somewhere.
func (f *forest) spread(replicas []*Replica) {
	nowhere := map[*event.Event]bool{}
	for _, e := range f.events {
		nowhere[e] = true
	}
	for _, r := range replicas {
		var part []*event.Event
		for e := range f.some() {
			part = append(part, e)
			delete(nowhere, e)
		}
		slices.SortFunc(part, event.Compare)
		take(f.t, r, dayStart, shuffled(f.pick, part)...)
	}
	for _, e := range f.events {
		if !nowhere[e] {
			continue
		}
		path := []*event.Event{e}
		for after := f.parent[e]; after != nil; after = f.parent[after] {
			path = append(path, after)
		}
		take(f.t, replicas[f.pick(len(replicas))], dayStart, path...)
	}
}

// roomJSON is what a wall would draw of what r holds.
func roomJSON(t failer, r *Replica) []byte {
	t.Helper()
	out, err := json.Marshal(r.State().View(event.ReplicaID{}, dayStart, nil))
	if err != nil {
		t.Fatalf("view: %v", err)
	}
	return out
}

// agree holds replicas to everything of a forest, each event once.
func (f *forest) agree(replicas ...*Replica) {
	f.t.Helper()
	want := New(wallIdentity())
	take(f.t, want, dayStart, f.events...)
	for i, r := range replicas {
		if got := r.State().Events(); got != len(f.events) {
			f.t.Fatalf("replica %d: got %d events, want %d", i, got, len(f.events))
		}
		for _, e := range f.events {
			if r.Event(e.Ref()) == nil {
				f.t.Fatalf("replica %d: lacks %v:%d", i, e.Replica, e.Seq)
			}
		}
		if got := r.Vector(); len(got) != f.lines || !reflect.DeepEqual(got, want.Vector()) {
			f.t.Fatalf("replica %d: got vector %v, want %v of %d", i, got, want.Vector(), f.lines)
		}
		if holes := r.Holes(); holes != nil {
			f.t.Fatalf("replica %d: got holes %v", i, holes)
		}
		sameBytes(f.t, "view", roomJSON(f.t, r), roomJSON(f.t, want))
		if got := r.State().Splits(); !reflect.DeepEqual(got, want.State().Splits()) {
			f.t.Fatalf("replica %d: got splits %v, want %v", i, got, want.State().Splits())
		}
	}
}

// However copies part, whoever holds them in whatever order: one state.
func TestForkedHistoriesInAnyOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := drawForest(rt)
		r, other := New(wallIdentity()), New(wallIdentity())
		deliver(rt, f.pick, r, f.events, dayStart)
		deliver(rt, f.pick, other, f.events, dayStart)
		f.agree(r, other)
	})
}

// tell sends what to lacks, as far as from knows, in any order and with repeats.
func (f *forest) tell(from, to *Replica, ahead func(event.ReplicaID) bool) {
	f.t.Helper()
	peer := from.Know(to.Vector(), ahead)
	for events := batched(f.t, from, &peer); len(events) > 0; events = batched(f.t, from, &peer) {
		if f.pick(2) == 0 {
			events = shuffled(f.pick, append(events, events[:f.pick(len(events))]...))
		}
		take(f.t, to, dayStart, events...)
	}
	if left := from.Missing(&peer); len(left) > 0 {
		f.t.Fatalf("after the batches: got %v missing", left)
	}
}

// Two replicas are equal after both told each other twice, whatever each takes
// the other to have gone on from. At most one of two that hold different
// histories under an id can take the other to be ahead, the one with the
// shorter: it is told the longer, then knows better, and tells its own. Once
// every pair of n has done so in turn the last knows all; twice, all do.
func TestForkedHistoriesMeetInTwoRounds(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := drawForest(rt)
		aheads := []func(event.ReplicaID) bool{nobody, anybody, func(id event.ReplicaID) bool { return id[0]%2 == 0 }}
		ahead := make(map[[2]int]func(event.ReplicaID) bool)
		replicas := make([]*Replica, 2+f.pick(3))
		for i := range replicas {
			replicas[i] = New(wallIdentity())
			for j := range replicas {
				ahead[[2]int{i, j}] = aheads[f.pick(len(aheads))]
			}
		}
		f.spread(replicas)
		for range 2 {
			for i, a := range replicas {
				for j, b := range replicas[:i] {
					for range 2 {
						f.tell(a, b, ahead[[2]int{i, j}])
						f.tell(b, a, ahead[[2]int{j, i}])
					}
					if !reflect.DeepEqual(a.Vector(), b.Vector()) {
						rt.Fatalf("%d and %d after two rounds: got %v and %v", i, j, a.Vector(), b.Vector())
					}
				}
			}
		}
		f.agree(replicas...)
	})
}

// wire is one direction of a connection: frames are on their way in order.
type wire struct {
	from, to int
	ahead    func(event.ReplicaID) bool
	peer     Peer
	events   []*event.Event
}

// A connection that stays, on which both learn of third histories meanwhile,
// needs no new beginning: both sides end with everything.
func TestForkedHistoriesOnOneConnection(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := drawForest(rt)
		phone := event.ReplicaID{2}
		ends := []*Replica{New(wallIdentity()), New(wallIdentity())}
		held := []map[*event.Event]bool{f.some(), f.some()}
		later := slices.DeleteFunc(slices.Clone(f.events), func(e *event.Event) bool { return held[0][e] || held[1][e] })
		for i, r := range ends {
			for _, e := range f.events {
				if held[i][e] {
					take(rt, r, dayStart, e)
				}
			}
		}
		wires := []*wire{
			{from: 0, to: 1, ahead: func(id event.ReplicaID) bool { return id != phone }},
			{from: 1, to: 0, ahead: func(id event.ReplicaID) bool { return id == phone }},
		}
		for _, w := range wires {
			w.peer = ends[w.from].Know(ends[w.to].Vector(), w.ahead)
		}
		say := func(w *wire) bool {
			events := batched(rt, ends[w.from], &w.peer)
			w.events = append(w.events, events...)
			return len(events) > 0
		}
		hear := func(w *wire, n int) {
			events := w.events[:n]
			w.events = w.events[n:]
			take(rt, ends[w.to], dayStart, events...)
			for _, e := range events {
				ends[w.to].Raise(&wires[w.to].peer, e.Ref())
			}
		}
		for len(later) > 0 { // a third one brings it while they are connected
			switch w := wires[f.pick(2)]; f.pick(4) {
			case 0:
				say(w)
			case 1:
				hear(w, f.pick(len(w.events)+1))
			default:
				n := 1 + f.pick(len(later))
				take(rt, ends[w.from], dayStart, later[:n]...)
				later = later[n:]
			}
		}
		for i, busy := 0, true; busy; i++ {
			if busy = false; i > len(f.events) {
				rt.Fatalf("they never end")
			}
			for _, w := range wires {
				busy = say(w) || len(w.events) > 0 || busy
				hear(w, len(w.events))
			}
		}
		f.agree(ends...)
	})
}

// What a peer is taken to hold because it may have gone on is doubted as soon
// as it turns out to have gone another way.
func TestAnAssumptionEndsWithASecondHistory(t *testing.T) {
	trunk := chainOf(t, 9, 3)
	x := append(slices.Clone(trunk), forked(t, 9, trunk[2], 2, &event.Sorted{Size: 2, N: 1})...)
	y := append(slices.Clone(trunk), forked(t, 9, trunk[2], 4, &event.Sorted{Size: 3, N: 1})...)
	r := New(wallIdentity())
	take(t, r, dayStart, x...)
	peer := r.Know(Vector{y[6].Ref()}, anybody)
	if left := r.Missing(&peer); len(left) != 0 {
		t.Errorf("before: got %v missing, want nothing", left)
	}
	for i, e := range y { // as the peer sends them
		take(t, r, dayStart, e)
		r.Raise(&peer, e.Ref())
		left := r.Missing(&peer)
		if want := i >= len(trunk); (len(left) > 0) != want {
			t.Errorf("after its event %d: got %v missing, want any: %v", i+1, left, want)
		}
	}
	r.Raise(&peer, y[6].Ref())
	if got, want := r.Missing(&peer), []Span{{trunk[0].Replica, 0, 4, 5}}; !reflect.DeepEqual(got, want) {
		t.Errorf("after all: got %v missing, want %v", got, want)
	}
}

// Who tells whom what when two hold different histories under one id.
func TestWhoTellsWhom(t *testing.T) {
	trunk := chainOf(t, 9, 3)
	grown := func(after *event.Event, n int, size event.Size) []*event.Event {
		return append(slices.Clone(trunk), forked(t, 9, after, n, &event.Sorted{Size: size, N: 1})...)
	}
	x, y := grown(trunk[2], 2, 2), grown(trunk[2], 4, 3)
	tests := []struct {
		name  string
		a, b  []*event.Event
		sends [4]int // a to b, b to a, and again
	}{
		{"the same", x, x, [4]int{}},
		{"one went on", x, x[:4], [4]int{1}},
		{"the other went on", x[:2], x, [4]int{0, 3}},
		{"the shorter says it first", x, y, [4]int{0, 7, 2}}, // b can not know where they part
		{"the longer says it first", y, x, [4]int{7, 2}},
		{"as long", x, grown(trunk[2], 2, 4), [4]int{5, 2}},
		{"one knows both", append(slices.Clone(x), y[3:]...), x, [4]int{4}},
		{"one knows both, the other has more", append(slices.Clone(x), y[3:]...), grown(trunk[2], 9, 4), [4]int{9, 9}},
		{"nothing in common", x, forked(t, 9, nil, 8, &event.Sorted{Size: 4, N: 9}), [4]int{0, 8, 5}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ends := []*Replica{New(wallIdentity()), New(wallIdentity())}
			take(t, ends[0], dayStart, tt.a...)
			take(t, ends[1], dayStart, tt.b...)
			var got [4]int
			for i := range got {
				from, to := ends[i%2], ends[1-i%2]
				peer := from.Know(to.Vector(), anybody)
				events := batched(t, from, &peer)
				got[i] = len(events)
				take(t, to, dayStart, events...)
			}
			if got != tt.sends {
				t.Errorf("got %v, want %v", got, tt.sends)
			}
			if !reflect.DeepEqual(ends[0].Vector(), ends[1].Vector()) {
				t.Errorf("got %v and %v", ends[0].Vector(), ends[1].Vector())
			}
			sameBytes(t, "view", roomJSON(t, ends[1]), roomJSON(t, ends[0]))
		})
	}
}
