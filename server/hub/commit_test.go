package hub_test

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"testing"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// commits counts the transactions in the database's write-ahead log: its frames
// that carry the size of the database after a commit (SQLite file format, 4.1).
func (d *desk) commits() int {
	d.t.Helper()
	wal, err := os.ReadFile(filepath.Join(d.dir, "rootledger.db-wal"))
	if err != nil {
		d.t.Fatal(err)
	}
	if len(wal) < 32 {
		return 0
	}
	page, salt, n := int(binary.BigEndian.Uint32(wal[8:])), string(wal[16:24]), 0
	for at := 32; at+24+page <= len(wal); at += 24 + page {
		if string(wal[at+8:at+16]) == salt && binary.BigEndian.Uint32(wal[at+4:]) != 0 {
			n++
		}
	}
	return n
}

func TestFrameIsOneCommit(t *testing.T) {
	for _, n := range []int{1, 64, 65, 1500} {
		d := newDesk(t)
		p := d.phone(1)
		before := d.commits()
		p.offer(p.record(n)...)
		p.acked(uint64(n))
		same(t, "commits", d.commits()-before, 1)
		same(t, "stored", storedCount(t, d.aside()), n)
	}
}

// What arrives while a commit is on its way is the next one, all of it.
func TestQueueIsOneCommit(t *testing.T) {
	d := newDesk(t)
	phones := make([]*peer, 10)
	for i := range phones {
		phones[i] = d.phone(byte(i + 1))
	}
	db := d.aside()
	before := d.commits()
	lock, err := db.BeginTx(bounded(t), nil) // no commit gets past this
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		for _, p := range phones {
			p.offer(p.record(3)...)
		}
	}
	if err := lock.Rollback(); err != nil {
		t.Fatal(err)
	}
	for _, p := range phones {
		p.acked(15)
	}
	if got := d.commits() - before; got < 1 || got > 2 {
		t.Errorf("commits for 50 frames behind a slow disk: got %d, want at most 2", got)
	}
	same(t, "stored", storedCount(t, db), 150)
}

// A reader of its own never finds part of a frame.
func TestBatchIsWholeOrNotThere(t *testing.T) {
	d := newDesk(t)
	p, db := d.phone(1), d.aside()
	events := p.record(1500)
	p.offer(events...)
	for {
		n := storedCount(t, db)
		if n != 0 && n != len(events) {
			t.Fatalf("stored: got %d events, want none or all %d", n, len(events))
		}
		if n == len(events) {
			break
		}
	}
	p.acked(uint64(len(events)))
}

// Nobody is shown or promised what a reader of its own can not find stored.
func TestNothingIsToldBeforeItIsStored(t *testing.T) {
	d := newDesk(t)
	db := d.aside()
	phones, wall := []*peer{d.phone(1), d.phone(2)}, d.wall()
	const each = 100
	for _, p := range phones {
		go func() {
			for range each {
				p.offer(p.record(1)...)
			}
		}()
	}
	has := func(id event.ReplicaID, seq uint64) bool {
		t.Helper()
		var n int
		err := db.QueryRowContext(bounded(t), `SELECT count(*) FROM event WHERE replica = ? AND seq <= ?`, id[:], seq).Scan(&n)
		if err != nil {
			t.Fatal(err)
		}
		return n == int(seq)
	}
	for range 2 * each {
		if e := wall.told(1)[0]; !has(e.Replica, e.Seq) {
			t.Errorf("the wall shows %v:%d, which is not stored", e.Replica, e.Seq)
		}
	}
	for _, p := range phones {
		for to := uint64(0); to < each; {
			until[syncengine.Ack](p)
			to = p.stored[p.replica.Me().Replica]
			if me := p.replica.Me().Replica; !has(me, to) {
				t.Errorf("%v is promised up to %d, which is not stored", me, to)
			}
		}
	}
}

func TestStoreThatFailsEndsTheServer(t *testing.T) {
	d := newDesk(t)
	p, wall := d.phone(1), d.wall()
	p.offer(p.record(1)...)
	p.acked(1)
	wall.told(1)
	if _, err := d.aside().ExecContext(bounded(t), `ALTER TABLE event RENAME TO gone`); err != nil {
		t.Fatal(err)
	}
	p.offer(p.record(1)...)
	select {
	case <-d.fatal:
	case <-bounded(t).Done():
		t.Fatal("the server goes on")
	}
	for name, one := range map[string]*peer{"the phone": p, "the wall": wall} {
		for {
			m, err := one.next(bounded(t))
			if err != nil {
				wantCode(t, name, err, "stopping")
				break
			}
			switch m.(type) {
			case syncengine.Ack, syncengine.Events:
				t.Errorf("%s is told %#v of what is not stored", name, m)
			}
		}
	}
	_, err := d.room().Join(bounded(t), numbered(2).Hello([16]byte{}, nil), numbered(2).Me().Replica)
	wantCode(t, "joining afterwards", err, "stopping")
	same(t, "further failures", len(d.fatal), 0)
}
