package syncengine

import (
	"reflect"
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
			if head := r.Head(c[0].Replica); head != (Head{c[6].Replica, 7, c[6].Hash}) {
				t.Errorf("head: got %+v", head)
			}
		})
	}
}

func TestTwoHistoriesUnderOneID(t *testing.T) {
	c := chainOf(t, 9, 6)
	other := &author{id: c[0].Replica}
	forked := []*event.Event{}
	for range 5 {
		forked = append(forked, other.next(t, &event.Sorted{Size: 2, N: 50}))
	}
	r := New(wallIdentity())
	take(t, r, dayStart, c[0], c[1], c[2], c[4]) // 4 is missing, 5 is aside
	before := viewJSON(t, r, dayStart)
	refusedWith(t, r, forked[0], "history-split") // another hash in the chain
	refusedWith(t, r, forked[2], "history-split")
	refusedWith(t, r, forked[3], "history-split") // links to another third event
	refusedWith(t, r, forked[4], "history-split") // another hash aside
	sameBytes(t, "view", viewJSON(t, r, dayStart), before)
	if got, want := r.Vector(), (Vector{map[event.ReplicaID]uint64{other.id: 5}, []Span{{other.id, 4, 4}}}); !reflect.DeepEqual(got, want) {
		t.Errorf("vector: got %v, want %v", got, want)
	}
	if fresh := take(t, r, dayStart, c[3], c[5]); len(fresh) != 3 || sortedOf(r) != 6 {
		t.Errorf("the history that came first goes on: got %d fresh, %d sorted, want 3 and 6", len(fresh), sortedOf(r))
	}
}

func TestWhatWasAsideAndDoesNotLink(t *testing.T) {
	c := chainOf(t, 9, 4)
	stray := remade(t, &event.Event{Replica: c[0].Replica, Seq: 3, Prev: event.Hash{1}, Fact: &event.Sorted{Size: 2, N: 50}})
	r := New(wallIdentity())
	take(t, r, dayStart, c[0], stray, c[3])
	refusedWith(t, r, c[2], "history-split") // the stray one came first
	if fresh := take(t, r, dayStart, c[1]); len(fresh) != 1 {
		t.Errorf("got %d fresh, want 1: the stray one does not link", len(fresh))
	}
	if want := []Span{{c[0].Replica, 3, 3}}; !reflect.DeepEqual(r.Vector().Holes, want) {
		t.Errorf("holes: got %v, want %v, so that the true one is offered again", r.Vector().Holes, want)
	}
	if fresh := take(t, r, dayStart, c[2]); len(fresh) != 2 || sortedOf(r) != 4 {
		t.Errorf("got %d fresh, %d sorted, want 2 and 4", len(fresh), sortedOf(r))
	}
}

func TestOtherSessionIsRefused(t *testing.T) {
	e := &event.Event{Replica: event.ReplicaID{9}, Seq: 1, Session: event.SessionID{0xB2}, Phone: event.PhoneID{9}, Fact: &event.Ended{}}
	r := New(wallIdentity())
	refusedWith(t, r, remade(t, e), "other-session")
	if got := r.Vector(); len(got.Highest) != 0 {
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

func TestVectorAnswers(t *testing.T) {
	a, b := event.ReplicaID{1}, event.ReplicaID{2}
	v := Vector{map[event.ReplicaID]uint64{a: 10, b: 4}, []Span{{a, 3, 4}, {a, 7, 7}}}
	for seq, want := range map[uint64]bool{1: true, 2: true, 3: false, 4: false, 5: true, 7: false, 8: true, 10: true, 11: false} {
		if got := v.Has(a, seq); got != want {
			t.Errorf("has %d: got %v, want %v", seq, got, want)
		}
	}
	for id, want := range map[event.ReplicaID]uint64{a: 2, b: 4, {3}: 0} {
		if got := v.UpTo(id); got != want {
			t.Errorf("up to, of %v: got %d, want %d", id, got, want)
		}
	}
	if v.Has(event.ReplicaID{3}, 1) || !v.Has(b, 4) || v.Has(b, 5) {
		t.Errorf("has, of others: got %v %v %v", v.Has(event.ReplicaID{3}, 1), v.Has(b, 4), v.Has(b, 5))
	}
}

func TestVectorRaise(t *testing.T) {
	a, b := event.ReplicaID{1}, event.ReplicaID{2}
	tests := []struct {
		name    string
		replica event.ReplicaID
		upTo    uint64
		highest uint64
		holes   []Span
	}{
		{"below every hole", a, 2, 10, []Span{{a, 3, 5}, {a, 8, 8}, {b, 1, 2}}},
		{"into a hole", a, 4, 10, []Span{{a, 5, 5}, {a, 8, 8}, {b, 1, 2}}},
		{"to the start of a hole", a, 3, 10, []Span{{a, 4, 5}, {a, 8, 8}, {b, 1, 2}}},
		{"over a hole", a, 5, 10, []Span{{a, 8, 8}, {b, 1, 2}}},
		{"over all", a, 12, 12, []Span{{b, 1, 2}}},
		{"never down", a, 1, 10, []Span{{a, 3, 5}, {a, 8, 8}, {b, 1, 2}}},
		{"a new one", event.ReplicaID{3}, 6, 6, []Span{{a, 3, 5}, {a, 8, 8}, {b, 1, 2}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v := Vector{map[event.ReplicaID]uint64{a: 10, b: 4}, []Span{{a, 3, 5}, {a, 8, 8}, {b, 1, 2}}}
			v.Raise(tt.replica, tt.upTo)
			if v.Highest[tt.replica] != tt.highest || !reflect.DeepEqual(v.Holes, tt.holes) {
				t.Errorf("got %d, %v, want %d, %v", v.Highest[tt.replica], v.Holes, tt.highest, tt.holes)
			}
		})
	}
	var empty Vector
	if empty.Raise(a, 3); empty.UpTo(a) != 3 {
		t.Errorf("an empty vector: got %v", empty)
	}
}

func TestMeet(t *testing.T) {
	r := New(numbered(1))
	first := record(t, r, &event.Joined{Person: "Ola", Station: event.Extraction}, dayStart)
	second := record(t, r, &event.Sorted{Size: 1, N: 1}, dayStart)
	id := r.Me().Replica
	tests := []struct {
		name   string
		theirs Head
		code   fault.Code
	}{
		{"knows nothing", Head{Replica: id}, ""},
		{"knows less", Head{id, 1, first.Hash}, ""},
		{"knows the same", Head{id, 2, second.Hash}, ""},
		{"knows more", Head{id, 3, event.Hash{1}}, "history-split"},
		{"knows another past", Head{id, 1, event.Hash{1}}, "history-split"},
		{"knows another present", Head{id, 2, first.Hash}, "history-split"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			switch err := r.Meet(tt.theirs); {
			case tt.code == "" && err != nil:
				t.Errorf("got %v, want no fault", err)
			case tt.code != "":
				wantCode(t, tt.name, err, tt.code)
			}
		})
	}
}
