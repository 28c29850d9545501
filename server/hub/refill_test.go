package hub_test

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"rootledger/server/hub"
	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// stop closes the server's database, and start opens it again.
func (d *desk) stop() {
	d.t.Helper()
	d.hub.Close()
	if err := d.store.Close(); err != nil {
		d.t.Fatal(err)
	}
}

func (d *desk) start() {
	d.t.Helper()
	var err error
	if d.store, err = store.Open(bounded(d.t), d.dir); err != nil {
		d.t.Fatal(err)
	}
	d.hub = d.newHub()
}

// backup is the database as it is now; restored puts it back.
func (d *desk) backup() []byte {
	d.t.Helper()
	d.stop()
	defer d.start()
	text, err := os.ReadFile(filepath.Join(d.dir, "rootledger.db"))
	if err != nil {
		d.t.Fatal(err)
	}
	return text
}

func (d *desk) restore(backup []byte) {
	d.t.Helper()
	d.stop()
	defer d.start()
	for _, log := range []string{"rootledger.db-wal", "rootledger.db-shm"} {
		if err := os.RemoveAll(filepath.Join(d.dir, log)); err != nil {
			d.t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(d.dir, "rootledger.db"), backup, 0o600); err != nil {
		d.t.Fatal(err)
	}
}

func (d *desk) gaps() (out []syncengine.Gap) {
	d.t.Helper()
	gaps, err := d.room().Gaps(bounded(d.t))
	if err != nil {
		d.t.Fatal(err)
	}
	for _, gap := range gaps {
		out = append(out, gap.Gap)
	}
	return out
}

func (d *desk) session() store.Session {
	d.t.Helper()
	row, err := d.store.Session(bounded(d.t), testSession)
	if err != nil {
		d.t.Fatal(err)
	}
	return row
}

// again lets a phone in that was there before, with what it heard.
func (d *desk) again(p *peer, epoch [16]byte, heard syncengine.Vector) *peer {
	d.t.Helper()
	return d.greet(p.replica, p.replica.Hello(epoch, heard))
}

// brings offers all that the server lacks, as far as a phone knows.
func (p *peer) brings() (sent int) {
	p.t.Helper()
	lacks := p.replica.Know(p.welcome.Vector, func(event.ReplicaID) bool { return false })
	batch := p.replica.Batch(&lacks)
	p.say(batch.Message())
	until[syncengine.Ack](p)
	same(p.t, "refused", len(p.refused), 0)
	return batch.Len()
}

// A server whose database was put back to an older one finds that out from the
// first phone that comes back: it is another server from then on, takes from any
// phone what anyone wrote, and lists exactly what nobody has brought yet.
func TestServerThatWasPutBack(t *testing.T) {
	d := newDesk(t)
	office, ash := d.phone(1), d.counter(2)
	office.offer(office.record(2)...)
	office.acked(2)
	ash.offer(ash.record(3)...)
	ash.acked(3)
	ash.folds(2)
	old := d.backup()

	office, ash = d.again(office, [16]byte{}, nil), d.again(ash, [16]byte{}, nil)
	known, unknown := office.tap(&event.Budget{Grafts: 900}), office.record(1)
	office.offer(known)
	office.acked(3)
	ash.folds(1)
	ash.offer(ash.record(2)...)
	ash.acked(5)
	office.offer(unknown...) // of which Ash never hears
	office.acked(4)
	birch := d.counter(3) // let in after the backup
	birch.offer(birch.record(1)...)
	birch.acked(1)
	heard, before := d.wall().welcome.Vector, d.store.Server()
	same(t, "heads that were told", len(heard), 3)
	d.restore(old)
	same(t, "the same database, as far as it knows", d.store.Server().Epoch, before.Epoch)

	wall := d.greet(syncengine.New(syncengine.Identity{Session: testSession}), syncengine.Hello{Protocol: syncengine.Protocol, Session: testSession, Epoch: before.Epoch, Heard: heard})
	same(t, "after a wall: epoch", wall.welcome.Epoch, before.Epoch) // anyone may be a wall
	ash = d.again(ash, before.Epoch, heard)
	now := d.store.Server()
	if now.Epoch == before.Epoch || now.Replica == before.Replica || d.session().OlderMs == 0 {
		t.Errorf("got %x, %v, refilled %d, want another server that is refilled", now.Epoch, now.Replica, d.session().OlderMs)
	}
	same(t, "epoch in the welcome", ash.welcome.Epoch, now.Epoch)
	me := []event.ReplicaID{office.replica.Me().Replica, ash.replica.Me().Replica, birch.replica.Me().Replica}
	if got, want := d.gaps(), []syncengine.Gap{{Replica: me[0], From: 3, To: 4}, {Replica: me[1], From: 4, To: 5}, {Replica: me[2], From: 1, To: 1}}; !reflect.DeepEqual(got, want) {
		t.Errorf("missing: got %v, want %v", got, want)
	}
	same(t, "Ash brings its own two, and what the office planned", ash.brings(), 3)
	if got, want := d.gaps(), []syncengine.Gap{{Replica: me[0], From: 4, To: 4}, {Replica: me[2], From: 1, To: 1}}; !reflect.DeepEqual(got, want) {
		t.Errorf("missing after Ash: got %v, want %v", got, want)
	}
	office = d.again(office, before.Epoch, heard)
	same(t, "the office brings the rest of its own", office.brings(), 1)
	same(t, "epoch after the second phone", d.store.Server().Epoch, now.Epoch)
	ash.offer(birch.replica.Own(1)) // nobody knows any more that it was let in
	until[syncengine.Ack](ash)
	same(t, "refused", len(ash.refused), 0)
	same(t, "missing in the end", len(d.gaps()), 0)
	same(t, "stored", storedCount(t, d.aside()), 4+5+1)
	d.stop()
	d.start()
	same(t, "heads, opened again", len(d.wall().welcome.Vector), 3)
	same(t, "epoch, opened again", d.store.Server().Epoch, now.Epoch)
}

// A server that has what any server told goes on as it is.
func TestServerThatWasNotPutBack(t *testing.T) {
	d := newDesk(t)
	ash := d.counter(1)
	ash.offer(ash.record(3)...)
	ash.acked(3)
	epoch := d.store.Server().Epoch
	stranger := event.Ref{Replica: event.ReplicaID{9}, Seq: 4, Check: [8]byte{1}}
	for name, hello := range map[string]syncengine.Hello{
		"all that was told":         ash.replica.Hello(epoch, ash.replica.Vector()),
		"less than that":            ash.replica.Hello(epoch, syncengine.Vector{ash.replica.Own(1).Ref()}),
		"what no server ever told":  ash.replica.Hello([16]byte{}, syncengine.Vector{stranger}),
		"more that was not told it": ash.replica.Hello(epoch, nil),
	} {
		same(t, name, d.greet(ash.replica, hello).welcome.Epoch, epoch)
	}
	same(t, "known to be older", d.session().OlderMs, 0)
	if d.greet(ash.replica, ash.replica.Hello([16]byte{1}, syncengine.Vector{stranger})); d.session().OlderMs == 0 {
		t.Error("another database told more than this one has: it is to be refilled")
	}
}

// Once one room finds out, every room of the server is refilled, those too that
// were open already.
func TestEveryRoomIsRefilled(t *testing.T) {
	d := newDesk(t)
	ash := d.counter(1)
	ash.offer(ash.record(1)...)
	ash.acked(1)
	other := event.SessionID{2}
	if err := d.store.CreateSession(bounded(t), other, "B", 1, false); err != nil {
		t.Fatal(err)
	}
	second, err := d.hub.Room(bounded(t), other)
	if err != nil {
		t.Fatal(err)
	}
	epoch := d.store.Server().Epoch
	d.again(ash, epoch, syncengine.Vector{{Replica: event.ReplicaID{9}, Seq: 4, Check: [8]byte{1}}})
	if d.store.Server().Epoch == epoch {
		t.Fatal("the first room did not find out")
	}
	r := syncengine.New(syncengine.Identity{Session: other, Replica: event.ReplicaID{5}, Phone: event.PhoneID{5}})
	conn, err := second.Join(bounded(t), r.Hello(epoch, nil), r.Me().Replica)
	if err != nil {
		t.Fatal(err)
	}
	p := &peer{t: t, conn: conn, replica: r, stored: make(map[event.ReplicaID]uint64)}
	p.offer(p.record(1)...) // who was let in there was lost too
	p.acked(1)
}

// What is missing is told with who held the phone, as far as the room knows. Once
// refilling is ended, only what the enrolled wrote is taken.
func TestRefillIsEnded(t *testing.T) {
	d := newDesk(t)
	if err := d.store.CreateSession(bounded(t), event.SessionID{2}, "B", 5, true); err != nil {
		t.Fatal(err)
	}
	room, err := d.hub.Room(bounded(t), event.SessionID{2})
	if err != nil {
		t.Fatal(err)
	}
	author := func(n byte) *syncengine.Replica {
		return syncengine.New(syncengine.Identity{Session: event.SessionID{2}, Replica: event.ReplicaID{n}, Phone: event.PhoneID{n}})
	}
	written := func(r *syncengine.Replica, facts ...event.Fact) (out []*event.Event) {
		t.Helper()
		for _, fact := range facts {
			e, err := r.Record(fact, false, syncengine.Now{WallMs: 1_800_000_000_000})
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, e)
		}
		return out
	}
	one := &event.Sorted{Size: 1, N: 1}
	lost := written(author(7), &event.Joined{Person: "Ash", Station: event.Sorting}, one, one, one)
	unknown := written(author(8), one)
	carrier := author(9)
	conn, err := room.Join(bounded(t), carrier.Hello([16]byte{}, syncengine.Vector{lost[3].Ref(), unknown[0].Ref()}), carrier.Me().Replica)
	if err != nil {
		t.Fatal(err)
	}
	p := &peer{t: t, conn: conn, replica: carrier, stored: make(map[event.ReplicaID]uint64)}
	p.offer(lost[:2]...)
	until[syncengine.Ack](p)
	gaps, err := room.Gaps(bounded(t))
	if err != nil {
		t.Fatal(err)
	}
	want := []hub.Gap{
		{Gap: syncengine.Gap{Replica: event.ReplicaID{7}, From: 3, To: 4}, Person: "Ash", Station: event.Sorting},
		{Gap: syncengine.Gap{Replica: event.ReplicaID{8}, From: 1, To: 1}},
	}
	if !reflect.DeepEqual(gaps, want) {
		t.Errorf("missing: got %v, want %v", gaps, want)
	}
	if err := room.EndRefill(bounded(t)); err != nil {
		t.Fatal(err)
	}
	row, err := d.store.Session(bounded(t), event.SessionID{2})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "refilled since", row.RefilledMs, 0)
	p.offer(unknown...)
	until[syncengine.Ack](p)
	same(t, "refused after the end", len(p.refused), 1)
	same(t, "why", p.refused[0].Fault.Code, "not-enrolled")
}
