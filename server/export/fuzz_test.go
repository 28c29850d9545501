package export

import (
	"bytes"
	"strings"
	"testing"

	"rootledger/shared/event"
)

// FuzzReadJSONLines: a record that can be read is written again with the same
// events; anything else is refused with its line.
func FuzzReadJSONLines(f *testing.F) {
	e := &event.Event{Replica: event.ReplicaID{1}, Seq: 1, Session: event.SessionID{1}, Phone: event.PhoneID{1}, Fact: &event.Ended{}}
	if err := e.Seal(); err != nil {
		f.Fatal(err)
	}
	var whole bytes.Buffer
	lines := NewJSONLines(&whole)
	if err := lines.Write(e); err != nil {
		f.Fatal(err)
	}
	f.Add(whole.String())
	f.Add(whole.String() + "\n" + whole.String())
	f.Add("{\"body\":\"\"}")
	f.Add("{}\nno JSON")
	f.Fuzz(func(t *testing.T, text string) {
		events, err := ReadJSONLines(strings.NewReader(text))
		if err != nil {
			return
		}
		var again bytes.Buffer
		out := NewJSONLines(&again)
		for _, e := range events {
			if err := out.Write(e); err != nil {
				t.Fatal(err)
			}
		}
		back, err := ReadJSONLines(&again)
		if err != nil || len(back) != len(events) {
			t.Fatalf("got %d events, %v, want %d", len(back), err, len(events))
		}
		for i := range back {
			if back[i].Hash != events[i].Hash {
				t.Fatalf("event %d has changed", i)
			}
		}
	})
}
