// Package floor is the smallest honest server for the counting: it stores one
// row for each tap, forces it to the disk, and only then acknowledges it and
// shows it on the walls. It knows no sessions, no undo, no second count and no
// phone that was away. What a full server takes longer than this one is the
// price of what it does more.
//
// Frames are binary, numbers big-endian:
//
//	phone to server   8 bytes phone, 8 bytes seq
//	server to phone   8 bytes seq, one frame for each tap, after its commit
//	server to wall    8 bytes total, then phone and seq of each tap that is new
//
// A wall that only draws a number needs the total alone. The list of taps is
// there so that a measurement can tell which tap a frame shows; it gives a wall
// as much as one that learns every event, and costs 16 bytes for each tap.
package floor

import (
	"database/sql"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"rootledger/tests/bench/durable"
)

const (
	maxQueue   = 1024             // taps read from sockets, not yet taken for a commit
	maxCommit  = 1024             // taps of one commit
	maxOut     = 4096             // frames that wait for one slow client before it is cut off
	maxPeers   = 256              // clients at once
	writeLimit = 5 * time.Second  // for one frame to one client
	headLimit  = 10 * time.Second // for the head of a request
)

// Schema is the one table. The key makes a tap that is sent again count once.
const Schema = `CREATE TABLE IF NOT EXISTS tap (
	phone INTEGER NOT NULL, seq INTEGER NOT NULL, PRIMARY KEY (phone, seq)) WITHOUT ROWID`

// tap is one count and the client that waits for its acknowledgement.
type tap struct {
	phone, seq uint64
	from       *peer
	fresh      bool // not stored before; set by the commit
}

// Floor is a running server.
type Floor struct {
	store    *store
	server   *http.Server
	listener net.Listener
	queue    chan tap
	done     chan struct{}
	running  sync.WaitGroup

	mu     sync.Mutex // guards what follows
	total  uint64
	peers  map[*peer]bool // true: a wall
	closed bool
	failed error
}

// Start opens the database in dir and serves on a free port of 127.0.0.1.
func Start(dir string) (*Floor, error) {
	db, err := durable.Open(filepath.Join(dir, "floor.db"), Schema)
	if err != nil {
		return nil, err
	}
	s, total, err := newStore(db)
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, errors.Join(fmt.Errorf("listen: %w", err), s.close())
	}
	f := &Floor{store: s, listener: listener, total: total, peers: map[*peer]bool{},
		queue: make(chan tap, maxQueue), done: make(chan struct{})}
	e := echo.New()
	e.GET("/phone", f.phone)
	e.GET("/wall", f.wall)
	f.server = &http.Server{Handler: e, ReadHeaderTimeout: headLimit}
	f.running.Go(f.commits)
	f.running.Go(func() {
		if err := f.server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			f.fail(fmt.Errorf("serve: %w", err))
		}
	})
	return f, nil
}

// URL is where sockets are opened: /phone and /wall below it.
func (f *Floor) URL() string { return "ws://" + f.listener.Addr().String() }

// Close ends all sockets and the database. It returns what made the server
// stop before, if anything did. Taps that were not acknowledged may be lost.
func (f *Floor) Close() error {
	f.stop()
	err := f.server.Close()
	f.running.Wait()
	f.mu.Lock()
	defer f.mu.Unlock()
	return errors.Join(f.failed, err, f.store.close())
}

// stop cuts all clients off and lets no more in.
func (f *Floor) stop() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.closed {
		return
	}
	f.closed = true
	close(f.done)
	for p := range f.peers {
		p.cut()
	}
}

func (f *Floor) fail(err error) {
	f.mu.Lock()
	f.failed = errors.Join(f.failed, err)
	f.mu.Unlock()
	f.stop()
}

// commits takes whatever is queued, at once, and makes it one commit. It never
// waits for more: taps gather only while the disk is at work on those before.
func (f *Floor) commits() {
	batch := make([]tap, 0, maxCommit)
	for {
		select {
		case <-f.done:
			return
		case t := <-f.queue:
			batch = append(batch[:0], t)
		}
		batch = f.drain(batch)
		if err := f.store.add(batch); err != nil {
			f.fail(err)
			return
		}
		f.tell(batch)
	}
}

func (f *Floor) drain(batch []tap) []tap {
	for len(batch) < maxCommit {
		select {
		case t := <-f.queue:
			batch = append(batch, t)
		default:
			return batch
		}
	}
	return batch
}

// store holds the statements that make one commit.
type store struct {
	db     *sql.DB
	insert *sql.Stmt
}

func newStore(db *sql.DB) (s *store, total uint64, err error) {
	if err := db.QueryRow("SELECT count(*) FROM tap").Scan(&total); err != nil {
		return nil, 0, fmt.Errorf("count taps: %w", err)
	}
	insert, err := db.Prepare("INSERT OR IGNORE INTO tap (phone, seq) VALUES (?, ?)")
	if err != nil {
		return nil, 0, fmt.Errorf("prepare: %w", err)
	}
	return &store{db: db, insert: insert}, total, nil
}

// add stores all taps of the batch in one commit and marks those that are new.
// When it returns nil they are on the disk.
func (s *store) add(batch []tap) error {
	tx, err := s.db.Begin()
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	insert := tx.Stmt(s.insert)
	for i := range batch {
		result, err := insert.Exec(int64(batch[i].phone), int64(batch[i].seq)) // the same 64 bits
		if err != nil {
			return errors.Join(fmt.Errorf("insert: %w", err), tx.Rollback())
		}
		added, err := result.RowsAffected()
		if err != nil {
			return errors.Join(fmt.Errorf("rows: %w", err), tx.Rollback())
		}
		batch[i].fresh = added == 1
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("commit: %w", err)
	}
	return nil
}

func (s *store) close() error { return errors.Join(s.insert.Close(), s.db.Close()) }
