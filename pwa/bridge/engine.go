package bridge

import (
	"slices"

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

	up      bool              // the socket is open and the server has welcomed us
	server  syncengine.Peer   // what the server has or was sent on this connection
	stored  syncengine.Peer   // what the server said is stored
	epoch   [16]byte          // the server database that said so
	heard   syncengine.Vector // the newest that a server said is stored
	fresh   bool              // the worker was not told of it yet
	was     event.ReplicaID   // the id under which this phone counted before
	keeping []pending         // taps whose event is not kept yet, by seq
	memory  int64             // events that could not be kept
	unkept  uint64            // the first of them by seq
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
	in, err := readCall(call)
	var d Duties
	if err != nil {
		d.Answers = []Answer{{Tap: in.Tap, Fault: faultOf(err)}}
	} else {
		d = g.Do(in)
	}
	return d.encode()
}

// Do is Handle for a host that is written in Go.
func (g *Engine) Do(in Call) (d Duties) {
	if err := g.handle(in, &d); err != nil {
		d.Answers = append(d.Answers, Answer{Tap: in.Tap, Fault: faultOf(err)})
	}
	return d
}

// Replica is the engine's replica, for a host that looks at more than duties;
// nil before the first boot.
func (g *Engine) Replica() *syncengine.Replica { return g.replica }

func faultOf(err error) *fault.Fault {
	if f := fault.Of(err); f != nil {
		return f
	}
	return fault.New(fault.Unavailable, "internal")
}

func (g *Engine) handle(in Call, d *Duties) error {
	switch in.Type {
	case CallBoot:
		return g.boot(in, d)
	case CallArea: // what follows needs no session
		return g.area(in, d)
	case CallWanted:
		return g.wanted(in, d)
	case CallSetup:
		return g.draftSetup(in, d)
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
		return g.frame(in, d)
	case CallLink:
		g.link(in.Up, d)
	case CallKept, CallKeepFailed:
		g.kept(in.Seq, in.Type == CallKept, d)
	case CallTick:
		g.show(d)
	case CallCarryIn:
		return g.carryIn(in, d)
	case CallChances:
		return g.chances(in, d)
	case CallWeigh:
		return g.weigh(in, d)
	default:
		return g.ask(in, d)
	}
	return nil
}

// boot starts over from what the phone kept: its own events, then others'. What
// the server had stored is only for the words on the screen; the next welcome
// says it anew.
func (g *Engine) boot(in Call, d *Duties) error {
	*g = Engine{links: session.Links{}, replica: syncengine.New(syncengine.Identity{Session: in.Session, Replica: in.Replica, Phone: in.Phone, Start: in.Start}),
		realMs: in.RealMs, sinceMs: in.SinceMs}
	var events []*event.Event
	for _, body := range in.Bodies {
		e, err := event.Decode(body)
		if err != nil {
			continue // a torn record at the end of a crash; the server sends others' again
		}
		events = append(events, e)
	}
	_, refused := g.replica.Load(events, g.now())
	g.refused = int64(len(refused))
	g.heardMs, g.epoch, g.was = in.HeardMs, in.Epoch, in.Was
	if heard, ok := syncengine.ReadVector(in.Heard); ok {
		g.heard = heard
		g.stored = g.replica.Know(heard, nobody)
	}
	g.mint(d)
	g.show(d)
	return nil
}

// mint has the phone go on under a new id when a copy of it uses this one.
func (g *Engine) mint(d *Duties) {
	if g.replica.Cloned() {
		d.Mint = true
		d.Trouble = fault.New(fault.Conflict, "history-split")
	}
}

func nobody(event.ReplicaID) bool { return false }

// mine are the replicas that this phone wrote under.
func (g *Engine) mine(id event.ReplicaID) bool {
	first := g.replica.First(id)
	return first != nil && first.Phone == g.replica.Me().Phone
}

// others are those that some other phone wrote under: of those a server may
// well hold more than is here.
func (g *Engine) others(id event.ReplicaID) bool { return !g.mine(id) }

// now is the session's clock: real, or what a practice session fixed.
func (g *Engine) now() syncengine.Now {
	if p, ok := g.replica.State().Practice(); ok {
		return syncengine.Now{WallMs: p.Now(g.realMs), SinceMs: g.sinceMs * uint64(p.Speed)}
	}
	return syncengine.Now{WallMs: g.realMs, SinceMs: g.sinceMs}
}

func (g *Engine) tap(in Call, d *Duties) error {
	fact := event.DecodeFact(in.Kind, in.Fact)
	if joined, ok := fact.(*event.Joined); ok && g.replica.Head().Seq == 0 {
		joined.Was = g.was
	}
	e, err := g.replica.Record(fact, in.Late, g.now())
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
			if g.memory == 0 {
				g.unkept = one.seq
			}
			g.memory++
		}
		d.Answers = append(d.Answers, Answer{Tap: one.tap, Ref: g.replica.Own(one.seq).Ref()})
	}
	g.replica.HoldBack(0)
	if len(g.keeping) > 0 {
		g.replica.HoldBack(g.keeping[0].seq)
	}
	g.offer(d)
	g.show(d)
}

