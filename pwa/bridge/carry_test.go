package bridge

import (
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// started is an engine of a phone that has joined as somebody, driven by Do.
func started(t *testing.T, replica byte, person string) *Engine {
	t.Helper()
	g := new(Engine)
	g.Do(Call{Type: CallBoot, RealMs: 1, Session: testSession, Replica: event.ReplicaID{replica}, Phone: event.PhoneID{replica}, Start: event.StartID{1}})
	tapped(t, g, &event.Joined{Person: person, Station: event.Sorting})
	return g
}

// tapped records a fact and has it kept.
func tapped(t *testing.T, g *Engine, fact event.Fact) event.Ref {
	t.Helper()
	d := g.Do(Call{Type: CallTap, RealMs: 1, Kind: fact.Kind(), Fact: event.EncodeFact(fact)})
	if len(d.Keep) != 1 {
		t.Fatalf("a tap keeps %d events, want 1", len(d.Keep))
	}
	kept := g.Do(Call{Type: CallKept, RealMs: 1, Seq: d.Keep[0].Seq})
	return kept.Answers[0].Ref
}

// A file of one phone's counts is taken in once, by whose they are, and
// changes nothing the second time.
func TestCarryIn(t *testing.T) {
	away, near := started(t, 1, "Cedar"), started(t, 2, "Linden")
	tapped(t, away, &event.Sorted{Size: 1, N: 3})
	file := away.Do(Call{Type: CallHandOut}).File
	for i, want := range []struct {
		carried int64
		from    []string
	}{{2, []string{"Cedar"}}, {0, nil}} {
		d := near.Do(Call{Type: CallCarryIn, Tap: 7, File: file})
		if d.Carried != want.carried || !slices.Equal(d.From, want.from) || int64(len(d.Others)) != want.carried {
			t.Errorf("time %d: got %d carried from %q, %d to keep, want %d from %q", i+1, d.Carried, d.From, len(d.Others), want.carried, want.from)
		}
		if len(d.Answers) != 1 || d.Answers[0].Tap != 7 || d.Answers[0].Fault != nil {
			t.Errorf("time %d: answers: got %+v", i+1, d.Answers)
		}
	}
	if d := near.Do(Call{Type: CallCarryIn, File: file[:20]}); len(d.Answers) != 1 || d.Answers[0].Fault == nil || d.Answers[0].Fault.Code != "parcel-damaged" {
		t.Errorf("a file that is not whole: got %+v, want parcel-damaged", d.Answers)
	}
}

// What a server does not take of others is no fault of this phone's counts.
func TestRefusedIsOfThisPhone(t *testing.T) {
	away, near := started(t, 1, "Cedar"), started(t, 2, "Linden")
	near.Do(Call{Type: CallCarryIn, File: away.Do(Call{Type: CallHandOut}).File})
	refused := func(replica byte) int64 {
		ack := syncengine.Ack{Refused: []syncengine.Refusal{{Replica: event.ReplicaID{replica}, Seq: 1, Fault: fault.New(fault.Denied, "needs-office")}}}
		return near.Do(Call{Type: CallFrame, Frame: syncengine.EncodeMessage(ack)}).Truth.Refused
	}
	for _, test := range []struct {
		replica byte
		want    int64
	}{{1, 0}, {9, 0}, {2, 1}} {
		if got := refused(test.replica); got != test.want {
			t.Errorf("refused of replica %d: got %d, want %d", test.replica, got, test.want)
		}
	}
}
