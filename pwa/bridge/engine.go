package bridge

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

// Engine is the engine of one phone, wall or office as its worker drives it:
// one call in, the duties that follow out. A tap's show and send wait until the
// worker says that its event is kept.
type Engine struct {
	replica  *syncengine.Replica
	sections Sections

	up      bool                       // the socket is open and the server has welcomed us
	server  syncengine.Vector          // what the server has or was sent on this connection
	stored  map[event.ReplicaID]uint64 // own events that the server has stored, by the id they were written under
	keeping []pending                  // taps whose event is not kept yet, by seq
	memory  int64                      // events that could not be kept
	links   session.Links
	heardMs int64 // when the server last spoke, real clock
	realMs  int64
	sinceMs uint64
	refused int64
}

// pending is a tap that waits for its event to be kept.
type pending struct {
	seq uint64
	tap uint64
}

// Handle carries one call out. A call that can not be read is answered with a
// fault and changes nothing.
func (g *Engine) Handle(call []byte) []byte {
	var d Duties
	in, err := readCall(call)
	if err == nil {
		err = g.handle(in, &d)
	}
	if err != nil {
		d.Answers = append(d.Answers, Answer{Tap: in.Tap, Fault: faultOf(err)})
	}
	return d.encode()
}

func faultOf(err error) *fault.Fault {
	if f := fault.Of(err); f != nil {
		return f
	}
	return fault.New(fault.Unavailable, "internal")
}

func (g *Engine) handle(in Call, d *Duties) error {
	if in.Type == CallBoot {
		return g.boot(in, d)
	}
	if g.replica == nil {
		return fault.New(fault.Invalid, "not-booted")
	}
	if in.RealMs != 0 {
		g.realMs, g.sinceMs = in.RealMs, in.SinceMs
	}
	switch in.Type {
	case CallTap:
		return g.tap(in, d)
	case CallFrame:
		return g.frame(in.Frame, d)
	case CallLink:
		g.link(in.Up, d)
	case CallKept, CallKeepFailed:
		g.kept(in.Seq, in.Type == CallKept, d)
	case CallTick:
		g.show(d)
	case CallQuery:
		d.Entries = g.replica.State().LastEntries(g.replica.Me().Replica, int(min(in.Seq, maxEntries)))
		d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	default:
		return fault.New(fault.Invalid, "call-unknown")
	}
	return nil
}

// maxEntries is how many own entries a query returns at most.
const maxEntries = 200

// boot starts over from what the phone kept: its own events, then others'. What
// the server had stored is only for the words on the screen; the next welcome
// says it anew.
func (g *Engine) boot(in Call, d *Duties) error {
	*g = Engine{stored: make(map[event.ReplicaID]uint64), links: session.Links{}, replica: syncengine.New(syncengine.Identity{Session: in.Session, Replica: in.Replica, Phone: in.Phone, Start: in.Start}),
		realMs: in.RealMs, sinceMs: in.SinceMs}
	var events []*event.Event
	for _, body := range in.Bodies {
		e, err := event.Decode(body)
		if err != nil {
			continue // a torn record at the end of a crash; the server sends others' again
		}
		events = append(events, e)
	}
	_, refused := g.replica.Receive(events, g.now())
	g.refused = int64(len(refused))
	g.stored[in.Replica], g.heardMs = min(in.Stored, g.replica.Head(in.Replica).Seq), in.HeardMs
	g.show(d)
	return nil
}

// now is the session's clock: real, or what a practice session fixed.
func (g *Engine) now() syncengine.Now {
	if p, ok := g.replica.State().Practice(); ok {
		return syncengine.Now{WallMs: p.Now(g.realMs), SinceMs: g.sinceMs * uint64(p.Speed)}
	}
	return syncengine.Now{WallMs: g.realMs, SinceMs: g.sinceMs}
}

func (g *Engine) tap(in Call, d *Duties) error {
	e, err := g.replica.Record(event.DecodeFact(in.Kind, in.Fact), in.Late, g.now())
	if err != nil {
		return err
	}
	g.keeping = append(g.keeping, pending{e.Seq, in.Tap})
	g.replica.HoldBack(g.keeping[0].seq)
	d.Keep = append(d.Keep, Kept{e.Seq, e.Body})
	return nil
}

