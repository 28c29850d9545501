package hub_test

import (
	"testing"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// recordedBy makes n more events of a replica that is not connected.
func recordedBy(t *testing.T, r *syncengine.Replica, n int) []*event.Event {
	t.Helper()
	return (&peer{t: t, replica: r}).record(n)
}

// Any phone brings what another one wrote, and whoever brings it, it counts once.
func TestRelay(t *testing.T) {
	d := newDesk(t)
	ash, birch, wall, db := d.counter(1), d.counter(2), d.wall(), d.aside()
	cedar := numbered(3) // it was let in, and never comes back
	d.enrol(cedar.Me().Replica, cedar.Me().Phone, "phone")
	events := recordedBy(t, cedar, 3)
	for i, p := range []*peer{ash, birch, ash} {
		p.offer(events...)
		ack := until[syncengine.Ack](p)
		same(t, "refused", len(ack.Refused), 0)
		same(t, "acknowledged", ack.Stored[len(ack.Stored)-1], events[2].Ref())
		if stored := storedCount(t, db); stored != 3 {
			t.Errorf("stored after phone %d: got %d, want 3", i, stored)
		}
	}
	birch.offer(birch.record(1)...)
	birch.acked(1)
	for i, e := range wall.folds(4) {
		want := cedar.Me().Replica
		if i == 3 {
			want = birch.replica.Me().Replica
		}
		same(t, "told to the wall", e.Replica, want)
	}
	same(t, "sorted", wall.replica.View(0, nil).Ledger.Sorted.Total(), 4)
}

// What only the office may do is taken when the office wrote it, whoever brings it.
func TestOfficeKinds(t *testing.T) {
	zone := event.Ref{Replica: event.ReplicaID{77}, Seq: 1}
	facts := map[string]event.Fact{
		"opens": &event.Opened{Case: "C-1", Room: "A", Stations: []event.Station{event.Sorting}}, "ends": &event.Ended{},
		"budget": &event.Budget{Grafts: 9}, "yield": &event.Yield{PerMille: 900}, "floor": &event.Floor{HairsPerCM2x10: 1100}, "watch": &event.Watch{P0Parts: 500, P1Parts: 900, H100: 400},
		"zone":   &event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}},
		"region": &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 800, SharePerMille: 250},
		"leads":  &event.Joined{Person: "Lea", Station: event.Lead}, "joins the office": &event.Joined{Person: "Oak", Station: event.Office},
		"keeping":          &event.Keeping{AmberMin: 180, RedMin: 300},
		"agent":            &event.Agent{Substance: "articaine", CapUG: 500_000, Source: "a"},
		"dose rule":        &event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "a"},
		"settles":          &event.Settled{What: event.OnBench, Amount: -2, Reason: "counted again"},
		"concludes":        &event.TrialConcluded{Trial: zone, Note: "too few to tell"},
		"moves another's":  &event.Refiled{Targets: []event.Ref{zone}, Sets: event.FiledSize, Size: 2},
		"undoes another's": &event.Void{Target: zone}, "brings another's back": &event.Restore{Target: zone, Voids: []event.Ref{zone}},
	}
	for name, fact := range facts {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t)
			code, office, db := d.counter(1), d.phone(2), d.aside()
			writers := map[string]event.ReplicaID{"phone": {11}, "office": {12}}
			next := byte(0)
			for _, test := range []struct {
				author  string
				bringer *peer
				taken   bool
			}{{"phone", code, false}, {"phone", office, false}, {"office", code, true}, {"office", office, true}} {
				next++
				me := syncengine.Identity{Session: testSession, Replica: writers[test.author], Phone: event.PhoneID{next}}
				me.Replica[7] = next
				d.enrol(me.Replica, me.Phone, test.author)
				e := &event.Event{Replica: me.Replica, Seq: 1, Session: testSession, Phone: me.Phone, Fact: fact}
				if err := e.Seal(); err != nil {
					t.Fatal(err)
				}
				before := storedCount(t, db)
				test.bringer.offer(e)
				if test.taken {
					same(t, "acknowledged", until[syncengine.Ack](test.bringer).Stored[0], e.Ref())
					same(t, "stored", storedCount(t, db), before+1)
					continue
				}
				test.bringer.refusedWith("needs-office", 1)
				same(t, "stored", storedCount(t, db), before)
			}
		})
	}
}

