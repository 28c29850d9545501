package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
)

// Message is one frame between a phone, a wall and the server: a CBOR map with
// integer keys, key 1 its type. Unknown keys are passed over, and so is a
// message of an unknown type, so that versions can meet.
type Message interface{ write(w *event.Writer) }

// The types.
const (
	typeHello   = 1
	typeWelcome = 2
	typeEvents  = 3
	typeAck     = 4
	typeLinks   = 5
	typePing    = 6
	typePong    = 7
	typeTrouble = 8
)

// Hello is the first message of a phone or wall.
type Hello struct {
	Protocol uint64
	Session  event.SessionID
	Vector   Vector
	Head     event.Ref // the last event that it wrote, Seq 0 for none; Replica zero for a wall
	Epoch    [16]byte  // the server database that it last spoke to, zero for none
	Heard    Vector    // the newest that any server told it was stored
}

// Welcome is the answer: what the server holds, and the bounds of a frame.
type Welcome struct {
	Epoch       [16]byte
	Vector      Vector
	FrameBytes  uint64
	FrameEvents uint64
}

// Events carries events as a Packer's rows.
type Events struct{ Rows []byte }

// Unpack returns the events, decoded, in the order in which they were added. It
// fails on rows that are damaged or beyond their bounds, and then returns none.
func (m Events) Unpack() ([]*event.Event, error) {
	var out []*event.Event
	err := unpack(m.Rows, func(e *event.Event) error {
		out = append(out, e)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// Ack says that these events are stored, with all that they follow, and which
// events were refused.
type Ack struct {
	Stored  Vector
	Refused []Refusal
}

// LinkState is what the server says of one replica: when it last heard from it
// (ms, the session's clock) and whether it has everything that one wrote.
type LinkState struct {
	Replica       event.ReplicaID
	HeardMs       int64
	NothingUnsent bool
}

// LinksMessage tells everyone how fresh everyone is, by the server's clock,
// which reads NowMs, and what is stored.
type LinksMessage struct {
	Links  []LinkState
	NowMs  int64
	Stored Vector
}

// Heard is what a message says of each replica, by a clock that reads nowMs.
func (m LinksMessage) Heard(nowMs int64) session.Links {
	out := make(session.Links, len(m.Links))
	for _, l := range m.Links {
		out[l.Replica] = session.Link{HeardMs: l.HeardMs + nowMs - m.NowMs, NothingUnsent: l.NothingUnsent}
	}
	return out
}

// Ping asks for a Pong.
type Ping struct{}

// Pong answers with the last event that the phone wrote and what its clocks
// read: ms since 1970, and ms since the worker start that it names.
type Pong struct {
	Head    event.Ref
	Start   event.StartID
	WallMs  int64
	SinceMs uint64
}

// Trouble says in a code why the peer will hang up.
type Trouble struct{ Fault *fault.Fault }

// Unknown is a message of a type that this version does not know.
type Unknown struct{ Type uint64 }

// EncodeMessage returns the frame of a message.
func EncodeMessage(m Message) []byte {
	w := event.NewWriter(nil)
	m.write(w)
	return w.Out()
}

func start(w *event.Writer, kind uint64, entries int) {
	w.Map(1 + entries)
	w.Uint(1)
	w.Uint(kind)
}

func (h Hello) write(w *event.Writer) {
	start(w, typeHello, 6)
	w.Uint(2)
	w.Uint(h.Protocol)
	w.Uint(3)
	w.Bytes(h.Session[:])
	writeVector(w, 4, h.Vector)
	w.Uint(5)
	writeRef(w, h.Head)
	w.Uint(6)
	w.Bytes(h.Epoch[:])
	writeVector(w, 7, h.Heard)
}

func (m Welcome) write(w *event.Writer) {
	start(w, typeWelcome, 4)
	w.Uint(2)
	w.Bytes(m.Epoch[:])
	writeVector(w, 4, m.Vector)
	w.Uint(7)
	w.Uint(m.FrameBytes)
	w.Uint(8)
	w.Uint(m.FrameEvents)
}

func (m Events) write(w *event.Writer) {
	start(w, typeEvents, 1)
	w.Uint(2)
	w.Bytes(m.Rows)
}

func (m Ack) write(w *event.Writer) {
	start(w, typeAck, 2)
	writeVector(w, 2, m.Stored)
	w.Uint(3)
	w.Array(len(m.Refused))
	for _, one := range m.Refused {
		w.Array(5)
		w.Bytes(one.Replica[:])
		w.Uint(one.Seq)
		w.Uint(uint64(one.Fault.Kind))
		w.Text(string(one.Fault.Code))
		writeArgs(w, one.Fault)
	}
}

func (m LinksMessage) write(w *event.Writer) {
	start(w, typeLinks, 3)
	w.Uint(2)
	w.Array(len(m.Links))
	for _, l := range m.Links {
		w.Array(3)
		w.Bytes(l.Replica[:])
		w.Int(l.HeardMs)
		w.Bool(l.NothingUnsent)
	}
	w.Uint(3)
	w.Int(m.NowMs)
	writeVector(w, 4, m.Stored)
}

func (Ping) write(w *event.Writer) { start(w, typePing, 0) }

func (m Pong) write(w *event.Writer) {
	start(w, typePong, 4)
	w.Uint(2)
	writeRef(w, m.Head)
	w.Uint(3)
	w.Bytes(m.Start[:])
	w.Uint(4)
	w.Int(m.WallMs)
	w.Uint(5)
	w.Uint(m.SinceMs)
}

func (m Trouble) write(w *event.Writer) {
	start(w, typeTrouble, 3)
	w.Uint(2)
	w.Uint(uint64(m.Fault.Kind))
	w.Uint(3)
	w.Text(string(m.Fault.Code))
	w.Uint(4)
	writeArgs(w, m.Fault)
}

// writeArgs writes what a fault's sentence quotes: names and values by turns.
func writeArgs(w *event.Writer, f *fault.Fault) {
	w.Array(2 * len(f.Args))
	for _, a := range f.Args {
		w.Text(a.Name)
		w.Text(a.Value)
	}
}

func (m Unknown) write(w *event.Writer) { start(w, m.Type, 0) }

// writeVector writes a vector under a key: replica, seq and check by turns.
func writeVector(w *event.Writer, key uint64, v Vector) {
	w.Uint(key)
	w.Array(3 * len(v))
	for _, ref := range v {
		writeParts(w, ref)
	}
}

func writeRef(w *event.Writer, ref event.Ref) {
	w.Array(3)
	writeParts(w, ref)
}

func writeParts(w *event.Writer, ref event.Ref) {
	w.Bytes(ref.Replica[:])
	w.Uint(ref.Seq)
	w.Bytes(ref.Check[:])
}

// WriteVector returns a vector as bytes, for a phone to keep.
func WriteVector(v Vector) []byte {
	w := event.NewWriter(nil)
	w.Map(1)
	writeVector(w, 1, v)
	return w.Out()
}
