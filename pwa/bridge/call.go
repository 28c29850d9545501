package bridge

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/session"
	"rootledger/syncengine"
)

// CallType is what a worker asks of the engine.
type CallType uint64

// The calls.
const (
	CallBoot       CallType = iota + 1
	CallTap                 // a fact happened here
	CallFrame               // a message of the server came
	CallLink                // the socket opened or closed
	CallKept                // own events up to Seq are on disk
	CallKeepFailed          // own events up to Seq could not be kept
	CallTick                // time passed
	CallQuery               // the newest Seq entries of Replica, zero for own ones, undone ones included
	CallHandOut             // what the room does not have, as a file for another phone to carry
	CallCarryIn             // such a file of another phone
	CallBehind              // where the figure Of comes from, of At and Size, and its newest Seq entries
	CallArea                // the area of a rectangle, an ellipse or an outline
	CallWanted              // the grafts, and their density, that bring a share of the native hairs
	CallSetup               // what follows from the set-up Fact that nobody recorded
	CallCompare             // what the arms of the trial At gave, or of no trial all set-ups; Seq 1: with the figures of the office
	CallChances             // what the setting Fact of the watch leads to, recorded or not
	CallChart               // the cut attempts of the pass At, in groups
	CallWeigh               // why a fact is asked about before it is kept, and what it would do
	CallContinued           // what another day of this case starts from
)

// Call is one call: a CBOR map, key 1 its type. Unknown keys are passed over.
type Call struct {
	Type    CallType
	Tap     uint64 // the worker's own number for what it asks
	RealMs  int64  // real clock, ms since 1970
	SinceMs uint64 // ms since the worker started
	Session event.SessionID
	Replica event.ReplicaID
	Phone   event.PhoneID
	Start   event.StartID
	Bodies  [][]byte
	Kind    event.Kind
	Fact    []byte // the fact's map
	Late    bool
	Frame   []byte
	Up      bool
	Seq     uint64
	HeardMs int64  // when the phone last heard from a server, real clock
	Heard   []byte // the vector that it then said is stored
	Epoch   [16]byte
	Was     event.ReplicaID // the id under which this phone counted before, zero for none
	File    []byte
	Of      session.Figure
	At      event.Ref
	Size    event.Size
	Shape   Shape
	Quiet   bool    // show nothing of a frame: a later call shows what it brought
	Wanted  []int64 // area in mm², native hairs/cm² × 10, share wanted in per mille, hairs per graft × 100
}

func readCall(call []byte) (in Call, err error) {
	r := event.NewReader(call)
	left := r.Map()
	for range left {
		key := r.Uint()
		in.read(r, key)
	}
	if r.Close() != nil {
		return in, fault.New(fault.Damaged, "call-damaged")
	}
	return in, nil
}

func (in *Call) read(r *event.Reader, key uint64) {
	switch key {
	case 1:
		in.Type = CallType(r.Uint())
	case 2:
		in.Tap = r.Uint()
	case 3:
		in.RealMs = r.Int()
	case 4:
		in.SinceMs = r.Uint()
	case 5:
		r.Fixed(in.Session[:])
	case 6:
		r.Fixed(in.Replica[:])
	case 7:
		r.Fixed(in.Phone[:])
	case 8:
		r.Fixed(in.Start[:])
	case 9:
		for range r.Array() {
			in.Bodies = append(in.Bodies, r.Bytes())
		}
	case 10:
		in.Kind = event.Kind(r.Uint())
	case 11:
		in.Fact = r.Raw()
	case 12:
		in.Late = r.Bool()
	case 13:
		in.Frame = r.Bytes()
	case 14:
		in.Up = r.Bool()
	case 15:
		in.Seq = r.Uint()
	case 17:
		in.HeardMs = r.Int()
	case 18:
		in.Heard = r.Bytes()
	case 19:
		r.Fixed(in.Epoch[:])
	case 20:
		r.Fixed(in.Was[:])
	case 21:
		in.File = r.Bytes()
	case 22:
		in.Of = session.Figure(r.Uint())
	case 23:
		in.At = event.ReadRef(r)
	case 24:
		in.Size = event.Size(r.Uint())
	case 25:
		in.Shape = readShape(r)
	case 26:
		in.Wanted = readInts(r)
	case 27:
		in.Quiet = r.Bool()
	default:
		r.Raw()
	}
}

// Duties is what a call asks of the worker, in the order of the fields: keep,
// then show, then send.
type Duties struct {
	Keep    []Kept
	Others  [][]byte // others' events, to be kept when convenient
	Answers []Answer
	Show    []Change
	Truth   *Truth
	Entries []session.Entry
	Steps   []Step   // how far each of Entries is, or, with Show, each of the View's own last entries
	Send    [][]byte // frames
	Trouble *fault.Fault
	Mint    bool  // this replica id is used elsewhere: go on under a new one; a wall starts over with nothing
	WakeAt  int64 // when to tick next, real clock, ms since 1970: a phone may then be away
	File    []byte
	Carried int64    // events of a carried file that were new here; they are among Others, to be kept for good
	From    []string // the persons who wrote them
	Behind  *session.Behind
	Worked  []int64 // an area in mm²; or grafts wanted, and their density in grafts/cm² × 10; or what chances and chart list
	Setup   *session.Setup
	Compare *session.Comparison
	Weighed *session.Weighed
	Rest    *session.Continued
}

