package syncengine

import (
	"slices"

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
	me    Identity
	clock clock
	log   *log
	state session.State
	held  uint64 // own events from this seq on are not offered; 0 for none
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
// plan edit that names no edits to replace replaces those that stand here.
func (r *Replica) Record(fact event.Fact, late bool, now Now) (*event.Event, error) {
	if r.me.Replica == (event.ReplicaID{}) {
		return nil, fault.New(fault.Denied, "reads-only")
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
	if head := r.log.head(r.me.Replica); head != nil {
		e.Seq, e.Prev, e.Session, e.Phone = head.Seq+1, head.Hash, event.SessionID{}, event.PhoneID{}
	}
	e.Stamp = r.clock.tick(now.WallMs)
	if err := e.Seal(); err != nil {
		return nil, err
	}
	if _, err := r.log.insert(e, nil); err != nil {
		return nil, err
	}
	return e, r.state.Apply(e)
}

// supersede names the edits that a plan edit replaces, as many as one can; of
// more, the next edit replaces the rest.
func supersede(fact event.Fact, heads []event.Ref) {
	heads = heads[:min(len(heads), event.MaxSupersedes)]
	switch f := fact.(type) {
	case *event.Budget:
		if f.Supersedes == nil {
			f.Supersedes = heads
		}
	case *event.Yield:
		if f.Supersedes == nil {
			f.Supersedes = heads
		}
	case *event.Zone:
		if f.Supersedes == nil {
			f.Supersedes = heads
		}
	case *event.Region:
		if f.Supersedes == nil {
			f.Supersedes = heads
		}
	}
}

// Refusal is one received event that was not taken, and why.
type Refusal struct {
	Replica event.ReplicaID
	Seq     uint64
	Fault   *fault.Fault
}

// Receive takes events in that happened elsewhere, or here before a restart.
// fresh are those newly counted, in the order they were: what a server stores
// and then tells. Duplicates are in neither list.
func (r *Replica) Receive(events []*event.Event, now Now) (fresh []*event.Event, refused []Refusal) {
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

// Vector says what this replica holds.
func (r *Replica) Vector() Vector { return r.log.vector() }

// Missing lists what is held here and a peer with this vector lacks.
func (r *Replica) Missing(peer Vector) []Span { return r.log.missing(peer) }

// Event returns one linked event, or nil.
func (r *Replica) Event(id event.ReplicaID, seq uint64) *event.Event {
	o := r.log.origins[id]
	if o == nil || seq == 0 || seq > uint64(len(o.chain)) {
		return nil
	}
	return o.chain[seq-1]
}

// Head is the last event of a replica as (replica, seq, hash); seq 0 for none.
func (r *Replica) Head(id event.ReplicaID) Head {
	e := r.log.head(id)
	if e == nil {
		return Head{Replica: id}
	}
	return Head{id, e.Seq, e.Hash}
}

// Hello opens a conversation.
func (r *Replica) Hello(epoch [16]byte) Hello {
	return Hello{Protocol: Protocol, Session: r.me.Session, Vector: r.Vector(), Head: r.Head(r.me.Replica), Epoch: epoch}
}

// Meet compares a peer's memory of this replica with its own. A peer that
// knows more, or another history, says that this one goes on under an id that
// was used elsewhere: a restored or copied phone.
func (r *Replica) Meet(theirs Head) error {
	if theirs.Seq == 0 {
		return nil
	}
	mine := r.Event(r.me.Replica, theirs.Seq)
	if mine == nil || mine.Hash != theirs.Hash {
		return fault.New(fault.Conflict, "history-split").With("replica", r.me.Replica.String()).WithInt("seq", int64(theirs.Seq))
	}
	return nil
}

// HoldBack keeps own events from a seq on out of Batch: those that the phone
// has not kept yet. 0 holds nothing back.
func (r *Replica) HoldBack(from uint64) { r.held = from }

// Batch returns the bodies of what a peer lacks, oldest first per origin, up
// to the bounds of one frame, and raises the vector by them. Empty: nothing.
func (r *Replica) Batch(peer *Vector) [][]byte { return r.batch(peer, false) }

func (r *Replica) batch(peer *Vector, mine bool) [][]byte {
	var frame Frame
	for _, span := range r.Missing(*peer) {
		if mine && r.Event(span.Replica, 1).Phone != r.me.Phone {
			continue
		}
		if r.held > 0 && span.Replica == r.me.Replica {
			span.To = min(span.To, r.held-1)
		}
		for seq := span.From; seq <= span.To; seq++ {
			if !frame.Add(r.Event(span.Replica, seq).Body) {
				return frame.Bodies
			}
			peer.fill(span.Replica, seq)
		}
	}
	return frame.Bodies
}

// Mine lists the heads of the chains that this phone wrote, under this or
// earlier ids, in ascending order of the ids.
func (r *Replica) Mine() []Head {
	var out []Head
	for id, o := range r.log.origins {
		if len(o.chain) > 0 && o.chain[0].Phone == r.me.Phone {
			out = append(out, r.Head(id))
		}
	}
	slices.SortFunc(out, func(a, b Head) int {
		return event.CompareRef(event.Ref{Replica: a.Replica}, event.Ref{Replica: b.Replica})
	})
	return out
}

// BatchMine is Batch for the chains that this phone wrote.
func (r *Replica) BatchMine(peer *Vector) [][]byte { return r.batch(peer, true) }

// fill adds one event to the vector.
func (v *Vector) fill(replica event.ReplicaID, seq uint64) {
	if seq > v.Highest[replica] {
		if v.Highest == nil {
			v.Highest = make(map[event.ReplicaID]uint64)
		}
		v.Highest[replica] = seq
		return
	}
	for i, hole := range v.Holes {
		if hole.Replica != replica || seq != hole.From {
			continue
		}
		if v.Holes[i].From++; v.Holes[i].From > v.Holes[i].To {
			v.Holes = append(v.Holes[:i:i], v.Holes[i+1:]...)
		}
		return
	}
}

// View is what screens draw, for this replica, at nowMs of the session's clock.
func (r *Replica) View(nowMs int64, links session.Links) session.View {
	return r.state.View(r.me.Replica, nowMs, links)
}

// State is for reading: queries, the sheet.
func (r *Replica) State() *session.State { return &r.state }
