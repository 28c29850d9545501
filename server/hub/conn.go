package hub

import (
	"context"
	"io"
	"maps"
	"slices"
	"sync"
	"time"

	"golang.org/x/time/rate"

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
	peer    syncengine.Peer
	known   int           // items of the feed below this may be in peer
	at      int           // next item of the feed
	pace    *rate.Limiter // of its small frames of events, nil for a wall
	wake    chan struct{} // holds at most one nudge
	entered chan struct{} // closed when the room has it

	mu      sync.Mutex // the small lane: never dropped, and bounded
	welcome []byte
	trouble []byte // the last frame
	over    bool
	stored  lastOf // not acknowledged yet
	refused []syncengine.Refusal
	links   []byte
	ping    bool
	pinged  time.Time // when the ping that is not answered yet went out
}

// Replica is whom the connection speaks for, zero for a wall.
func (c *Conn) Replica() event.ReplicaID { return c.replica }

// Join greets a peer: it checks the hello, and answers with a connection whose
// first frame is the welcome. replica is whom the peer's token names, zero for
// a wall, which only reads.
func (r *Room) Join(ctx context.Context, hello syncengine.Hello, replica event.ReplicaID) (*Conn, error) {
	c, err := r.Enter(ctx, hello, replica)
	if err != nil {
		return nil, err
	}
	select {
	case <-c.entered:
		return c, nil
	case <-r.gone:
		return nil, fault.New(fault.Unavailable, "stopping")
	}
}

// Enter is Join without waiting for the room to do it.
func (r *Room) Enter(ctx context.Context, hello syncengine.Hello, replica event.ReplicaID) (*Conn, error) {
	switch {
	case hello.Protocol != syncengine.Protocol:
		return nil, fault.New(fault.Invalid, "protocol-version").WithInt("got", int64(hello.Protocol)).WithInt("want", syncengine.Protocol)
	case hello.Session != r.row.ID:
		return nil, fault.New(fault.Denied, "other-session")
	case hello.Head.Replica != replica:
		return nil, fault.New(fault.Denied, "other-replica")
	}
	c := &Conn{room: r, replica: replica, wake: make(chan struct{}, 1), entered: make(chan struct{})}
	if replica != (event.ReplicaID{}) {
		c.pace = rate.NewLimiter(rate.Every(crowdEvery), crowdAtOnce)
	}
	return c, r.send(ctx, input{errand: func() error {
		defer close(c.entered)
		if err := r.note(ctx, hello); err != nil {
			return err
		}
		r.lastID++
		c.id = r.lastID
		r.conns[c.id] = c
		c.known = len(r.feed.all())
		c.peer = r.replica.Know(hello.Vector, func(id event.ReplicaID) bool { return id == replica })
		r.heard(replica, hello.Head)
		c.welcome = syncengine.EncodeMessage(syncengine.Welcome{Epoch: r.hub.store.Server().Epoch, Vector: r.replica.Vector(),
			FrameBytes: syncengine.MaxFrame, FrameEvents: syncengine.MaxFrameEvents})
		r.linksSoon()
		return nil
	}})
}

// Leave ends the connection.
func (c *Conn) Leave() {
	errand := func() error {
		delete(c.room.conns, c.id)
		c.room.linksSoon()
		return nil
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
		return c.room.send(ctx, input{errand: func() error {
			if m.Head.Replica != c.replica || c.replica == (event.ReplicaID{}) {
				return nil
			}
			c.room.heard(c.replica, m.Head)
			if !c.promptly() {
				return nil // what took so long says nothing about a clock
			}
			return c.room.measure(ctx, c.replica, m)
		}})
	}
	return nil
}

// receiveEvents unpacks on the connection's own goroutine. Rows that are damaged
// end the conversation: what follows them could not link anyway.
func (c *Conn) receiveEvents(ctx context.Context, m syncengine.Events) error {
	events, err := m.Unpack()
	if err != nil || len(events) == 0 {
		return err
	}
	return c.room.send(ctx, input{from: c, events: events})
}

// A phone hears what comes now and then at once. What a crowd counts it hears 25
// times a second, many events a frame: each frame wakes it, and it draws a crowd
// slower than that. A wall hears of every commit.
const (
	crowdEvery  = 40 * time.Millisecond
	crowdAtOnce = 8 // frames in a row, before it is a crowd
)

