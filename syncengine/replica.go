package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
)

// Identity is who this replica is. A zero Replica only reads: a wall.
type Identity struct {
	Session event.SessionID
	Replica event.ReplicaID
	Phone   event.PhoneID
	Start   event.StartID
}

// Replica is one copy of one session. It is not safe for use by several
// goroutines at once; its host owns it.
type Replica struct {
	me     Identity
	clock  clock
	log    *log
	state  session.State
	head   *event.Event // the last event written here; nil for none
	held   uint64       // own events from this seq on are not offered; 0 for none
	cloned bool
}

// New returns a replica that holds nothing yet.
func New(me Identity) *Replica {
	return &Replica{me: me, log: newLog(me.Session)}
}

// Me is who this replica is.
func (r *Replica) Me() Identity { return r.me }

// Record writes down that something happened here and now. It refuses, in
// words, a fact that breaks a bound or names what is not there; it never
// refuses a count because of the clock, the plan or the state of the session.
// late marks a count that happened before the newest recount of its stock. A
// plan edit that names no edits to replace replaces those that stand here, and a
// restore that names no voids cancels those.
func (r *Replica) Record(fact event.Fact, late bool, now Now) (*event.Event, error) {
	if r.me.Replica == (event.ReplicaID{}) {
		return nil, fault.New(fault.Denied, "reads-only")
	}
	if restore, ok := fact.(*event.Restore); ok && restore.Voids == nil {
		voids := r.state.Voids(restore.Target)
		if len(voids) == 0 {
			return nil, fault.New(fault.Conflict, "not-undone")
		}
		restore.Voids = voids[:min(len(voids), event.MaxSupersedes)]
	}
	if err := fact.Validate(); err != nil {
		return nil, err
	}
	if err := r.state.Check(r.me.Replica, fact); err != nil {
		return nil, err
	}
	supersede(fact, r.state.Supersedes(fact))
	e := &event.Event{Replica: r.me.Replica, Seq: 1, Session: r.me.Session, Phone: r.me.Phone,
		WallMs: min(max(now.WallMs, 0), event.MaxMs), Start: r.me.Start, SinceMs: now.SinceMs, Late: late, Fact: fact}
	if r.head != nil {
		e.Seq, e.Prev, e.Session, e.Phone = r.head.Seq+1, r.head.Hash, event.SessionID{}, event.PhoneID{}
	}
	e.Stamp = r.clock.tick(now.WallMs)
	if err := e.Seal(); err != nil {
		return nil, err
	}
	if _, err := r.log.insert(e, nil); err != nil {
		return nil, err
	}
	r.head = e
	return e, r.state.Apply(e)
}

// supersede names the edits that a plan edit replaces, as many as one can; of
// more, the next edit replaces the rest. Of a look it names what was seen.
func supersede(fact event.Fact, heads []event.Ref) {
	var of *[]event.Ref
	switch f := fact.(type) {
	case *event.Budget:
		of = &f.Supersedes
	case *event.Yield:
		of = &f.Supersedes
	case *event.Watch:
		of = &f.Supersedes
	case *event.Looked:
		of = &f.Upto
	case *event.Floor:
		of = &f.Supersedes
	case *event.Zone:
		of = &f.Supersedes
	case *event.Region:
		of = &f.Supersedes
	case *event.Agent:
		of = &f.Supersedes
	case *event.Weight:
		of = &f.Supersedes
	case *event.DoseRule:
		of = &f.Supersedes
	case *event.Keeping:
		of = &f.Supersedes
	}
	if of != nil && *of == nil {
		*of = heads[:min(len(heads), event.MaxSupersedes)]
	}
}

// Refusal is one received event that was not taken, and why.
type Refusal struct {
	Replica event.ReplicaID
	Seq     uint64
	Fault   *fault.Fault
}

// Load takes in what this replica kept before a restart: its own events, and
// those of others. Own events that do not all follow each other were written by
// two copies of this phone.
func (r *Replica) Load(events []*event.Event, now Now) (fresh []*event.Event, refused []Refusal) {
	fresh, refused = r.take(events, now)
	if o := r.log.origins[r.me.Replica]; o != nil {
		if len(o.lines) > 0 {
			r.head = o.lines[0].last()
		}
		r.cloned = len(o.lines) > 1 || o.kept > 0
	}
	return fresh, refused
}

