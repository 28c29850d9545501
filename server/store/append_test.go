package store

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"rootledger/shared/event"
)

// refusing has the database refuse whatever is stored in one place.
func refusing(t *testing.T, dir string, n int64) {
	t.Helper()
	spoil(t, dir, `CREATE TRIGGER refuse BEFORE INSERT ON event WHEN NEW.n = `+strconv.FormatInt(n, 10)+` BEGIN SELECT RAISE(ABORT, 'no'); END`)
}

func TestAppendThatFailsHalfWayStoresNothing(t *testing.T) {
	const fresh = 2 * rowsAtOnce
	tests := []struct {
		name   string
		refuse int64 // the place, behind the 5 that are stored
		first  int64
	}{
		{"the first", 6, 6},
		{"the last", 5 + fresh, 6},
		{"the first of a later statement", 6 + rowsAtOnce, 6},
		{"one in a later statement", 6 + rowsAtOnce + 3, 6},
		{"the place is taken", 1, 5},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			s := open(t, dir)
			row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
			all := ash.taps(t, 5+fresh)
			appended(t, s, row, 1, all[:5])
			refusing(t, dir, test.refuse)
			wantCode(t, "append", s.Append(bounded(t), row, test.first, all[5:]), "store-failed")
			wantBodies(t, s, row, all[:5])
			spoil(t, dir, `DROP TRIGGER refuse`)
			appended(t, s, row, 6, all[5:])
			wantBodies(t, s, row, all)
			closed(t, s)
			wantBodies(t, open(t, dir), row, all)
		})
	}
}

// Two events in one place of a replica are two events.
func TestTwoHistoriesAreStored(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row, ash, copied := sessionIn(t, s, 1, "A"), newAuthor(1), newAuthor(1)
	all := append(ash.taps(t, 2), copied.next(t, &event.Sorted{Size: 2, N: 9}), copied.next(t, &event.Sorted{Size: 3, N: 9}))
	appended(t, s, row, 1, all)
	closed(t, s)
	wantBodies(t, open(t, dir), row, all)
}

// What a batch would have said of its session is undone with it.
func TestAppendThatFailsLeavesTheListAlone(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	row, ash := sessionIn(t, s, 1, "A"), newAuthor(1)
	opened := ash.next(t, &event.Opened{Case: "C-1", Room: "A", Stations: []event.Station{event.Placing}})
	refusing(t, dir, 2)
	wantCode(t, "append", s.Append(bounded(t), row, 1, append([]*event.Event{opened}, ash.taps(t, 1)...)), "store-failed")
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