// Step is how far one own count has come.
type Step uint8

// The steps, each safer than the one before.
const (
	InMemory Step = iota + 1 // this phone's disk refused it
	OnPhone                  // kept on this phone
	InRoom                   // stored by the server
)

// Kept is one own event to keep before it is shown.
type Kept struct {
	Seq  uint64
	Body []byte
}

// Answer tells what became of a call that had a number: the event's reference,
// or why there is none.
type Answer struct {
	Tap   uint64
	Ref   event.Ref
	Fault *fault.Fault
}

// Truth is where this phone's counts are, under all ids that it wrote under.
type Truth struct {
	Written int64 // own events
	Unsent  int64 // of them, not stored by the server
	Memory  int64 // of them, not on this phone's disk
	Refused int64
	Up      bool   // the server is connected
	HeardMs int64  // when it last spoke, real clock, ms since 1970
	Heard   []byte // the vector that it said is stored, to be kept for the next boot; empty when it is as before
	Epoch   [16]byte
}

func (d *Duties) truth(g *Engine) {
	d.Truth = &Truth{Memory: g.memory, Refused: g.refused, Up: g.up, HeardMs: g.heardMs, Epoch: g.epoch}
	if g.fresh {
		d.Truth.Heard, g.fresh = syncengine.WriteVector(g.heard), false
	}
	d.Truth.Written, d.Truth.Unsent = g.replica.Mine(&g.stored)
}

// encode writes the duties as an array in the order of their fields.
func (d *Duties) encode() []byte {
	w := event.NewWriter(make([]byte, 0, 512))
	w.Array(20)
	w.Array(len(d.Keep))
	for _, k := range d.Keep {
		w.Array(2)
		w.Uint(k.Seq)
		w.Bytes(k.Body)
	}
	writeBytes(w, d.Others)
	w.Array(len(d.Answers))
	for _, a := range d.Answers {
		w.Array(3)
		w.Uint(a.Tap)
		w.Text(a.Ref.String())
		writeFault(w, a.Fault)
	}
	w.Array(len(d.Show))
	for _, c := range d.Show {
		w.Array(3)
		w.Uint(uint64(c.Section))
		w.Uint(c.Revision)
		w.Raw(c.Body)
	}
	writeTruth(w, d.Truth)
	w.Array(len(d.Entries))
	for i := range d.Entries {
		writeSessionEntry(w, &d.Entries[i])
	}
	w.Array(len(d.Steps))
	for _, step := range d.Steps {
		w.Uint(uint64(step))
	}
	writeBytes(w, d.Send)
	writeFault(w, d.Trouble)
	w.Bool(d.Mint)
	w.Int(d.WakeAt)
	w.Bytes(d.File)
	w.Int(d.Carried)
	w.Array(len(d.From))
	for _, person := range d.From {
		w.Text(person)
	}
	d.encodeTold(w)
	return w.Out()
}

// encodeTold writes what a question is answered with, an empty array for none.
func (d *Duties) encodeTold(w *event.Writer) {
	if d.Behind == nil {
		w.Array(0)
	} else {
		writeSessionBehind(w, d.Behind)
	}
	w.Array(len(d.Worked))
	for _, n := range d.Worked {
		w.Int(n)
	}
	d.encodeSetups(w)
	if d.Weighed == nil {
		w.Array(0)
	} else {
		writeSessionWeighed(w, d.Weighed)
	}
	if d.Rest == nil {
		w.Array(0)
	} else {
		writeSessionContinued(w, d.Rest)
	}
}

func writeBytes(w *event.Writer, list [][]byte) {
	w.Array(len(list))
	for _, b := range list {
		w.Bytes(b)
	}
}

// writeTruth writes an empty array for none.
func writeTruth(w *event.Writer, t *Truth) {
	if t == nil {
		w.Array(0)
		return
	}
	w.Array(8)
	w.Int(t.Written)
	w.Int(t.Unsent)
	w.Int(t.Memory)
	w.Int(t.Refused)
	w.Bool(t.Up)
	w.Int(t.HeardMs)
	w.Bytes(t.Heard)
	w.Bytes(t.Epoch[:])
}

// writeFault writes an empty array for none, else code, then names and values.
func writeFault(w *event.Writer, f *fault.Fault) {
	if f == nil {
		w.Array(0)
		return
	}
	w.Array(1 + 2*len(f.Args))
	w.Text(string(f.Code))
	for _, a := range f.Args {
		w.Text(a.Name)
		w.Text(a.Value)
	}
}