// Receive takes events in that happened elsewhere. fresh are those newly
// linked, each after what it follows: what a server stores and then tells.
// Duplicates are in neither list. An event under this replica's own id that it
// did not write says that a copy of this phone goes on elsewhere.
func (r *Replica) Receive(events []*event.Event, now Now) (fresh []*event.Event, refused []Refusal) {
	fresh, refused = r.take(events, now)
	for _, e := range events {
		if e.Replica == r.me.Replica && !r.wrote(e) {
			r.cloned = true
		}
	}
	return fresh, refused
}

// wrote says whether an event under this replica's id is on the history that
// ends with its head.
func (r *Replica) wrote(e *event.Event) bool {
	o := r.log.origins[e.Replica]
	if r.head == nil || o == nil {
		return false
	}
	line, _ := o.lineWith(r.head.Seq, r.head.Hash)
	for line >= 0 {
		if have := o.lines[line].at(e.Seq); have != nil {
			return have.Hash == e.Hash && e.Seq <= r.head.Seq
		}
		line = o.lines[line].parent
	}
	return false
}

func (r *Replica) take(events []*event.Event, now Now) (fresh []*event.Event, refused []Refusal) {
	for _, e := range events {
		before := len(fresh)
		linked, err := r.log.insert(e, fresh)
		fresh = linked
		if err != nil {
			refused = append(refused, Refusal{e.Replica, e.Seq, fault.Of(err)})
		}
		for _, one := range fresh[before:] {
			if err := r.state.Apply(one); err != nil {
				refused = append(refused, Refusal{one.Replica, one.Seq, fault.Of(err)})
			}
			r.learn(one, now)
		}
	}
	return fresh, refused
}

// learn moves the clock: to one's own stamps always, to others' within a minute.
func (r *Replica) learn(e *event.Event, now Now) {
	if e.Replica == r.me.Replica {
		r.clock.last = max(r.clock.last, e.Stamp)
		return
	}
	r.clock.adopt(e.Stamp, now.WallMs)
}

// Cloned says that another copy of this phone writes under the same replica id:
// a copied profile, or a phone restored from a backup. It must go on under a
// new id at once; what it wrote stays counted.
func (r *Replica) Cloned() bool { return r.cloned }

// Meet reads what a peer holds of this replica's own history, and finds out
// whether it is a copy.
func (r *Replica) Meet(theirs Vector) {
	o := r.log.origins[r.me.Replica]
	for _, ref := range theirs.heads(r.me.Replica) {
		known := false
		if o != nil {
			_, known = o.lineOf(ref)
		}
		r.cloned = r.cloned || !known
	}
}

// Vector says what this replica holds.
func (r *Replica) Vector() Vector { return r.log.vector() }

// Know reads a peer's vector. ahead says of which replicas the peer may hold
// more than is here: see Peer.
func (r *Replica) Know(v Vector, ahead func(event.ReplicaID) bool) Peer { return r.log.know(v, ahead) }

// With is a vector and one event more, which takes the place of those that it
// follows. An event that is not held here is passed over.
func (r *Replica) With(v Vector, ref event.Ref) Vector { return r.log.with(v, ref) }

// Gaps lists what a vector has and this replica lacks, in ascending order.
func (r *Replica) Gaps(v Vector) []Gap { return r.log.gaps(v) }

// Holes lists what is missing before events that are kept aside.
func (r *Replica) Holes() []Gap { return r.log.holes() }

// Missing lists what is held here and a peer lacks.
func (r *Replica) Missing(peer *Peer) []Span { return r.log.missing(peer) }

// Raise notes that a peer holds an event, and all that it follows. An event
// that is not held here is passed over.
func (r *Replica) Raise(peer *Peer, ref event.Ref) {
	if o := r.log.origins[ref.Replica]; o != nil {
		if line, ok := o.lineOf(ref); ok {
			r.log.raise(peer, Place{ref.Replica, line, ref.Seq})
		}
	}
}

// Holds says whether a peer is known to hold an event.
func (r *Replica) Holds(peer Peer, ref event.Ref) bool {
	e := r.log.find(ref)
	if e == nil {
		return false
	}
	at, _ := r.log.place(e)
	return peer.Has(at)
}

