package bridge

import (
	"reflect"
	"testing"

	"github.com/fxamacker/cbor/v2"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// full is a view with something in every section.
func full() session.View {
	return session.View{
		Session:     session.Session{Case: "A-1", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting}, Events: 7},
		Headline:    session.Headline{BudgetKnown: true, Budget: 2000, ToTake: 1548},
		Ledger:      session.Ledger{Bench: -3},
		Zones:       []session.Zone{{Ref: event.Ref{Replica: event.ReplicaID{1}, Seq: 4, Check: [8]byte{9}}, Name: "Front"}},
		Regions:     []session.Region{{Code: "L", Capacity: 1300}},
		Passes:      []session.Pass{{Mode: event.Pulled, Operator: "Ola"}},
		Phones:      []session.Phone{{Replica: event.ReplicaID{2}, Station: event.Placing, Away: true}},
		Differences: []session.Difference{{What: event.OnBench, Amount: -3, Open: true}},
		Own:         session.Own{Person: "Ola", Last: []session.Entry{{Kind: event.KindSorted, N: 2, Size: 1}}},
	}
}

func TestOnlyChangedSectionsCross(t *testing.T) {
	var s Sections
	v := full()
	if got := len(s.Changed(&v)); got != sectionCount {
		t.Errorf("first: got %d sections, want all %d", got, sectionCount)
	}
	if got := s.Changed(&v); len(got) != 0 {
		t.Errorf("nothing changed: got %d sections", len(got))
	}
	v.Headline.ToTake--
	v.Own.Last = nil
	got := s.Changed(&v)
	if len(got) != 2 || got[0].Section != 1 || got[1].Section != 9 {
		t.Fatalf("got %+v, want sections 1 and 9", got)
	}
	if got[0].Revision != 2 || got[1].Revision != 2 {
		t.Errorf("revisions: got %d and %d, want 2 and 2", got[0].Revision, got[1].Revision)
	}
	v.Headline.ToTake++
	if got := s.Changed(&v); len(got) != 1 || got[0].Revision != 3 {
		t.Errorf("changed back: got %+v, want section 1 at revision 3", got)
	}
}

// Doses that were not worked out anew are not encoded again; those that were
// cross when they say something else.
func TestDosesCrossWhenTheyChange(t *testing.T) {
	var s Sections
	v := full()
	v.Doses.Agents = []session.DoseAgent{{Substance: "lidocaine"}}
	s.Changed(&v)
	v.Doses.Count = 1 // as the session never does without new lists
	if got := s.Changed(&v); len(got) != 0 {
		t.Errorf("the same lists: got %+v", got)
	}
	v.Doses.Agents = []session.DoseAgent{{Substance: "lidocaine"}}
	if got := s.Changed(&v); len(got) != 1 {
		t.Errorf("new lists: got %+v, want the doses", got)
	}
	v.Doses.Agents = []session.DoseAgent{{Substance: "lidocaine"}}
	if got := s.Changed(&v); len(got) != 0 {
		t.Errorf("new lists that say the same: got %+v", got)
	}
}

// Each section is canonical CBOR, and says what the View says, in field order.
func TestSectionsSayWhatTheViewSays(t *testing.T) {
	var s Sections
	v := full()
	decoded := map[int]any{}
	for _, c := range s.Changed(&v) {
		r := event.NewReader(c.Body)
		if r.Raw(); r.Close() != nil {
			t.Errorf("section %d: %v", c.Section, r.Err())
		}
		var out any
		if err := cbor.Unmarshal(c.Body, &out); err != nil {
			t.Fatalf("section %d: %v", c.Section, err)
		}
		decoded[c.Section] = out
	}
	headline := decoded[1].([]any)
	if !reflect.DeepEqual(headline[:3], []any{true, uint64(2000), uint64(1548)}) {
		t.Errorf("headline: got %v", headline[:3])
	}
	zone := decoded[3].([]any)[0].([]any)
	if zone[0] != "0100000000000000:4:0900000000000000" || zone[1] != "Front" {
		t.Errorf("zone: got %v", zone[:2])
	}
	phone := decoded[6].([]any)[0].([]any)
	if phone[0] != "0200000000000000" || phone[2] != "placing" || phone[4] != true {
		t.Errorf("phone: got %v", phone[:5])
	}
	difference := decoded[7].([]any)[0].([]any)
	if difference[0] != "bench" || difference[3] != int64(-3) || difference[5] != true {
		t.Errorf("difference: got %v", difference)
	}
	entry := decoded[9].([]any)[5].([]any)[0].([]any)
	if entry[1] != "sorted" || entry[3] != false || entry[4] != uint64(2) {
		t.Errorf("entry: got %v", entry)
	}
}
