package syncengine

import (
	"reflect"
	"slices"
	"testing"

	"rootledger/shared/event"
)

// copied is a phone with three events, and what a copy of it wrote besides.
func copied(t testing.TB) (r *Replica, own, copys []*event.Event) {
	t.Helper()
	r = New(numbered(9))
	for range 3 {
		record(t, r, &event.Sorted{Size: 1, N: 1}, dayStart)
	}
	own = chainFrom(r)
	other := New(numbered(9))
	other.Load(own[:2], Now{WallMs: dayStart})
	for range 2 {
		record(t, other, &event.Sorted{Size: 2, N: 1}, dayStart)
	}
	return r, own, chainFrom(other)
}

func TestClonedByWhatAPeerHolds(t *testing.T) {
	r, own, copys := copied(t)
	id := r.Me().Replica
	stranger := event.Ref{Replica: event.ReplicaID{5}, Seq: 7}
	tests := []struct {
		name   string
		theirs Vector
		want   bool
	}{
		{"nothing", nil, false},
		{"another's only", Vector{stranger}, false},
		{"less", Vector{own[0].Ref()}, false},
		{"the same", Vector{stranger, own[2].Ref()}, false},
		{"more", Vector{{Replica: id, Seq: 9, Check: [8]byte{1}}}, true},
		{"another past", Vector{{Replica: id, Seq: 1, Check: [8]byte{1}}}, true},
		{"another present", Vector{copys[2].Ref()}, true},
		{"this history and another", Vector{own[2].Ref(), copys[3].Ref()}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := New(numbered(9))
			r.Load(own, Now{WallMs: dayStart})
			r.Meet(tt.theirs)
			if got := r.Cloned(); got != tt.want {
				t.Errorf("got %v, want %v", got, tt.want)
			}
			if r.Meet(nil); r.Cloned() != tt.want {
				t.Errorf("after it met nobody: got %v, want %v", r.Cloned(), tt.want)
			}
		})
	}
	fresh := New(numbered(9))
	if fresh.Meet(Vector{own[0].Ref()}); !fresh.Cloned() {
		t.Error("a phone that wrote nothing, of which another is known: want cloned")
	}
}

func TestClonedByWhatArrives(t *testing.T) {
	_, own, copys := copied(t)
	further := forked(t, 9, own[2], 1, &event.Sorted{Size: 3, N: 1})
	tests := []struct {
		name    string
		arrives []*event.Event
		want    bool
	}{
		{"nothing", nil, false},
		{"its own, told back", own, false},
		{"its own, twice and in any order", []*event.Event{own[2], own[0], own[2]}, false},
		{"another's", chainOf(t, 5, 2), false},
		{"another in a place that is taken", copys[2:3], true},
		{"one behind its last", further, true},
		{"one that follows what is not here", copys[3:], true},
		{"another first", forked(t, 9, nil, 1, &event.Sorted{Size: 3, N: 1}), true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := New(numbered(9))
			r.Load(own, Now{WallMs: dayStart})
			take(t, r, dayStart, tt.arrives...)
			if got := r.Cloned(); got != tt.want {
				t.Fatalf("got %v, want %v", got, tt.want)
			}
			// whatever came, it goes on behind what it wrote itself
			e := record(t, r, &event.Sorted{Size: 4, N: 1}, dayStart)
			if e.Seq != 4 || e.Prev != own[2].Hash || r.Head() != e.Ref() || !reflect.DeepEqual(chainFrom(r), append(slices.Clone(own), e)) {
				t.Errorf("got seq %d behind %v, want 4 behind its own third", e.Seq, e.Prev)
			}
			if r.Cloned() != tt.want {
				t.Errorf("after one more: got %v, want %v", r.Cloned(), tt.want)
			}
		})
	}
	fresh := New(numbered(9))
	if take(t, fresh, dayStart, own[0]); !fresh.Cloned() {
		t.Error("a phone that wrote nothing is told its own: want cloned")
	}
	wall := New(wallIdentity())
	take(t, wall, dayStart, append(own, copys...)...)
	if wall.Meet(wall.Vector()); wall.Cloned() {
		t.Error("a wall is no copy of anything")
	}
}

