package event_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// edit is one edit of a register and the edits that it replaces.
type edit struct {
	event    *event.Event
	value    string
	replaces []event.Ref
}

func editOf(n byte, replaces ...event.Ref) edit {
	r := refTo(n)
	e := &event.Event{Replica: r.Replica, Seq: r.Seq, Stamp: event.Stamp(n) * 7, Hash: event.Hash(slices.Concat(r.Check[:], make([]byte, 24)))}
	return edit{e, fmt.Sprint("value ", n), replaces}
}

func registerOf(edits []edit) *event.Register[string] {
	r := new(event.Register[string])
	for _, e := range edits {
		r.Add(e.event, e.value, e.replaces)
	}
	return r
}

// standing is what a register holds, in the order of the references.
func standing(r *event.Register[string]) []string {
	var out []string
	r.Standing(func(ref event.Ref, stamp event.Stamp, value string) {
		out = append(out, fmt.Sprintf("%s %d %s", ref, stamp, value))
	})
	slices.Sort(out)
	return out
}

// unnamed is the same from the definition: the edits that no edit names.
func unnamed(edits []edit) (values []string, heads []event.Ref) {
	for _, e := range edits {
		named := slices.ContainsFunc(edits, func(o edit) bool { return slices.Contains(o.replaces, e.event.Ref()) })
		if !named {
			values = append(values, fmt.Sprintf("%s %d %s", e.event.Ref(), e.event.Stamp, e.value))
			heads = append(heads, e.event.Ref())
		}
	}
	slices.Sort(values)
	slices.SortFunc(heads, event.CompareRef)
	return values, heads
}

// history draws edits of which each may replace any made before it.
func history() *rapid.Generator[[]edit] {
	return rapid.Custom(func(t *rapid.T) []edit {
		edits := make([]edit, rapid.IntRange(1, 9).Draw(t, "edits"))
		for i := range edits {
			var replaces []event.Ref
			for _, earlier := range edits[:i] {
				if rapid.Bool().Draw(t, "replaces") {
					replaces = append(replaces, earlier.event.Ref())
				}
			}
			edits[i] = editOf(byte(len(edits)-i), replaces...)
		}
		return edits
	})
}

func TestRegisterIsAFunctionOfTheSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edits := history().Draw(t, "history")
		values, heads := unnamed(edits)
		r := new(event.Register[string])
		for i, e := range rapid.Permutation(slices.Clone(edits)).Draw(t, "order") {
			r.Add(e.event, e.value, e.replaces)
			if i%2 == 0 {
				r.Heads() // reading on the way changes nothing
			}
		}
		if got := standing(r); !slices.Equal(got, values) {
			t.Fatalf("standing: got %v, want %v", got, values)
		}
		if got := r.Heads(); !slices.Equal(got, heads) {
			t.Fatalf("heads: got %v, want %v", got, heads)
		}
	})
}

func TestRegister(t *testing.T) {
	one, two := editOf(1), editOf(2)
	after := editOf(3, refTo(1))
	both := editOf(4, refTo(1), refTo(2))
	again := editOf(5, refTo(3))
	absent := editOf(6, refTo(99))
	for _, c := range []struct {
		name  string
		edits []edit
		want  []event.Ref
	}{
		{"nothing", nil, nil},
		{"one", []edit{one}, []event.Ref{refTo(1)}},
		{"two that do not know of each other", []edit{one, two}, []event.Ref{refTo(1), refTo(2)}},
		{"one replaced", []edit{one, after}, []event.Ref{refTo(3)}},
		{"one of two replaced", []edit{one, two, after}, []event.Ref{refTo(2), refTo(3)}},
		{"both replaced", []edit{one, two, both}, []event.Ref{refTo(4)}},
		{"both replaced, the newest came first", []edit{both, one, two}, []event.Ref{refTo(4)}},
		{"a chain", []edit{one, after, again}, []event.Ref{refTo(5)}},
		{"a chain from its end", []edit{again, after, one}, []event.Ref{refTo(5)}},
		{"a chain with a hole", []edit{again, one}, []event.Ref{refTo(1), refTo(5)}},
		{"two replace the same one", []edit{one, after, both}, []event.Ref{refTo(3), refTo(4)}},
		{"names one that never comes", []edit{absent, one}, []event.Ref{refTo(1), refTo(6)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := registerOf(c.edits).Heads(); !slices.Equal(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

// The safe side is found by the value, the label by the stamp, ties by the reference.
func TestRegisterSortedAndNewest(t *testing.T) {
	at := func(n byte, stamp event.Stamp, value string) edit {
		e := editOf(n)
		e.event.Stamp, e.value = stamp, value
		return e
	}
	edits := []edit{at(3, 20, "b"), at(1, 50, "c"), at(4, 50, "a"), at(2, 10, "b")}
	for _, order := range [][]int{{0, 1, 2, 3}, {3, 2, 1, 0}, {2, 0, 3, 1}} {
		var turned []edit
		for _, i := range order {
			turned = append(turned, edits[i])
		}
		r := registerOf(turned)
		var got []event.Ref
		for _, e := range r.Sorted(strings.Compare) {
			got = append(got, e.Ref)
		}
		if want := []event.Ref{refTo(4), refTo(2), refTo(3), refTo(1)}; !slices.Equal(got, want) {
			t.Errorf("order %v: got %v, want %v", order, got, want)
		}
		if got := r.Newest(); got.Ref != refTo(4) || got.Stamp != 50 || got.Value != "a" {
			t.Errorf("order %v: newest: got %+v, want %v", order, got, refTo(4))
		}
	}
}

// A reference is to one event, so the same place with another hash is not named.
func TestRegisterComparesTheWholeRef(t *testing.T) {
	other := refTo(1)
	other.Check[7]++
	r := registerOf([]edit{editOf(1), editOf(2, other)})
	if got, want := r.Heads(), []event.Ref{refTo(1), refTo(2)}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestCompareRef(t *testing.T) {
	few := rapid.ByteMax(2)
	gen := rapid.Custom(func(t *rapid.T) event.Ref {
		return event.Ref{
			Replica: event.ReplicaID{7: few.Draw(t, "replica") * 127},
			Seq:     uint64(few.Draw(t, "seq")) << 39,
			Check:   [8]byte{7: few.Draw(t, "check") * 127},
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := gen.Draw(t, "a"), gen.Draw(t, "b"), gen.Draw(t, "c")
		ab := event.CompareRef(a, b)
		if (ab == 0) != (a == b) || (ab < 0) != (event.CompareRef(b, a) > 0) {
			t.Fatalf("%v, %v: got %d and back %d", a, b, ab, event.CompareRef(b, a))
		}
		if ab < 0 && event.CompareRef(b, c) < 0 && event.CompareRef(a, c) >= 0 {
			t.Fatalf("%v, %v, %v: not transitive", a, b, c)
		}
	})
	for i, pair := range [][2]event.Ref{
		{{Replica: event.ReplicaID{1}, Seq: 9}, {Replica: event.ReplicaID{2}, Seq: 1}},
		{{Seq: 2, Check: [8]byte{9}}, {Seq: 10, Check: [8]byte{1}}},
		{{Seq: 2, Check: [8]byte{0x7f}}, {Seq: 2, Check: [8]byte{0x80}}},
	} {
		if got := event.CompareRef(pair[0], pair[1]); got >= 0 {
			t.Errorf("pair %d: got %d, want a negative number", i, got)
		}
	}
}