// A phone that was let in under one id goes on under a new one without a
// network: what it wrote is taken, from any phone, by its phone id.
func TestANewIDOfAPhone(t *testing.T) {
	d := newDesk(t)
	ash, birch, office, db := d.counter(1), d.counter(2), d.phone(3), d.aside()
	under := func(n byte, phone event.PhoneID) *syncengine.Replica {
		return syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{n, 7: 1}, Phone: phone})
	}
	again := under(51, ash.replica.Me().Phone)
	events := recordedBy(t, again, 5)
	birch.offer(events[:2]...) // the first and one behind it in one frame
	same(t, "acknowledged", until[syncengine.Ack](birch).Stored[0], events[1].Ref())
	ash.offer(events[2]) // one behind those that are stored
	same(t, "acknowledged", until[syncengine.Ack](ash).Stored[0], events[2].Ref())
	same(t, "stored", storedCount(t, db), 3)

	stranger := under(52, event.PhoneID{99})
	birch.offer(recordedBy(t, stranger, 2)...)
	birch.refusedWith("not-enrolled", 2)
	headless := recordedBy(t, under(53, ash.replica.Me().Phone), 2)
	birch.offer(headless[1]) // nothing says yet whose it is
	birch.refusedWith("not-enrolled", 1)
	birch.offer(headless...)
	same(t, "acknowledged in order", until[syncengine.Ack](birch).Stored[0], headless[1].Ref())

	plans := under(54, office.replica.Me().Phone)
	p := &peer{t: t, replica: plans}
	office.offer(p.tap(&event.Budget{Grafts: 9})) // its phone is the office's
	same(t, "acknowledged, of the office's phone", until[syncengine.Ack](office).Stored[0], p.replica.Head())
	same(t, "stored", storedCount(t, db), 6)
}

// A copy of a phone, with a longer history than the one that is stored, is taken
// to hold that one too, until it shows that it does not: all of it is then told.
func TestSplitHistoryIsToldAgain(t *testing.T) {
	d := newDesk(t)
	ash, birch := d.counter(1), d.counter(2)
	trunk := ash.record(2)
	ash.offer(append(trunk, ash.record(1)...)...)
	ash.acked(3)
	birch.folds(3)

	restored := numbered(1)
	restored.Load(trunk, syncengine.Now{})
	(&peer{t: t, replica: restored}).tap(&event.Sorted{Size: 4, N: 1}) // its bytes are its own, whatever the clock reads
	recordedBy(t, restored, 2)
	copied := d.greet(restored, restored.Hello([16]byte{}, nil))
	restored.Meet(copied.welcome.Vector)
	same(t, "the copy knows what it is", restored.Cloned(), true)
	lacks := restored.Know(copied.welcome.Vector, func(event.ReplicaID) bool { return false })
	batch := restored.Batch(&lacks)
	same(t, "the copy offers", batch.Len(), 5)
	copied.say(batch.Message())
	copied.acked(5)

	late := d.wall()
	late.folds(6)
	want := late.replica.Vector()
	same(t, "heads", len(want), 2)
	for name, p := range map[string]struct {
		peer *peer
		told int // the three that are new and all six again, but what it brought
	}{"the copy": {copied, 6}, "the phone": {ash, 9}, "another": {birch, 9}} {
		p.peer.folds(p.told)
		if got := p.peer.replica.Vector(); len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
			t.Errorf("%s: got %v, want %v", name, got, want)
		}
		same(t, name+": sorted", p.peer.replica.View(0, nil).Ledger.Sorted.Total(), 6)
	}
	same(t, "the phone knows it too", ash.replica.Cloned(), true)
	same(t, "stored", storedCount(t, d.aside()), 6)
}

