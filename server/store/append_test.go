package store

import (
	"errors"
	"strings"
	"testing"

	"rootledger/shared/event"
)

func TestAppendThatFailsHalfWayStoresNothing(t *testing.T) {
	tests := []struct {
		name  string
		batch func(old, fresh []*event.Event) []*event.Event
		first int64 // place, behind the 5 that are stored
	}{
		{"the last repeats the first of the batch", func(_, f []*event.Event) []*event.Event { return append(f, f[0]) }, 6},
		{"one in a later statement repeats one of the first", func(_, f []*event.Event) []*event.Event {
			return append(f[:rowsAtOnce+3:rowsAtOnce+3], f[2])
		}, 6},
		{"the last is stored already", func(o, f []*event.Event) []*event.Event { return append(f, o[4]) }, 6},
		{"the place is taken", func(_, f []*event.Event) []*event.Event { return f }, 5},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			s := open(t, dir)
			row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
			old := ash.taps(t, 5)
			appended(t, s, row, 1, old)
			fresh := ash.taps(t, 2*rowsAtOnce)
			wantCode(t, "append", s.Append(bounded(t), row, test.first, test.batch(old, fresh)), "store-failed")
			wantBodies(t, s, row, old)
			appended(t, s, row, 6, fresh)
			all := append(old, fresh...)
			wantBodies(t, s, row, all)
			closed(t, s)
			wantBodies(t, open(t, dir), row, all)
		})
	}
}

// What a batch would have said of its session is undone with it.
func TestAppendThatFailsLeavesTheListAlone(t *testing.T) {
	s := open(t, t.TempDir())
	row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
	opened := ash.next(t, &event.Opened{Case: "C-1", Room: "A", Stations: []event.Station{event.Placing}})
	wantCode(t, "append", s.Append(bounded(t), row, 1, []*event.Event{opened, opened}), "store-failed")
	got, err := s.Session(bounded(t), event.SessionID{1})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "case", got.Case, "")
	same(t, "opened", got.OpenedMs, 0)
}

func TestAppendNeedsItsSession(t *testing.T) {
	s := open(t, t.TempDir())
	wantCode(t, "append", s.Append(bounded(t), 7, 1, newAuthor(1).taps(t, 1)), "store-failed")
	wantBodies(t, s, 7, nil)
}

func TestSpoiledEventsAreNoticed(t *testing.T) {
	tests := []struct{ name, statement, says string }{
		{"a row is gone", `DELETE FROM event WHERE n = 2`, "gap before event 3"},
		{"the first row is gone", `DELETE FROM event WHERE n = 1`, "gap before event 2"},
		{"a body is cut", `UPDATE event SET body = substr(body, 1, 20) WHERE n = 3`, "event 3"},
		{"a body is empty", `UPDATE event SET body = x'' WHERE n = 1`, "event 1"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			s := open(t, dir)
			row := sessionIn(t, s, 1, "A")
			appended(t, s, row, 1, newAuthor(1).taps(t, 4))
			spoil(t, dir, test.statement)
			err := s.EventsOf(bounded(t), row, func(*event.Event) error { return nil })
			if err == nil || !strings.Contains(err.Error(), test.says) {
				t.Errorf("events: got %v, want %q", err, test.says)
			}
		})
	}
}

func TestEventsOfStopsWhenItsReaderFails(t *testing.T) {
	s := open(t, t.TempDir())
	row := sessionIn(t, s, 1, "A")
	appended(t, s, row, 1, newAuthor(1).taps(t, 4))
	enough, calls := errors.New("enough"), 0
	err := s.EventsOf(bounded(t), row, func(*event.Event) error {
		if calls++; calls == 2 {
			return enough
		}
		return nil
	})
	if !errors.Is(err, enough) {
		t.Errorf("events: got %v, want %v", err, enough)
	}
	same(t, "calls", calls, 2)
}