// Place is where a linked event lies; false for one that is kept aside.
func (r *Replica) Place(e *event.Event) (Place, bool) { return r.log.place(e) }

// Has says whether an event is held here, also when it waits for those before it.
func (r *Replica) Has(e *event.Event) bool { return r.log.has(e) }

// Event returns one linked event, or nil.
func (r *Replica) Event(ref event.Ref) *event.Event { return r.log.find(ref) }

// History calls each for every event held of a replica, whatever its line, each
// after what it follows.
func (r *Replica) History(id event.ReplicaID, each func(*event.Event)) {
	if o := r.log.origins[id]; o != nil {
		for _, line := range o.lines {
			for _, e := range line.events {
				each(e)
			}
		}
	}
}

// First is the first event held under a replica id, or nil.
func (r *Replica) First(id event.ReplicaID) *event.Event {
	if o := r.log.origins[id]; o != nil && len(o.lines) > 0 {
		return o.lines[0].events[0]
	}
	return nil
}

// Began is how many replica ids have a first event like this.
func (r *Replica) Began(alike func(first *event.Event) bool) (n int) {
	for _, o := range r.log.origins {
		if len(o.lines) > 0 && alike(o.lines[0].events[0]) {
			n++
		}
	}
	return n
}

// GoOnAs has this replica write under a new id from now on.
func (r *Replica) GoOnAs(me Identity) { r.me, r.head, r.cloned = me, nil, false }

// Split says whether two histories of a replica are held.
func (r *Replica) Split(id event.ReplicaID) bool {
	o := r.log.origins[id]
	return o != nil && len(o.lines) > 1
}

// Head is the last event that this replica wrote; Seq 0 for none.
func (r *Replica) Head() event.Ref {
	if r.head == nil {
		return event.Ref{Replica: r.me.Replica}
	}
	return r.head.Ref()
}

// Own is the event that this replica wrote with a seq, or nil.
func (r *Replica) Own(seq uint64) *event.Event {
	o := r.log.origins[r.me.Replica]
	if r.head == nil || o == nil {
		return nil
	}
	line, _ := o.lineWith(r.head.Seq, r.head.Hash)
	for line >= 0 && seq < o.lines[line].from {
		line = o.lines[line].parent
	}
	if line < 0 {
		return nil
	}
	return o.lines[line].at(seq)
}

// Hello opens a conversation.
func (r *Replica) Hello(epoch [16]byte, heard Vector) Hello {
	return Hello{Protocol: Protocol, Session: r.me.Session, Vector: r.Vector(), Head: r.Head(), Epoch: epoch, Heard: heard}
}

// HoldBack keeps own events from a seq on out of Batch: those that the phone
// has not kept yet. 0 holds nothing back.
func (r *Replica) HoldBack(from uint64) { r.held = from }

// Batch returns events that a peer lacks, each after what it follows, up to the
// bounds of one frame, and takes them as held by the peer. Empty: nothing.
func (r *Replica) Batch(peer *Peer) *Packer {
	batch := new(Packer)
	for _, span := range r.Missing(peer) {
		line := r.log.origins[span.Replica].lines[span.Line]
		for seq := span.From; seq <= span.To; seq++ {
			if r.held > 0 && span.Replica == r.me.Replica && seq >= r.held {
				break
			}
			if !batch.Add(line.at(seq)) {
				return batch
			}
			peer.raise(strand{span.Replica, span.Line}, seq)
		}
	}
	return batch
}

// Mine is how many events this phone wrote, under this or earlier ids, and how
// many of them a peer lacks.
func (r *Replica) Mine(peer *Peer) (written, lacking int64) {
	r.log.doubt(peer)
	for id, o := range r.log.origins {
		if len(o.lines) == 0 || o.lines[0].events[0].Phone != r.me.Phone {
			continue
		}
		for i, line := range o.lines {
			n := int64(len(line.events))
			has := int64(peer.has[strand{id, i}]) - int64(line.from) + 1
			written += n
			lacking += n - min(max(has, 0), n)
		}
	}
	return written, lacking
}

// View is what screens draw, for this replica, at nowMs of the session's clock.
func (r *Replica) View(nowMs int64, links session.Links) session.View {
	return r.state.View(r.me.Replica, nowMs, links)
}

// State is for reading: queries, the sheet.
func (r *Replica) State() *session.State { return &r.state }
