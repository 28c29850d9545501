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

// Frame gathers the bodies of one Events message up to its bounds.
type Frame struct {
	Bodies [][]byte
	size   int
}

// The bytes that an events message adds to its bodies, at most.
const (
	frameOverhead = 16
	bodyOverhead  = 3
)

// Add takes one more body, or says false when the frame is full.
func (f *Frame) Add(body []byte) bool {
	grown := f.size + len(body) + bodyOverhead
	if len(f.Bodies) == MaxFrameEvents || grown+frameOverhead > MaxFrame {
		return false
	}
	f.Bodies, f.size = append(f.Bodies, body), grown
	return true
}

// Head is the last event of a replica; Seq 0 when it has none.
type Head struct {
	Replica event.ReplicaID
	Seq     uint64
	Hash    event.Hash
}

// Hello is the first message of a phone or wall.
type Hello struct {
	Protocol uint64
	Session  event.SessionID
	Vector   Vector
	Head     Head     // its own; Replica zero for a wall
	Epoch    [16]byte // the server database that it last spoke to, zero for none
}

// Welcome is the answer: what the server holds, what it remembers of the
// phone, and the bounds of a frame.
type Welcome struct {
	Epoch       [16]byte
	Vector      Vector
	YourHead    Head
	FrameBytes  uint64
	FrameEvents uint64
}

// Events carries bodies.
type Events struct{ Bodies [][]byte }

// Ack says that everything of these replicas up to these seqs is stored, and
// which events were refused.
type Ack struct {
	UpTo    []Span // From is 1
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
// which reads NowMs.
type LinksMessage struct {
	Links []LinkState
	NowMs int64
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

// Pong answers with the phone's own head.
type Pong struct{ Head Head }

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
	writeHead(w, 6, h.Head)
	w.Uint(7)
	w.Bytes(h.Epoch[:])
}

func (m Welcome) write(w *event.Writer) {
	start(w, typeWelcome, 6)
	w.Uint(2)
	w.Bytes(m.Epoch[:])
	writeVector(w, 4, m.Vector)
	writeHead(w, 6, m.YourHead)
	w.Uint(7)
	w.Uint(m.FrameBytes)
	w.Uint(8)
	w.Uint(m.FrameEvents)
}

func (m Events) write(w *event.Writer) {
	start(w, typeEvents, 1)
	w.Uint(2)
	w.Array(len(m.Bodies))
	for _, b := range m.Bodies {
		w.Bytes(b)
	}
}

func (m Ack) write(w *event.Writer) {
	start(w, typeAck, 2)
	w.Uint(2)
	w.Array(len(m.UpTo))
	for _, s := range m.UpTo {
		w.Array(2)
		w.Bytes(s.Replica[:])
		w.Uint(s.To)
	}
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
	start(w, typeLinks, 2)
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
}

func (Ping) write(w *event.Writer) { start(w, typePing, 0) }

func (m Pong) write(w *event.Writer) {
	start(w, typePong, 1)
	writeHead(w, 2, m.Head)
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

// writeVector writes two entries: highest seqs under key, holes under key + 1.
func writeVector(w *event.Writer, key uint64, v Vector) {
	w.Uint(key)
	w.Array(2 * len(v.Highest))
	for _, id := range v.replicas() {
		w.Bytes(id[:])
		w.Uint(v.Highest[id])
	}
	w.Uint(key + 1)
	w.Array(3 * len(v.Holes))
	for _, hole := range v.Holes {
		w.Bytes(hole.Replica[:])
		w.Uint(hole.From)
		w.Uint(hole.To)
	}
}

func writeHead(w *event.Writer, key uint64, h Head) {
	w.Uint(key)
	w.Array(3)
	w.Bytes(h.Replica[:])
	w.Uint(h.Seq)
	w.Bytes(h.Hash[:])
}