// offer sends what the server lacks, whoever wrote it: a server that lost its
// disk is refilled by whatever phones hold.
func (g *Engine) offer(d *Duties) {
	if !g.up || g.replica.Me().Replica == (event.ReplicaID{}) {
		return
	}
	for batch := g.replica.Batch(&g.server); batch.Len() > 0; batch = g.replica.Batch(&g.server) {
		d.Send = append(d.Send, syncengine.EncodeMessage(batch.Message()))
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
	v.Session.ID = g.replica.Me().Session.String()
	d.Show = append(d.Show, g.sections.Changed(&v)...)
	d.Steps = g.steps(v.Own.Last)
}

// steps says how far each own entry has come.
func (g *Engine) steps(entries []session.Entry) []Step {
	out := make([]Step, 0, len(entries))
	for _, e := range entries {
		step := OnPhone
		switch {
		case g.replica.Holds(g.stored, e.Ref):
			step = InRoom
		case g.memory > 0 && e.Ref.Seq >= g.unkept:
			step = InMemory
		}
		out = append(out, step)
	}
	return out
}

func (g *Engine) link(up bool, d *Duties) {
	g.up = false
	if up {
		d.Send = append(d.Send, syncengine.EncodeMessage(g.replica.Hello(g.epoch, g.heard)))
	}
	g.show(d)
}

// frame takes one message of the server in.
func (g *Engine) frame(in Call, d *Duties) error {
	message, err := syncengine.DecodeMessage(in.Frame)
	if err != nil {
		return err
	}
	g.heardMs = g.realMs
	switch m := message.(type) {
	case syncengine.Welcome:
		g.welcome(m, d)
	case syncengine.Events:
		g.receive(m, d)
		g.offer(d) // where a second history shows that the server lacks ours
	case syncengine.Ack:
		for _, ref := range m.Stored {
			g.replica.Raise(&g.stored, ref)
			g.heard, g.fresh = g.replica.With(g.heard, ref), true
		}
		for _, one := range m.Refused {
			if g.mine(one.Replica) { // of what others wrote the room may take less from here
				g.refused++
			}
		}
	case syncengine.LinksMessage:
		g.heard, g.fresh = m.Stored, true
		g.links = m.Heard(g.now().WallMs)
	case syncengine.Ping:
		d.Send = append(d.Send, syncengine.EncodeMessage(g.pong()))
	case syncengine.Trouble:
		d.Trouble = m.Fault
	}
	g.mint(d)
	_, awaited := message.(syncengine.Ack) // by whoever counted; the page draws it along
	if !in.Quiet || awaited {
		g.show(d)
	}
	return nil
}

// welcome begins a conversation: what is stored is what this server says now,
// whatever it, or another one, said before.
func (g *Engine) welcome(m syncengine.Welcome, d *Duties) {
	if g.replica.Me().Replica == (event.ReplicaID{}) {
		// A wall mirrors the room: with more than the room has, it starts over.
		room := g.replica.Know(m.Vector, nobody)
		d.Mint = len(g.replica.Missing(&room)) > 0
	}
	g.replica.Meet(m.Vector)
	g.server = g.replica.Know(m.Vector, g.others)
	g.stored = g.replica.Know(m.Vector, nobody)
	g.epoch, g.up = m.Epoch, true
	g.heard, g.fresh = m.Vector, true
	g.offer(d)
}

func (g *Engine) pong() syncengine.Pong {
	now := g.now()
	return syncengine.Pong{Head: g.replica.Head(), Start: g.replica.Me().Start, WallMs: now.WallMs, SinceMs: now.SinceMs}
}

// carryIn takes in what another phone could not bring itself, and offers it.
// Carried twice, it changes nothing.
func (g *Engine) carryIn(in Call, d *Duties) error {
	events, err := g.replica.Unpack(in.File)
	if err != nil {
		return err
	}
	var fresh []*event.Event // those too that wait for others before them
	for _, e := range events {
		if !g.replica.Has(e) {
			fresh = append(fresh, e)
			d.Others = append(d.Others, e.Body)
		}
	}
	d.Carried = int64(len(fresh))
	_, refused := g.replica.Receive(events, g.now())
	for _, e := range fresh {
		if person := g.replica.State().Person(e.Replica, e.Stamp); person != "" && !slices.Contains(d.From, person) {
			d.From = append(d.From, person)
		}
	}
	g.offer(d)
	g.mint(d)
	g.show(d)
	if len(refused) > 0 {
		return refused[0].Fault
	}
	d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	return nil
}

// receive folds others' events, and has the phone keep them as they came, so
// that a start without network shows the last room total. One that can not be
// taken, or a message that can not be unpacked, is told and passed over.
func (g *Engine) receive(m syncengine.Events, d *Duties) {
	events, err := m.Unpack()
	if err != nil {
		d.Trouble = faultOf(err)
		return
	}
	fresh, refused := g.replica.Receive(events, g.now())
	for _, e := range fresh {
		d.Others = append(d.Others, e.Body)
	}
	for _, e := range events { // and not all of fresh: what waited here for these the server may lack
		g.replica.Raise(&g.server, e.Ref())
		g.replica.Raise(&g.stored, e.Ref())
	}
	if len(refused) > 0 {
		d.Trouble = refused[0].Fault
	}
}
