package store

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"rootledger/shared/event"
)

// rooms is a store with n sessions, and what each of them is about to store.
func rooms(t *testing.T, n int) (dir string, s *Store, rows []int64, events [][]*event.Event) {
	t.Helper()
	dir = t.TempDir()
	s = open(t, dir)
	for i := range n {
		rows = append(rows, sessionIn(t, s, byte(i+1), string(rune('A'+i))))
		events = append(events, newAuthor(byte(i+1)).taps(t, 3+i))
	}
	return dir, s, rows, events
}

// together has every room append while nobody may commit yet, lets them, and
// returns what each was told.
func together(t *testing.T, s *Store, rows []int64, events [][]*event.Event) []error {
	t.Helper()
	ctx, told, done := bounded(t), make([]error, len(rows)), make(chan int)
	s.writer.turn <- struct{}{}
	for i, row := range rows {
		go func() {
			told[i] = s.Append(ctx, row, 1, events[i])
			done <- i
		}()
	}
	for queued := 0; queued < len(rows); runtime.Gosched() {
		if ctx.Err() != nil {
			t.Fatalf("queued: got %d, want %d", queued, len(rows))
		}
		s.writer.mu.Lock()
		queued = len(s.writer.queue)
		s.writer.mu.Unlock()
	}
	<-s.writer.turn
	for range rows {
		<-done
	}
	return told
}

// commits is how many transactions the write-ahead log holds.
func commits(t *testing.T, dir string) (n int) {
	t.Helper()
	log, err := os.ReadFile(filepath.Join(dir, "rootledger.db-wal"))
	if err != nil {
		t.Fatal(err)
	}
	const head, frameHead = 32, 24
	frame := frameHead + int(binary.BigEndian.Uint32(log[8:]))
	for at := head; at+frame <= len(log); at += frame {
		if binary.BigEndian.Uint32(log[at+4:]) > 0 { // pages of the database after this commit
			n++
		}
	}
	return n
}

func TestRoomsShareACommit(t *testing.T) {
	dir, s, rows, events := rooms(t, 8)
	before := commits(t, dir)
	for i, err := range together(t, s, rows, events) {
		if err != nil {
			t.Errorf("room %d: %v", i, err)
		}
		wantBodies(t, s, rows[i], events[i])
	}
	same(t, "commits", commits(t, dir)-before, 1)
}

// What one room can not store fails that room alone.
func TestBadRowsFailTheirRoomAlone(t *testing.T) {
	_, s, rows, events := rooms(t, 5)
	appended(t, s, rows[2], 1, events[2][:2]) // the places are taken
	for i, err := range together(t, s, rows, events) {
		if i == 2 {
			wantCode(t, "the room whose places are taken", err, "store-failed")
			wantBodies(t, s, rows[i], events[i][:2])
			continue
		}
		if err != nil {
			t.Errorf("room %d: %v", i, err)
		}
		wantBodies(t, s, rows[i], events[i])
	}
}

// A commit that fails is nobody's success, and is not tried again: what it left
// on the disk is not known.
func TestACommitThatFailsFailsAll(t *testing.T) {
	dir, s, rows, events := rooms(t, 4)
	spoil(t, dir, `CREATE TABLE later (session INTEGER REFERENCES session (id) DEFERRABLE INITIALLY DEFERRED)`)
	spoil(t, dir, `CREATE TRIGGER owe AFTER INSERT ON event WHEN NEW.session = 2 BEGIN INSERT INTO later VALUES (999); END`)
	before := commits(t, dir)
	for i, err := range together(t, s, rows, events) {
		wantCode(t, "append", err, "store-failed")
		wantBodies(t, s, rows[i], nil)
	}
	same(t, "commits", commits(t, dir)-before, 0)
	spoil(t, dir, `DROP TRIGGER owe`)
	appended(t, s, rows[0], 1, events[0])
	wantBodies(t, s, rows[0], events[0])
}

// Rooms that never wait for each other all get everything in, in its order.
func TestManyRoomsAtOnce(t *testing.T) {
	const batches = 40
	_, s, rows, _ := rooms(t, 6)
	all := make([][]*event.Event, len(rows))
	failed := make(chan error)
	ctx := bounded(t)
	for i := range rows {
		all[i] = newAuthor(byte(i+1)).taps(t, 2*batches)
		go func() {
			for n := 0; n < 2*batches; n += 2 {
				if err := s.Append(ctx, rows[i], int64(n+1), all[i][n:n+2]); err != nil {
					failed <- err
					return
				}
			}
			failed <- nil
		}()
	}
	for range rows {
		if err := <-failed; err != nil {
			t.Error(err)
		}
	}
	for i, row := range rows {
		wantBodies(t, s, row, all[i])
	}
}