func TestClonedByWhatWasKept(t *testing.T) {
	_, own, copys := copied(t)
	tests := []struct {
		name string
		kept []*event.Event
		want bool
		head uint64
	}{
		{"nothing", nil, false, 0},
		{"one history", own, false, 3},
		{"one history, in any order", []*event.Event{own[2], own[0], own[1], own[0]}, false, 3},
		{"beside another's", append(chainOf(t, 5, 2), own...), false, 3},
		{"beside another's two", append(append(chainOf(t, 5, 2), forked(t, 5, nil, 2, &event.Left{})...), own...), false, 3},
		{"two histories", append(slices.Clone(own), copys...), true, 3},
		{"a hole", []*event.Event{own[0], own[2]}, true, 1},
		{"the first is missing", own[1:], true, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := New(numbered(9))
			if _, refused := r.Load(tt.kept, Now{WallMs: dayStart}); len(refused) > 0 {
				t.Fatalf("refused %v", refused)
			}
			if got := r.Cloned(); got != tt.want || r.Head().Seq != tt.head {
				t.Errorf("got %v, head %d, want %v, %d", got, r.Head().Seq, tt.want, tt.head)
			}
		})
	}
}

// A copy goes on under a new id, its counts of before stay its own, and the old
// id says nothing more of it.
func TestGoOnAs(t *testing.T) {
	r, own, copys := copied(t)
	take(t, r, dayStart, copys...)
	if !r.Cloned() {
		t.Fatal("it is not cloned")
	}
	me := r.Me()
	me.Replica = event.ReplicaID{77}
	r.GoOnAs(me)
	if r.Cloned() || r.Head() != (event.Ref{Replica: me.Replica}) || r.Own(1) != nil {
		t.Errorf("a new id: got cloned %v, head %v", r.Cloned(), r.Head())
	}
	take(t, r, dayStart, append(own, copys...)...)
	r.Meet(Vector{{Replica: own[0].Replica, Seq: 99}})
	e := record(t, r, &event.Sorted{Size: 3, N: 5}, dayStart)
	if r.Cloned() || e.Seq != 1 || e.Session != testSession || e.Phone != me.Phone || e.Stamp <= own[2].Stamp {
		t.Errorf("its first: got cloned %v, %+v", r.Cloned(), e)
	}
	if got := sortedOf(r); got != 3+2+5 {
		t.Errorf("got %d sorted, want 10", got)
	}
	if written, lacking := r.Mine(new(Peer)); written != 6 || lacking != 6 {
		t.Errorf("mine: got %d written, %d lacking, want 6, 6", written, lacking)
	}
	var peer Peer
	r.Raise(&peer, own[2].Ref())
	r.Raise(&peer, e.Ref())
	if written, lacking := r.Mine(&peer); written != 6 || lacking != 2 {
		t.Errorf("mine, of a peer with all but the copy's: got %d written, %d lacking, want 6, 2", written, lacking)
	}
}

// Which phone wrote under an id that two phones began is the same everywhere.
func TestAnIDThatTwoPhonesBegan(t *testing.T) {
	mine := chainOf(t, 9, 2)
	others := remade(t, &event.Event{Replica: mine[0].Replica, Seq: 1, Session: testSession, Phone: event.PhoneID{0xEE},
		Stamp: mine[0].Stamp, Fact: &event.Sorted{Size: 2, N: 1}})
	again := &author{id: event.ReplicaID{9, 7: 1}} // a second id of the one phone
	events := []*event.Event{mine[0], mine[1], others, again.next(t, &event.Sorted{Size: 3, N: 8})}
	views := [2][]byte{}
	for i, order := range [][]int{{0, 1, 2, 3}, {3, 2, 0, 1}} {
		r := New(Identity{Session: testSession, Replica: mine[0].Replica})
		for _, at := range order {
			take(t, r, dayStart, events[at])
		}
		views[i] = viewJSON(t, r, dayStart)
	}
	sameBytes(t, "view", views[1], views[0])
}