// A phone that sends and does not read is acknowledged in the end, in frames
// that it can read.
func TestAcknowledgementsOfAPhoneThatDoesNotRead(t *testing.T) {
	d := newDesk(t)
	p := d.counter(1)
	const frames = 2000
	events := p.record(frames)
	db := d.aside()
	for i, e := range events {
		p.offer(e)
		for i%500 == 0 && storedCount(t, db) <= i { // so that many commits are acknowledged
		}
	}
	for storedCount(t, db) < frames {
	}
	wall := d.wall() // its errand comes behind the last acknowledgement
	same(t, "heads", len(wall.welcome.Vector), 1)
	ack := until[syncengine.Ack](p)
	same(t, "acknowledged of one history", len(ack.Stored), 1)
	same(t, "acknowledged", ack.Stored[len(ack.Stored)-1], events[frames-1].Ref())
}

// Somebody who was let in to count can not make the server believe that the
// office asked for a refill.
func TestMadeUpHeardGivesNoRights(t *testing.T) {
	d := newDesk(t)
	evil := numbered(66)
	d.enrol(evil.Me().Replica, evil.Me().Phone, "phone")
	p := d.greet(evil, evil.Hello([16]byte{1}, syncengine.Vector{{Replica: event.ReplicaID{99}, Seq: 5}}))
	if d.session().OlderMs == 0 {
		t.Fatal("the server believes that it has less than it told")
	}
	p.offer(p.tap(&event.Joined{Person: "E", Station: event.Lead}), p.tap(&event.Ended{}))
	p.refusedWith("needs-office", 2)
	same(t, "ended", d.session().EndedMs, 0)

	before := d.store.Server().Epoch
	for n := byte(1); n < 6; n++ {
		r := numbered(n)
		d.enrol(r.Me().Replica, r.Me().Phone, "phone")
		d.greet(r, r.Hello([16]byte{}, syncengine.Vector{{Replica: d.store.Server().Replica, Seq: 9}}))
	}
	same(t, "epoch, whatever they say within a minute", d.store.Server().Epoch, before)
}

// One phone can not take every place of a session.
func TestOnePhoneHasABoundedNumberOfIDs(t *testing.T) {
	d := newDesk(t)
	evil := d.counter(66)
	var flood []*event.Event
	for i := range store.MaxIDs + 10 {
		e := &event.Event{Replica: event.ReplicaID{200, byte(i), 1}, Seq: 1, Session: testSession, Phone: evil.replica.Me().Phone, Fact: &event.Note{Text: "x"}}
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		flood = append(flood, e)
	}
	evil.offer(flood...)
	evil.refusedWith("ids-many", 10)
	ash := d.counter(1)
	ash.offer(ash.record(1)...)
	ash.acked(1)
	if err := d.store.Enrol(bounded(t), d.row, store.Enrolment{Replica: event.ReplicaID{9}, Phone: event.PhoneID{9}}, 1); err != nil {
		t.Errorf("another phone: %v", err)
	}
}

// What another server of the room wrote is taken from a phone that brings it,
// what a phone writes in a server's place is not.
func TestNotesOfAnotherServer(t *testing.T) {
	d := newDesk(t)
	ash := d.counter(1)
	other := syncengine.New(syncengine.Identity{Session: testSession, Replica: event.ReplicaID{77}, Phone: event.PhoneID{77}, Start: event.StartID{77}})
	note := (&peer{t: t, replica: other}).tap(&event.ClockNote{Replica: event.ReplicaID{1}, Start: event.StartID{1}})
	ash.offer(note)
	same(t, "acknowledged", until[syncengine.Ack](ash).Stored[0], note.Ref())
}
