package syncengine

import (
	"reflect"
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// sortedOf is the grafts that a replica counts as sorted.
func sortedOf(r *Replica) int64 { return r.View(dayStart, nil).Ledger.Sorted.Total() }

// refusedWith checks that exactly one event is refused, and with which code.
func refusedWith(t *testing.T, r *Replica, e *event.Event, code fault.Code) {
	t.Helper()
	fresh, refused := r.Receive([]*event.Event{e}, Now{WallMs: dayStart})
	if len(fresh) != 0 || len(refused) != 1 {
		t.Fatalf("seq %d: got %d fresh and %d refused, want 0 and 1", e.Seq, len(fresh), len(refused))
	}
	if one := refused[0]; one.Replica != e.Replica || one.Seq != e.Seq || one.Fault.Code != code {
		t.Errorf("seq %d: got %+v (%v), want code %s", e.Seq, one, one.Fault, code)
	}
}

func TestGapsAreKeptAsideAndLinkedWhenFilled(t *testing.T) {
	c := chainOf(t, 9, 7)
	tests := []struct {
		name  string
		order []int // seqs
		fresh []int // how many become linked by each
	}{
		{"in order", []int{1, 2, 3, 4, 5, 6, 7}, []int{1, 1, 1, 1, 1, 1, 1}},
		{"from the end", []int{7, 6, 5, 4, 3, 2, 1}, []int{0, 0, 0, 0, 0, 0, 7}},
		{"two gaps", []int{1, 3, 5, 7, 2, 4, 6}, []int{1, 0, 0, 0, 2, 2, 2}},
		{"repeats between", []int{2, 2, 1, 1, 2, 4, 4, 3, 7, 5, 6}, []int{0, 0, 2, 0, 0, 0, 0, 2, 0, 1, 2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := New(wallIdentity())
			total := 0
			for i, seq := range tt.order {
				fresh := take(t, r, dayStart, c[seq-1])
				if len(fresh) != tt.fresh[i] {
					t.Errorf("step %d, seq %d: got %d fresh, want %d", i, seq, len(fresh), tt.fresh[i])
				}
				for _, e := range fresh {
					if total++; e != c[total-1] {
						t.Errorf("step %d: got seq %d, want %d", i, e.Seq, total)
					}
				}
				if got := sortedOf(r); got != int64(total) {
					t.Errorf("step %d: got %d counted, want %d", i, got, total)
				}
			}
			if got, want := r.Vector(), (Vector{c[6].Ref()}); !reflect.DeepEqual(got, want) {
				t.Errorf("vector: got %v, want %v", got, want)
			}
			if holes := r.Holes(); holes != nil {
				t.Errorf("holes: got %v, want none", holes)
			}
		})
	}
}

// forked is n events of a copy of a phone that goes on behind parent, or from
// the start behind nil.
func forked(t failer, id byte, parent *event.Event, n int, fact event.Fact) []*event.Event {
	t.Helper()
	a := &author{event.ReplicaID{id, 7: id}, parent}
	var out []*event.Event
	for range n {
		out = append(out, a.next(t, fact))
	}
	return out
}

func TestTwoHistoriesUnderOneID(t *testing.T) {
	c := chainOf(t, 9, 6)
	other := forked(t, 9, nil, 5, &event.Sorted{Size: 2, N: 50})
	r := New(wallIdentity())
	take(t, r, dayStart, c[0], c[1], c[2], c[4]) // 4 is missing, 5 is aside
	if fresh := take(t, r, dayStart, other[1], other[3]); len(fresh) != 0 || sortedOf(r) != 3 {
		t.Errorf("before what they follow: got %d fresh, %d sorted, want 0 and 3", len(fresh), sortedOf(r))
	}
	if fresh := take(t, r, dayStart, other[0]); len(fresh) != 2 || sortedOf(r) != 103 {
		t.Errorf("the first of another history: got %d fresh, %d sorted, want 2 and 103", len(fresh), sortedOf(r))
	}
	if got, want := r.Vector(), (Vector{other[1].Ref(), c[2].Ref()}); !reflect.DeepEqual(got, want) {
		t.Errorf("vector: got %v, want %v", got, want)
	}
	if fresh := take(t, r, dayStart, other[2], c[3]); len(fresh) != 4 || sortedOf(r) != 205 {
		t.Errorf("both go on: got %d fresh, %d sorted, want 4 and 205", len(fresh), sortedOf(r))
	}
	if fresh := take(t, r, dayStart, append(other, c...)...); len(fresh) != 2 || sortedOf(r) != 256 {
		t.Errorf("all again: got %d fresh, %d sorted, want 2 and 256", len(fresh), sortedOf(r))
	}
	if !r.Split(c[0].Replica) || r.Cloned() || r.View(dayStart, nil).Session.Splits != 1 {
		t.Errorf("got split %v, cloned %v, %d in the view, want true, false, 1",
			r.Split(c[0].Replica), r.Cloned(), r.View(dayStart, nil).Session.Splits)
	}
}

// What never links is kept aside and keeps nothing else out.
func TestWhatWasAsideAndDoesNotLink(t *testing.T) {
	c := chainOf(t, 9, 4)
	stray := remade(t, &event.Event{Replica: c[0].Replica, Seq: 3, Prev: event.Hash{1}, Fact: &event.Sorted{Size: 2, N: 50}})
	r := New(wallIdentity())
	take(t, r, dayStart, c[0], stray, c[3], c[2])
	if fresh := take(t, r, dayStart, c[1]); len(fresh) != 3 || sortedOf(r) != 4 {
		t.Errorf("got %d fresh, %d sorted, want 3 and 4: the stray one does not link", len(fresh), sortedOf(r))
	}
	if got, want := r.Vector(), (Vector{c[3].Ref()}); !reflect.DeepEqual(got, want) {
		t.Errorf("vector: got %v, want %v", got, want)
	}
	if _, linked := r.Place(stray); linked || r.Event(stray.Ref()) != nil {
		t.Error("the stray one has a place")
	}
	if want := []Gap{{c[0].Replica, 1, 2}}; !reflect.DeepEqual(r.Holes(), want) {
		t.Errorf("holes: got %v, want %v", r.Holes(), want)
	}
}

func TestOtherSessionIsRefused(t *testing.T) {
	e := &event.Event{Replica: event.ReplicaID{9}, Seq: 1, Session: event.SessionID{0xB2}, Phone: event.PhoneID{9}, Fact: &event.Ended{}}
	r := New(wallIdentity())
	refusedWith(t, r, remade(t, e), "other-session")
	if got := r.Vector(); len(got) != 0 {
		t.Errorf("vector: got %v, want nothing", got)
	}
}

func TestMaxAside(t *testing.T) {
	c := chainOf(t, 9, MaxAside+2)
	r := New(wallIdentity())
	take(t, r, dayStart, c[1:MaxAside+1]...)
	refusedWith(t, r, c[MaxAside+1], "aside-many")
	take(t, r, dayStart, c[1:MaxAside+1]...) // repeats stay repeats
	if fresh := take(t, r, dayStart, c[0]); len(fresh) != MaxAside+1 {
		t.Errorf("got %d linked, want %d", len(fresh), MaxAside+1)
	}
	if fresh := take(t, r, dayStart, c[MaxAside+1]); len(fresh) != 1 || sortedOf(r) != MaxAside+2 {
		t.Errorf("got %d fresh, %d sorted, want 1 and %d", len(fresh), sortedOf(r), MaxAside+2)
	}
}

func TestMaxReplicas(t *testing.T) {
	r := New(wallIdentity())
	nth := func(n int) *author { return &author{id: event.ReplicaID{byte(n), byte(n >> 8), 7: 1}} }
	authors := make([]*author, MaxReplicas)
	for i := range authors {
		authors[i] = nth(i)
		take(t, r, dayStart, authors[i].next(t, &event.Sorted{Size: 1, N: 1}))
	}
	one := nth(MaxReplicas)
	refusedWith(t, r, one.next(t, &event.Sorted{Size: 1, N: 1}), "replicas-many")
	refusedWith(t, r, one.next(t, &event.Sorted{Size: 1, N: 1}), "replicas-many") // aside takes a place too
	take(t, r, dayStart, authors[7].next(t, &event.Sorted{Size: 1, N: 1}))
	if got := sortedOf(r); got != MaxReplicas+1 {
		t.Errorf("got %d sorted, want %d", got, MaxReplicas+1)
	}
}

// One id has no more histories than a room could make by accident, and what is
// beyond that is refused in words and can be offered again.
func TestMaxLines(t *testing.T) {
	c := chainOf(t, 9, 3)
	r := New(wallIdentity())
	take(t, r, dayStart, c...)
	for n := uint32(1); n < MaxLines; n++ {
		take(t, r, dayStart, forked(t, 9, c[0], 2, &event.Sorted{Size: 2, N: n})...)
	}
	more := forked(t, 9, c[1], 2, &event.Sorted{Size: 3, N: 7})
	refusedWith(t, r, more[0], "histories-many")
	take(t, r, dayStart, more[1]) // aside: what it follows is not here
	before := sortedOf(r)
	take(t, r, dayStart, forked(t, 9, c[2], 1, &event.Sorted{Size: 1, N: 1})...) // goes on, and is no line of its own
	if got := sortedOf(r); got != before+1 || len(r.Vector()) != MaxLines {
		t.Errorf("got %d sorted, %d heads, want %d, %d", got, len(r.Vector()), before+1, MaxLines)
	}
}

// mapped is a replica of one history up to seq 6, one that leaves it behind 3 and
// goes up to 5, one that leaves that one behind 4, and one from the start.
func mapped(t testing.TB) (r *Replica, trunk, branch, twig, root []*event.Event) {
	t.Helper()
	trunk = chainOf(t, 9, 6)
	branch = forked(t, 9, trunk[2], 2, &event.Sorted{Size: 2, N: 1})
	twig = forked(t, 9, branch[0], 1, &event.Sorted{Size: 3, N: 1})
	root = forked(t, 9, nil, 2, &event.Sorted{Size: 4, N: 1})
	r = New(wallIdentity())
	for _, events := range [][]*event.Event{trunk, branch, twig, root} {
		take(t, r, dayStart, events...)
	}
	return r, trunk, branch, twig, root
}

func TestRaiseAlongAHistory(t *testing.T) {
	r, trunk, branch, twig, root := mapped(t)
	tests := []struct {
		name string
		refs []event.Ref
		want [4]uint64 // up to where the peer holds each line, 0 for nothing
	}{
		{"nothing", nil, [4]uint64{}},
		{"on the first line", []event.Ref{trunk[1].Ref()}, [4]uint64{2}},
		{"on a line that leaves it", []event.Ref{branch[0].Ref()}, [4]uint64{3, 4}},
		{"on a line that leaves that one", []event.Ref{twig[0].Ref()}, [4]uint64{3, 4, 5}},
		{"on a line of its own", []event.Ref{root[1].Ref()}, [4]uint64{0, 0, 0, 2}},
		{"never down", []event.Ref{trunk[5].Ref(), branch[1].Ref(), twig[0].Ref(), trunk[0].Ref()}, [4]uint64{6, 5, 5}},
		{"what is not here", []event.Ref{{Replica: trunk[0].Replica, Seq: 4}, {Replica: event.ReplicaID{1}, Seq: 1}}, [4]uint64{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var peer Peer
			for _, ref := range tt.refs {
				r.Raise(&peer, ref)
			}
			for line, events := range [][]*event.Event{trunk, branch, twig, root} {
				for _, e := range events {
					place, linked := r.Place(e)
					if !linked || place.Line != line {
						t.Fatalf("%d: got %v, %v, want line %d", e.Seq, place, linked, line)
					}
					if got, want := peer.Has(place), e.Seq <= tt.want[line]; got != want {
						t.Errorf("line %d, seq %d: got %v, want %v", line, e.Seq, got, want)
					}
				}
			}
		})
	}
}

func TestGaps(t *testing.T) {
	r, trunk, branch, twig, root := mapped(t)
	id, other := trunk[0].Replica, event.ReplicaID{3}
	foreign := func(seq uint64) event.Ref { return event.Ref{Replica: id, Seq: seq, Check: [8]byte{0xFF}} }
	tests := []struct {
		name   string
		theirs Vector
		want   []Gap
	}{
		{"nothing", nil, nil},
		{"the same", r.Vector(), nil},
		{"less", Vector{root[0].Ref(), trunk[1].Ref(), branch[0].Ref()}, nil},
		{"an end that is here", Vector{twig[0].Ref()}, nil},
		{"another replica", Vector{{Replica: other, Seq: 4}}, []Gap{{other, 1, 4}}},
		{"more than the longest here", Vector{foreign(9)}, []Gap{{id, 7, 9}}},
		{"between two lengths here", Vector{foreign(6)}, []Gap{{id, 6, 6}}},
		{"longer than the shortest", Vector{foreign(3)}, []Gap{{id, 3, 3}}},
		{"no longer than any", Vector{foreign(2)}, []Gap{{id, 1, 2}}},
		{"two that are not here", Vector{{Replica: other, Seq: 1}, foreign(8), foreign(9)}, []Gap{{other, 1, 1}, {id, 7, 8}, {id, 7, 9}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := r.Gaps(tt.theirs); !reflect.DeepEqual(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestHoles(t *testing.T) {
	a, b := chainOf(t, 1, 9), chainOf(t, 2, 9)
	branch := forked(t, 1, a[1], 5, &event.Sorted{Size: 2, N: 1}) // 3..7
	one, two := a[0].Replica, b[0].Replica
	tests := []struct {
		name string
		held []*event.Event
		want []Gap
	}{
		{"nothing", nil, nil},
		{"no gap", a, nil},
		{"the first is missing", a[1:], []Gap{{one, 1, 1}}},
		{"the first three are missing", a[3:4], []Gap{{one, 1, 3}}},
		{"a gap in the middle", append(a[:3:3], a[5:]...), []Gap{{one, 4, 5}}},
		{"the first of two gaps", append(a[:3:3], a[4], a[6]), []Gap{{one, 4, 4}}},
		{"two replicas", append(b[2:3:3], a[1]), []Gap{{one, 1, 1}, {two, 1, 2}}},
		{"in one of two histories", append(append(a[:6:6], branch[:2]...), branch[4]), []Gap{{one, 5, 6}}},
		{"filled", append(append(a[2:9:9], a[1]), a[0]), nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := New(wallIdentity())
			take(t, r, dayStart, tt.held...)
			if got := r.Holes(); !reflect.DeepEqual(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestVectorWith(t *testing.T) {
	trunk := chainOf(t, 9, 4)
	other := &author{id: trunk[0].Replica, head: trunk[1]}
	branch := []*event.Event{other.next(t, &event.Sorted{Size: 2, N: 1}), other.next(t, &event.Sorted{Size: 2, N: 1})}
	apart := chainOf(t, 7, 1)[0].Ref()
	r := New(wallIdentity())
	take(t, r, dayStart, append(append(trunk[:4:4], branch...), chainOf(t, 7, 1)...)...)
	tests := []struct {
		name string
		v    Vector
		add  event.Ref
		want Vector
	}{
		{"nothing yet", nil, trunk[0].Ref(), Vector{trunk[0].Ref()}},
		{"the next one", Vector{apart, trunk[0].Ref()}, trunk[2].Ref(), Vector{apart, trunk[2].Ref()}},
		{"one before", Vector{apart, trunk[2].Ref()}, trunk[0].Ref(), Vector{apart, trunk[2].Ref()}},
		{"the same", Vector{trunk[2].Ref()}, trunk[2].Ref(), Vector{trunk[2].Ref()}},
		{"the other branch", Vector{trunk[3].Ref()}, branch[1].Ref(), Vector{trunk[3].Ref(), branch[1].Ref()}},
		{"the other branch, from the trunk", Vector{trunk[1].Ref()}, branch[0].Ref(), Vector{branch[0].Ref()}},
		{"unknown", Vector{apart}, event.Ref{Replica: trunk[0].Replica, Seq: 9, Check: [8]byte{1}}, Vector{apart}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			slices.SortFunc(tt.v, event.CompareRef)
			slices.SortFunc(tt.want, event.CompareRef)
			if got := r.With(tt.v, tt.add); !slices.Equal(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}
