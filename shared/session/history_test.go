package session

import (
	"encoding/json"
	"reflect"
	"testing"

	"rootledger/shared/event"
)

// copies writes what copies of one phone went on with.
type copies struct {
	t *testing.T
	n int64
}

// after is an event behind another, or the first behind nil.
func (c *copies) after(parent *event.Event, fact event.Fact) *event.Event {
	c.t.Helper()
	c.n++
	e := &event.Event{Replica: replicaOf(sorter), Seq: 1, Session: event.SessionID{1}, Phone: event.PhoneID{sorter},
		Stamp: event.StampAt(startMs + c.n), Fact: fact}
	if parent != nil {
		e.Seq, e.Prev, e.Session, e.Phone = parent.Seq+1, parent.Hash, event.SessionID{}, event.PhoneID{}
	}
	if err := e.Seal(); err != nil {
		c.t.Fatal(err)
	}
	return e
}

// Split histories count in full, and are told as one place and its branches.
func TestSplits(t *testing.T) {
	c := &copies{t: t}
	sorts := func(parent *event.Event, n uint32) *event.Event { return c.after(parent, &event.Sorted{Size: 1, N: n}) }
	a1 := c.after(nil, &event.Joined{Person: "Sid", Station: event.Sorting})
	a2 := sorts(a1, 1)
	a3, b2 := sorts(a2, 2), sorts(a1, 4)
	b3, c3 := sorts(b2, 8), sorts(b2, 16)
	d2, r1 := c.after(a1, &event.HandedOver{Person: "Ria"}), sorts(nil, 32)
	tests := []struct {
		name   string
		events []*event.Event
		sorted int64
		want   []Split
	}{
		{"one history", []*event.Event{a1, a2, a3}, 3, nil},
		{"two", []*event.Event{a1, a2, a3, b2}, 7, []Split{{replicaOf(sorter), "Sid", 2, []Branch{{a2.Ref(), 2}, {b2.Ref(), 1}}}}},
		{"one of them splits again", []*event.Event{a1, a2, b2, b3, c3}, 29, []Split{{replicaOf(sorter), "Sid", 2, []Branch{{a2.Ref(), 1}, {b2.Ref(), 3}}}}},
		{"three", []*event.Event{a1, a2, b2, d2}, 5, []Split{{replicaOf(sorter), "Ria", 2, []Branch{{a2.Ref(), 1}, {b2.Ref(), 1}, {d2.Ref(), 1}}}}},
		{"from the start", []*event.Event{a1, a2, r1}, 33, []Split{{replicaOf(sorter), "Sid", 1, []Branch{{a1.Ref(), 2}, {r1.Ref(), 1}}}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, back := range []bool{false, true} {
				s := newState(t, tt.events, back)
				got := s.Splits()
				for i := range tt.want {
					byFirst(tt.want[i].Branches)
				}
				if !reflect.DeepEqual(got, tt.want) {
					t.Errorf("got  %+v\nwant %+v", got, tt.want)
				}
				v := s.View(event.ReplicaID{}, startMs, nil)
				if v.Ledger.Sorted[0] != tt.sorted || v.Session.Splits != int64(len(tt.want)) || s.Events() != len(tt.events) {
					t.Errorf("got %d sorted, %d splits, %d events, want %d, %d, %d", v.Ledger.Sorted[0], v.Session.Splits, s.Events(), tt.sorted, len(tt.want), len(tt.events))
				}
				first, second := jsonOf(t, s), jsonOf(t, newState(t, tt.events, !back))
				if first != second {
					t.Errorf("got  %s\nwant %s", first, second)
				}
			}
		})
	}
}

// newState applies events, at wish the last branches first.
func newState(t *testing.T, events []*event.Event, back bool) *State {
	t.Helper()
	s := new(State)
	left := append([]*event.Event(nil), events...)
	for len(left) > 0 {
		at := -1
		for i := range left {
			h := s.histories[left[i].Replica]
			if h == nil {
				h = new(history)
			}
			if _, ok := h.follows(left[i]); ok && (at < 0 || back) {
				at = i
			}
		}
		if err := s.Apply(left[at]); err != nil {
			t.Fatal(err)
		}
		left = append(left[:at], left[at+1:]...)
	}
	return s
}

func byFirst(branches []Branch) {
	for i := range branches {
		for j := i; j > 0 && event.CompareRef(branches[j].First, branches[j-1].First) < 0; j-- {
			branches[j], branches[j-1] = branches[j-1], branches[j]
		}
	}
}

func jsonOf(t *testing.T, s *State) string {
	t.Helper()
	out, err := json.Marshal(s.View(event.ReplicaID{}, startMs, nil))
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