// kept lets go of every tap up to seq: shown, answered, and sent. What is kept
// up to seq includes what could not be kept before.
func (g *Engine) kept(seq uint64, ok bool, d *Duties) {
	if ok {
		g.memory = 0
	}
	for len(g.keeping) > 0 && g.keeping[0].seq <= seq {
		one := g.keeping[0]
		g.keeping = g.keeping[1:]
		if !ok {
			g.memory++
		}
		d.Answers = append(d.Answers, Answer{Tap: one.tap, Ref: g.replica.Event(g.replica.Me().Replica, one.seq).Ref()})
	}
	g.replica.HoldBack(0)
	if len(g.keeping) > 0 {
		g.replica.HoldBack(g.keeping[0].seq)
	}
	g.offer(d)
	g.show(d)
}

// offer sends what the server lacks.
func (g *Engine) offer(d *Duties) {
	if !g.up || g.replica.Me().Replica == (event.ReplicaID{}) {
		return
	}
	for bodies := g.replica.BatchMine(&g.server); len(bodies) > 0; bodies = g.replica.BatchMine(&g.server) {
		d.Send = append(d.Send, syncengine.EncodeMessage(syncengine.Events{Bodies: bodies}))
	}
}

// wakeMs is how long what is shown may stand without a call: the server tells
// links as often.
const wakeMs = 5_000

// show adds the sections that changed, unless a tap is still being kept: the
// number on the screen is a number that survives.
func (g *Engine) show(d *Duties) {
	d.truth(g)
	d.WakeAt = g.realMs + wakeMs
	if len(g.keeping) > 0 {
		return
	}
	v := g.replica.View(g.now().WallMs, g.links)
	d.Show = append(d.Show, g.sections.Changed(&v)...)
}

func (g *Engine) link(up bool, d *Duties) {
	g.up = false
	if up {
		d.Send = append(d.Send, syncengine.EncodeMessage(g.replica.Hello([16]byte{})))
	}
	g.show(d)
}

// frame takes one message of the server in.
func (g *Engine) frame(frame []byte, d *Duties) error {
	message, err := syncengine.DecodeMessage(frame)
	if err != nil {
		return err
	}
	g.heardMs = g.realMs
	me := g.replica.Me().Replica
	switch m := message.(type) {
	case syncengine.Welcome:
		if err := g.replica.Meet(m.YourHead); err != nil {
			d.Mint = true
			return err
		}
		g.up, g.server = true, m.Vector
		for _, head := range g.replica.Mine() {
			g.stored[head.Replica] = m.Vector.UpTo(head.Replica)
		}
		g.offer(d)
	case syncengine.Events:
		g.receive(m.Bodies, d)
	case syncengine.Ack:
		for _, s := range m.UpTo {
			g.stored[s.Replica] = max(g.stored[s.Replica], s.To)
		}
		g.refused += int64(len(m.Refused))
	case syncengine.LinksMessage:
		g.links = m.Heard(g.now().WallMs)
	case syncengine.Ping:
		d.Send = append(d.Send, syncengine.EncodeMessage(syncengine.Pong{Head: g.replica.Head(me)}))
	case syncengine.Trouble:
		d.Trouble = m.Fault
	}
	g.show(d)
	return nil
}

// receive folds others' events, and has the phone keep them as they came, so
// that a start without network shows the last room total. One that can not be
// taken is told and passed over.
func (g *Engine) receive(bodies [][]byte, d *Duties) {
	events := make([]*event.Event, 0, len(bodies))
	for _, body := range bodies {
		e, err := event.Decode(body)
		if err != nil {
			d.Trouble = faultOf(err)
			continue
		}
		events = append(events, e)
	}
	fresh, refused := g.replica.Receive(events, g.now())
	for _, e := range fresh {
		g.server.Raise(e.Replica, e.Seq)
		d.Others = append(d.Others, e.Body)
	}
	if len(refused) > 0 {
		d.Trouble = refused[0].Fault
	}
}
