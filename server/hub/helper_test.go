package hub_test

import (
	"context"
	"database/sql"
	"io"
	"log/slog"
	"path/filepath"
	"testing"
	"time"

	"rootledger/server/hub"
	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

var (
	testSession = event.SessionID{1}
	quiet       = slog.New(slog.NewTextHandler(io.Discard, nil))
)

func bounded(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	t.Cleanup(cancel)
	return ctx
}

// desk is a hub over a database of its own, with one session.
type desk struct {
	t     *testing.T
	dir   string
	store *store.Store
	row   int64
	hub   *hub.Hub
	fatal chan error
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	d := &desk{t: t, dir: t.TempDir(), fatal: make(chan error, 8)}
	var err error
	if d.store, err = store.Open(bounded(t), d.dir); err != nil {
		t.Fatal(err)
	}
	if err := d.store.CreateSession(bounded(t), testSession, "A", 1, false); err != nil {
		t.Fatal(err)
	}
	row, err := d.store.Session(bounded(t), testSession)
	if err != nil {
		t.Fatal(err)
	}
	d.row = row.Row
	d.hub = d.newHub()
	t.Cleanup(func() {
		d.hub.Close()
		if err := d.store.Close(); err != nil {
			t.Error(err)
		}
	})
	return d
}

func (d *desk) newHub() *hub.Hub {
	return hub.New(d.store, quiet, time.Now, func(err error) { d.fatal <- err })
}

func (d *desk) room() *hub.Room {
	d.t.Helper()
	room, err := d.hub.Room(bounded(d.t), testSession)
	if err != nil {
		d.t.Fatal(err)
	}
	return room
}

// aside reads and locks the database as another program would.
func (d *desk) aside() *sql.DB {
	d.t.Helper()
	db, err := sql.Open("sqlite3", "file:"+filepath.Join(d.dir, "rootledger.db")+"?_busy_timeout=5000&_txlock=immediate")
	if err != nil {
		d.t.Fatal(err)
	}
	d.t.Cleanup(func() {
		if err := db.Close(); err != nil {
			d.t.Error(err)
		}
	})
	return db
}

// peer is one phone or wall in the room, without a socket.
type peer struct {
	t       *testing.T
	conn    *hub.Conn
	replica *syncengine.Replica
	welcome syncengine.Welcome
	events  []*event.Event             // that came and were not asked for yet
	stored  map[event.ReplicaID]uint64 // acknowledged
	refused []syncengine.Refusal
}

// phone is a phone that was let in and has its welcome.
func (d *desk) phone(n byte) *peer {
	d.t.Helper()
	return d.join(numbered(n))
}

func numbered(n byte) *syncengine.Replica {
	return syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{n, 7: 1}, Phone: event.PhoneID{n}, Start: event.StartID{n}})
}

// wall is a wall that has its welcome.
func (d *desk) wall() *peer {
	d.t.Helper()
	return d.join(syncengine.New(syncengine.Identity{Session: testSession}))
}

func (d *desk) join(replica *syncengine.Replica) *peer {
	d.t.Helper()
	if me := replica.Me(); me.Replica != (event.ReplicaID{}) {
		d.enrol(me.Replica, me.Phone, "office")
	}
	return d.greet(replica, replica.Hello([16]byte{}, nil))
}

// counter is a phone that was let in with a code, and only counts.
func (d *desk) counter(n byte) *peer {
	d.t.Helper()
	replica := numbered(n)
	d.enrol(replica.Me().Replica, replica.Me().Phone, "phone")
	return d.greet(replica, replica.Hello([16]byte{}, nil))
}

// greet lets a replica in with a hello of its own.
func (d *desk) greet(replica *syncengine.Replica, hello syncengine.Hello) *peer {
	d.t.Helper()
	conn, err := d.room().Join(bounded(d.t), hello, replica.Me().Replica)
	if err != nil {
		d.t.Fatalf("join: %v", err)
	}
	p := &peer{t: d.t, conn: conn, replica: replica, stored: make(map[event.ReplicaID]uint64)}
	p.welcome = until[syncengine.Welcome](p)
	return p
}

// enrol lets a replica in with the rights of a role.
func (d *desk) enrol(replica event.ReplicaID, phone event.PhoneID, role string) {
	d.t.Helper()
	if err := d.store.Enrol(bounded(d.t), d.row, store.Enrolment{Replica: replica, Phone: phone, Role: role}, 1); err != nil {
		d.t.Fatal(err)
	}
}

