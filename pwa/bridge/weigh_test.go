package bridge

import (
	"testing"

	"github.com/fxamacker/cbor/v2"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// A draft is weighed and not kept: its doubts, what it is and what it would make
// cross behind all other duties; what can not be is refused in words.
func TestADoseIsWeighed(t *testing.T) {
	g := started(t, 1, "Cedar")
	tapped(t, g, &event.Joined{Person: "Cedar", Station: event.Desk})
	weigh := func(fact event.Fact) Duties {
		return g.Do(Call{Type: CallWeigh, Tap: 7, Kind: fact.Kind(), Fact: event.EncodeFact(fact)})
	}
	d := weigh(&event.Dosed{Label: event.Lidocaine, VolumeUL: 1_000, Strength: 20_000})
	if d.Weighed == nil || d.Answers[0].Tap != 7 || len(d.Keep) != 0 {
		t.Fatalf("got %+v", d)
	}
	var out []any
	if err := cbor.Unmarshal(d.encode(), &out); err != nil {
		t.Fatal(err)
	}
	row := out[len(out)-2].([]any)
	doubt := row[0].([]any)[0].([]any)
	if doubt[0] != "strength" || doubt[1] != uint64(20_000) || row[1] != uint64(200_000) {
		t.Errorf("got %v", row)
	}
	if n := g.Replica().View(0, nil).Doses.Count; n != 0 {
		t.Errorf("weighing kept %d doses", n)
	}
	for code, fact := range map[fault.Code]event.Fact{"weight-range": &event.Weight{Grams: 700_000}, "weigh-what": &event.Ended{}} {
		if d := weigh(fact); d.Weighed != nil || d.Answers[0].Fault == nil || d.Answers[0].Fault.Code != code {
			t.Errorf("%v: got %+v, want %s", fact.Kind(), d.Answers, code)
		}
	}
}

// What another day starts from crosses as the last of all duties.
func TestContinuedCrosses(t *testing.T) {
	g := started(t, 1, "Yew")
	tapped(t, g, &event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}})
	d := g.Do(Call{Type: CallContinued, Tap: 7})
	if d.Rest == nil || d.Answers[0].Tap != 7 || len(d.Keep) != 0 {
		t.Fatalf("got %+v", d)
	}
	var out []any
	if err := cbor.Unmarshal(d.encode(), &out); err != nil {
		t.Fatal(err)
	}
	zones := out[len(out)-1].([]any)[1].([]any)
	if len(zones) != 1 || zones[0].([]any)[0] != "Front" || zones[0].([]any)[5] != uint64(300) {
		t.Errorf("got %v", zones)
	}
}