// Next returns the next frame to send, waiting for one: small frames first,
// then what the peer lacks, frame by frame, at the pace of the peer. It fails
// when the room is gone, and with io.EOF after Trouble or when the room hangs up.
func (c *Conn) Next(ctx context.Context) ([]byte, error) {
	for {
		if frame, err := c.nextSmall(); frame != nil || err != nil {
			return frame, err
		}
		var due <-chan time.Time
		if lacks := c.lacks(); lacks > 0 {
			wait := c.wait(lacks)
			if wait == 0 {
				return c.nextEvents(), nil
			}
			due = time.After(wait)
		}
		select {
		case <-due:
		case <-c.wake:
		case <-c.room.gone:
			return nil, fault.New(fault.Unavailable, "stopping")
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// wait is how long the next frame of so many events waits for more to join it.
func (c *Conn) wait(events int) time.Duration {
	if c.pace == nil || events >= syncengine.MaxFrameEvents {
		return 0
	}
	now := time.Now()
	turn := c.pace.ReserveN(now, 1)
	wait := turn.DelayFrom(now)
	if wait > 0 {
		turn.CancelAt(now) // it is asked again by then
	}
	return wait
}

// TryNext is Next without waiting, nor for a pace: nil when there is nothing to send now.
func (c *Conn) TryNext() ([]byte, error) {
	if frame, err := c.nextSmall(); frame != nil || err != nil {
		return frame, err
	}
	return c.nextEvents(), nil
}

// nextSmall is the next frame of what is not events, nil for none; io.EOF after the last.
func (c *Conn) nextSmall() (frame []byte, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case c.over:
		return nil, io.EOF
	case c.welcome != nil:
		frame, c.welcome = c.welcome, nil
	case len(c.stored)+len(c.refused) > 0:
		frame = syncengine.EncodeMessage(syncengine.Ack{Stored: c.stored.vector(), Refused: c.refused})
		c.stored, c.refused = nil, nil
	case c.trouble != nil:
		frame, c.over = c.trouble, true
	case c.links != nil:
		frame, c.links = c.links, nil
	case c.ping:
		frame, c.ping, c.pinged = syncengine.EncodeMessage(syncengine.Ping{}), false, c.room.hub.clock()
	}
	return frame, nil
}

// end has Next end at once: what was not told yet is told to the peer when it
// comes back.
func (c *Conn) end() {
	c.mu.Lock()
	c.over = true
	c.mu.Unlock()
	c.nudge()
}

// promptly says whether an answer to a ping came within the time by which a
// clock may be off; each ping is answered once.
func (c *Conn) promptly() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	took := c.room.hub.clock().Sub(c.pinged)
	asked := !c.pinged.IsZero()
	c.pinged = time.Time{}
	return asked && took <= clockOffMs*time.Millisecond
}

// Trouble tells the peer in a code why the conversation ends; Next then ends.
func (c *Conn) Trouble(f *fault.Fault) {
	c.mu.Lock()
	c.trouble = syncengine.EncodeMessage(syncengine.Trouble{Fault: f})
	c.mu.Unlock()
	c.nudge()
}

// lacks passes over what the peer has, and is how many events it may lack from there on.
func (c *Conn) lacks() int {
	items := c.room.feed.all()
	for c.at < len(items) && c.has(c.at, items[c.at]) {
		c.at++
	}
	return len(items) - c.at
}

// nextEvents is the next frame of events that the peer lacks, nil for none. A
// peer that lacks all that comes next gets the frame that others get too.
func (c *Conn) nextEvents() []byte {
	if c.lacks() == 0 {
		return nil
	}
	items := c.room.feed.all()
	if c.lacksAll(items) {
		frame, n := c.room.feed.frame(items, c.at)
		c.at += n
		return frame
	}
	var batch syncengine.Packer
	for ; c.at < len(items); c.at++ {
		if it := items[c.at]; !c.has(c.at, it) && !batch.Add(it.event) {
			break
		}
	}
	return syncengine.EncodeMessage(batch.Message())
}

// has says whether the peer has, or brought, what is in the feed at a place.
func (c *Conn) has(at int, it item) bool {
	return it.from == c.id || at < c.known && c.peer.Has(it.place)
}

// lacksAll says whether the peer has none of what the next frame may hold.
func (c *Conn) lacksAll(items []item) bool {
	for at := c.at; at < min(len(items), c.at+syncengine.MaxFrameEvents); at++ {
		if c.has(at, items[at]) {
			return false
		}
	}
	return true
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

// lastOf is the last event of some lines, by their places without a seq: of
// each line one, so that a peer that does not read costs no more.
type lastOf map[syncengine.Place]event.Ref

func (l lastOf) raise(at syncengine.Place, ref event.Ref) {
	at.Seq = 0
	if l[at].Seq < ref.Seq {
		l[at] = ref
	}
}

func (l lastOf) vector() syncengine.Vector {
	return slices.SortedFunc(maps.Values(l), event.CompareRef)
}

// acknowledge adds to what the peer will be told.
func (c *Conn) acknowledge(stored lastOf, refused []syncengine.Refusal) {
	c.mu.Lock()
	if c.stored == nil {
		c.stored = make(lastOf, len(stored))
	}
	for at, ref := range stored {
		c.stored.raise(at, ref)
	}
	if room := maxRefused - len(c.refused); room > 0 {
		c.refused = append(c.refused, refused[:min(room, len(refused))]...)
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
