package hub

import (
	"context"
	"io"
	"sync"

	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/syncengine"
)

// Conn is one phone or wall in a room. One goroutine hands it the frames that
// came in (Receive), another takes the frames to send (Next).
type Conn struct {
	room    *Room
	id      uint64
	replica event.ReplicaID // zero for a wall
	peer    syncengine.Vector
	known   int           // items of the feed below this may be in peer
	at      int           // next item of the feed
	wake    chan struct{} // holds at most one nudge

	mu      sync.Mutex // the small lane: never dropped, and bounded
	welcome []byte
	trouble []byte // the last frame
	over    bool
	ack     syncengine.Ack
	links   []byte
	ping    bool
}

// Join greets a peer: it checks the hello, and answers with a connection whose
// first frame is the welcome. replica is whom the peer's token names, zero for
// a wall, which only reads.
func (r *Room) Join(ctx context.Context, hello syncengine.Hello, replica event.ReplicaID) (*Conn, error) {
	switch {
	case hello.Protocol != syncengine.Protocol:
		return nil, fault.New(fault.Invalid, "protocol-version").WithInt("got", int64(hello.Protocol)).WithInt("want", syncengine.Protocol)
	case hello.Session != r.row.ID:
		return nil, fault.New(fault.Denied, "other-session")
	case hello.Head.Replica != replica:
		return nil, fault.New(fault.Denied, "other-replica")
	}
	c := &Conn{room: r, replica: replica, peer: hello.Vector, wake: make(chan struct{}, 1)}
	done := make(chan struct{})
	err := r.send(ctx, input{errand: func() {
		defer close(done)
		r.lastID++
		c.id = r.lastID
		r.conns[c.id] = c
		c.known = len(r.feed.all())
		r.heard(replica, hello.Head.Seq)
		c.welcome = syncengine.EncodeMessage(syncengine.Welcome{Epoch: r.hub.store.Server().Epoch, Vector: r.replica.Vector(),
			YourHead: r.replica.Head(replica), FrameBytes: syncengine.MaxFrame, FrameEvents: syncengine.MaxFrameEvents})
		r.tellLinks(false)
	}})
	if err != nil {
		return nil, err
	}
	select {
	case <-done:
		return c, nil
	case <-r.gone:
		return nil, fault.New(fault.Unavailable, "stopping")
	}
}

// Leave ends the connection.
func (c *Conn) Leave() {
	errand := func() {
		delete(c.room.conns, c.id)
		c.room.tellLinks(false)
	}
	select {
	case c.room.inbox <- input{errand: errand}:
	case <-c.room.gone:
	}
}

// Receive takes one frame in. An error ends the conversation; nothing that was
// stored or kept by the peer is lost by it. It blocks while the room is busy.
func (c *Conn) Receive(ctx context.Context, frame []byte) error {
	message, err := syncengine.DecodeMessage(frame)
	if err != nil {
		return err
	}
	switch m := message.(type) {
	case syncengine.Events:
		if c.replica == (event.ReplicaID{}) {
			return fault.New(fault.Denied, "reads-only")
		}
		return c.receiveEvents(ctx, m)
	case syncengine.Pong:
		return c.room.send(ctx, input{errand: func() {
			if m.Head.Replica == c.replica {
				c.room.heard(c.replica, m.Head.Seq)
			}
		}})
	}
	return nil
}

// receiveEvents decodes on the connection's own goroutine. A body that is no
// event ends the conversation: what follows it could not link anyway.
func (c *Conn) receiveEvents(ctx context.Context, m syncengine.Events) error {
	events := make([]*event.Event, 0, len(m.Bodies))
	for _, body := range m.Bodies {
		e, err := event.Decode(body)
		if err != nil {
			c.room.hub.log.Warn("bytes that are no event", "session", c.room.row.ID.String(), "replica", c.replica.String(), "error", err)
			return fault.New(fault.Damaged, "event-damaged")
		}
		events = append(events, e)
	}
	if len(events) == 0 {
		return nil
	}
	return c.room.send(ctx, input{from: c, events: events})
}

// Next returns the next frame to send, waiting for one: small frames first,
// then what the peer lacks, frame by frame. It fails when the room is gone, and
// with io.EOF after Trouble.
func (c *Conn) Next(ctx context.Context) ([]byte, error) {
	for {
		if frame, over := c.nextSmall(); over {
			return nil, io.EOF
		} else if frame != nil {
			return frame, nil
		}
		if bodies := c.nextBodies(); len(bodies) > 0 {
			return syncengine.EncodeMessage(syncengine.Events{Bodies: bodies}), nil
		}
		select {
		case <-c.wake:
		case <-c.room.gone:
			return nil, fault.New(fault.Unavailable, "stopping")
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

func (c *Conn) nextSmall() (frame []byte, over bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case c.over:
		return nil, true
	case c.welcome != nil:
		frame, c.welcome = c.welcome, nil
	case len(c.ack.UpTo)+len(c.ack.Refused) > 0:
		frame, c.ack = syncengine.EncodeMessage(c.ack), syncengine.Ack{}
	case c.trouble != nil:
		frame, c.over = c.trouble, true
	case c.links != nil:
		frame, c.links = c.links, nil
	case c.ping:
		frame, c.ping = syncengine.EncodeMessage(syncengine.Ping{}), false
	}
	return frame, false
}

// Trouble tells the peer in a code why the conversation ends; Next then ends.
func (c *Conn) Trouble(f *fault.Fault) {
	c.mu.Lock()
	c.trouble = syncengine.EncodeMessage(syncengine.Trouble{Fault: f})
	c.mu.Unlock()
	c.nudge()
}

func (c *Conn) nextBodies() [][]byte {
	items := c.room.feed.all()
	var frame syncengine.Frame
	for ; c.at < len(items); c.at++ {
		it := items[c.at]
		if it.from == c.id || c.at < c.known && c.peer.Has(it.replica, it.seq) {
			continue
		}
		if !frame.Add(it.body) {
			break
		}
	}
	return frame.Bodies
}

func (c *Conn) nudge() {
	select {
	case c.wake <- struct{}{}:
	default:
	}
}

// maxRefused bounds the refusals that wait to be told; a peer that earns more
// hears of the rest when it offers them again.
const maxRefused = 1000

// acknowledge adds to what the peer will be told; the newest seq of a replica
// stands for all before it.
func (c *Conn) acknowledge(ack syncengine.Ack) {
	c.mu.Lock()
	for _, s := range ack.UpTo {
		known := false
		for i := range c.ack.UpTo {
			if c.ack.UpTo[i].Replica == s.Replica {
				c.ack.UpTo[i].To, known = max(c.ack.UpTo[i].To, s.To), true
			}
		}
		if !known {
			c.ack.UpTo = append(c.ack.UpTo, s)
		}
	}
	if room := maxRefused - len(c.ack.Refused); room > 0 {
		c.ack.Refused = append(c.ack.Refused, ack.Refused[:min(room, len(ack.Refused))]...)
	}
	c.mu.Unlock()
	c.nudge()
}

func (c *Conn) tell(links []byte, ping bool) {
	c.mu.Lock()
	c.links = links
	c.ping = c.ping || ping
	c.mu.Unlock()
	c.nudge()
}