// record makes n more events of a phone.
func (p *peer) record(n int) []*event.Event {
	p.t.Helper()
	out := make([]*event.Event, 0, n)
	for range n {
		out = append(out, p.tap(&event.Sorted{Size: 1, N: 1}))
	}
	return out
}

func (p *peer) tap(fact event.Fact) *event.Event {
	p.t.Helper()
	ms := time.Now().UnixMilli()
	e, err := p.replica.Record(fact, false, syncengine.Now{WallMs: ms, SinceMs: uint64(ms)})
	if err != nil {
		p.t.Fatalf("record: %v", err)
	}
	return e
}

// offer hands events to the room as one frame.
func (p *peer) offer(events ...*event.Event) {
	p.t.Helper()
	var batch syncengine.Packer
	for _, e := range events {
		if !batch.Add(e) {
			p.t.Fatalf("%d events are more than a frame holds", len(events))
		}
	}
	p.say(batch.Message())
}

func (p *peer) say(m syncengine.Message) {
	p.t.Helper()
	if err := p.conn.Receive(bounded(p.t), syncengine.EncodeMessage(m)); err != nil {
		p.t.Fatalf("receive: %v", err)
	}
}

// next is the next frame for a peer, and keeps what it says.
func (p *peer) next(ctx context.Context) (syncengine.Message, error) {
	frame, err := p.conn.Next(ctx)
	if err != nil {
		return nil, err
	}
	message, err := syncengine.DecodeMessage(frame)
	switch m := message.(type) {
	case syncengine.Events:
		events, err := m.Unpack()
		if err != nil {
			return nil, err
		}
		p.events = append(p.events, events...)
	case syncengine.Ack:
		for _, ref := range m.Stored {
			p.stored[ref.Replica] = max(p.stored[ref.Replica], ref.Seq)
		}
		p.refused = append(p.refused, m.Refused...)
	}
	return message, err
}

// until reads on until a message of one type comes.
func until[M syncengine.Message](p *peer) (wanted M) {
	p.t.Helper()
	p.reads(func(m syncengine.Message) bool {
		var ok bool
		wanted, ok = m.(M)
		return ok
	})
	return wanted
}

// reads reads on, for a few seconds, until enough says so of a message.
func (p *peer) reads(enough func(syncengine.Message) bool) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	for {
		m, err := p.next(ctx)
		if err != nil {
			p.t.Fatalf("next: %v", err)
		}
		if enough(m) {
			return
		}
	}
}

// acked reads on until everything up to a seq of the peer's own is
// acknowledged, and nothing was refused.
func (p *peer) acked(upTo uint64) {
	p.t.Helper()
	me := p.replica.Me().Replica
	if p.stored[me] < upTo {
		p.reads(func(syncengine.Message) bool { return p.stored[me] >= upTo || len(p.refused) > 0 })
	}
	if len(p.refused) > 0 {
		p.t.Fatalf("refused: %v", p.refused)
	}
}

// folds has a peer take in the next n events that it is told.
func (p *peer) folds(n int) []*event.Event {
	p.t.Helper()
	events := p.told(n)
	if _, refused := p.replica.Receive(events, syncengine.Now{}); len(refused) > 0 {
		p.t.Fatalf("refused: %v", refused[0].Fault)
	}
	return events
}

// refusedWith reads on until so many events are refused, each with a code.
func (p *peer) refusedWith(code fault.Code, n int) {
	p.t.Helper()
	if len(p.refused) < n {
		p.reads(func(syncengine.Message) bool { return len(p.refused) >= n })
	}
	same(p.t, "refused", len(p.refused), n)
	for _, one := range p.refused {
		same(p.t, "code", one.Fault.Code, code)
	}
	p.refused = nil
}

// told reads on until n events came that were not asked for yet.
func (p *peer) told(n int) []*event.Event {
	p.t.Helper()
	if len(p.events) < n {
		p.reads(func(syncengine.Message) bool { return len(p.events) >= n })
	}
	out := p.events[:n:n]
	p.events = p.events[n:]
	return out
}

// storedCount is how many events a reader of its own finds in the database.
func storedCount(t *testing.T, db *sql.DB) (n int) {
	t.Helper()
	if err := db.QueryRowContext(bounded(t), `SELECT count(*) FROM event`).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func same[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}
