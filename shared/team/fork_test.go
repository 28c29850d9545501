package team

import (
	"crypto/sha256"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// forked is the events of one replica that was copied: a beginning, and what two
// copies wrote from there on. Their stamps lie between each other's.
func forked(rt *rapid.T) (trunk, one, other []*event.Event) {
	stamp := event.Stamp(0)
	fact := func() event.Fact {
		return rapid.SampledFrom([]event.Fact{
			sorted(1), sorted(2), &event.Fired{N: 3}, joined("Sid", event.Sorting), joined("Ria", event.Placing), handed("Ola"), handed("Pia"),
			&event.Left{}, &event.Paused{Reason: "tea"}, &event.Resumed{Room: true}, &event.Note{Text: "x"},
		}).Draw(rt, "fact")
	}
	write := func(p *phone, n int) (out []*event.Event) {
		for range n {
			stamp += event.Stamp(rapid.IntRange(1, 3).Draw(rt, "later"))
			out = append(out, p.says(stamp, fact()))
		}
		return out
	}
	p := &phone{replica: 1, phone: 9}
	trunk = write(p, rapid.IntRange(0, 4).Draw(rt, "trunk"))
	began, copied := stamp, *p
	one = write(p, rapid.IntRange(1, 6).Draw(rt, "one"))
	stamp = began
	other = write(&copied, rapid.IntRange(1, 6).Draw(rt, "other"))
	for _, e := range other { // no two events are the same
		e.WallMs = 1
		e.Hash = sha256.Sum256(event.Encode(e))
	}
	return trunk, one, other
}

// all is every answer of a team about one replica.
func all(t *Team) []any {
	id := event.ReplicaID{1}
	out := []any{t.Members(), t.HandOvers(), t.Pauses(), t.Stints(), t.Station(id), t.Own(id)}
	for at := range event.Stamp(40) {
		out = append(out, t.Person(id, at))
	}
	return out
}

// Two copies of a phone, whoever comes first and however they mix: a team that
// does not say that it is stale is the one that was told everything in order,
// and one that does is that after it was built again.
func TestTwoCopiesInAnyOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		trunk, one, other := forked(rt)
		got := teamOf(trunk...)
		events := append(append(slices.Clone(trunk), one...), other...)
		slices.SortFunc(events, event.Compare)
		for len(one)+len(other) > 0 {
			next := &one
			if len(one) == 0 || len(other) > 0 && rapid.Bool().Draw(rt, "the other") {
				next = &other
			}
			e := (*next)[0]
			got.Meet(e)
			got.Add(e, 1)
			if rapid.IntRange(0, 3).Draw(rt, "undone and brought back") == 0 && e.Fact.Kind().Voidable() {
				got.Add(e, -1)
				got.Add(e, 1)
			}
			*next = (*next)[1:]
		}
		want := teamOf(events...)
		if want.Stale() {
			rt.Fatal("in order: stale")
		}
		if got.Stale() {
			return // its owner builds it again, in the order of want
		}
		if !reflect.DeepEqual(all(got), all(want)) {
			rt.Fatalf("got  %+v\nwant %+v", all(got), all(want))
		}
	})
}

// Stale only when who held the phone changes before what is there.
func TestStale(t *testing.T) {
	p := &phone{replica: 1, phone: 9}
	join := p.says(10, joined("Sid", event.Sorting))
	copied := *p
	late := p.says(30, sorted(4))
	for name, test := range map[string]struct {
		e    *event.Event
		want bool
	}{
		"a count before":     {copied.says(20, sorted(1)), false},
		"a pause before":     {copied.says(21, &event.Paused{}), false},
		"a hand-over before": {copied.says(22, handed("Ria")), true},
		"a joining before":   {copied.says(23, joined("Ria", event.Placing)), true},
		"a leaving before":   {copied.says(24, &event.Left{}), true},
		"a hand-over after":  {copied.says(31, handed("Ria")), false},
	} {
		t.Run(name, func(t *testing.T) {
			team := teamOf(join, late, test.e)
			if got := team.Stale(); got != test.want {
				t.Errorf("got %v, want %v", got, test.want)
			}
		})
	}
	another := &phone{replica: 2, phone: 8}
	if teamOf(join, late, another.says(5, joined("Ola", event.Extraction))).Stale() {
		t.Error("another phone that came earlier makes it stale")
	}
}

// The phone of an id that two phones began is the one of the first, whoever came first.
func TestPhoneOfAnIDThatTwoBegan(t *testing.T) {
	one, other := (&phone{replica: 1, phone: 9}).says(2, sorted(1)), (&phone{replica: 1, phone: 8}).says(1, sorted(1))
	for _, order := range [][]*event.Event{{one, other}, {other, one}} {
		if got := teamOf(order...).Members()[0].Phone; got != (event.PhoneID{8}) {
			t.Errorf("got %v, want 8", got)
		}
	}
}
