// Package event is the format of everything that happens in a session: an
// immutable event, its canonical bytes, its hash and its chain. Nothing here
// knows what a count means; the nouns do.
package event

import "rootledger/shared/fault"

// Bounds of a single event.
const (
	MaxSeq  = 1 << 40 // events of one replica
	MaxBody = 8 << 10 // bytes of one body: twice the longest plan edit with its 64 replaced ones
)

// Event is one thing that happened, as one replica wrote it down.
//
// (Replica, Seq) is its place, Seq counting from 1 without gaps; Prev is the
// hash of the event before it, zero for the first. Session and Phone are set
// on the first event only. Times are the author's own: Stamp for order, WallMs
// as its clock read, Start and SinceMs for durations (ms since that start).
type Event struct {
	Replica ReplicaID
	Seq     uint64
	Prev    Hash
	Stamp   Stamp
	WallMs  int64
	Start   StartID
	SinceMs uint64
	Session SessionID
	Phone   PhoneID
	Late    bool // happened before the newest recount of its stock
	Fact    Fact

	Body []byte // canonical bytes; stored, hashed and forwarded verbatim
	Hash Hash   // SHA-256 of Body
}

// Ref is the reference to this event.
func (e *Event) Ref() Ref {
	return Ref{e.Replica, e.Seq, [8]byte(e.Hash[:8])}
}

// With is the event as if it said another fact, for what counts as something
// else than was written: its place, times, bytes and hash stay those written.
func (e *Event) With(fact Fact) *Event {
	c := *e
	c.Fact = fact
	return &c
}

// Seal fills Body and Hash from the other fields. It fails on what Validate of
// the fact refuses, in words, and on an envelope that would not read back.
func (e *Event) Seal() error {
	if err := e.Valid(); err != nil {
		return err
	}
	body := Encode(e)
	if len(body) > MaxBody {
		return fault.New(fault.TooMuch, "body-long").WithInt("max", MaxBody)
	}
	back, err := Decode(body)
	if err != nil {
		return err
	}
	if _, unread := back.Fact.(*Unread); unread || back.WallMs != e.WallMs {
		return damaged("envelope")
	}
	e.Body, e.Hash = body, back.Hash
	return nil
}

// Valid is nil when the event's fact may count. One that was received and is
// not valid is kept all the same, and counts as zero.
func (e *Event) Valid() error {
	if e.Late && !e.Fact.Kind().Counts() {
		return invalid("late-kind").With("kind", e.Fact.Kind().String())
	}
	return e.Fact.Validate()
}

// Makes says whether the event makes something that others may name: an edit
// of a zone or region does not, it is named by its maker.
func (e *Event) Makes() bool {
	switch f := e.Fact.(type) {
	case *Zone:
		return f.Of.IsZero()
	case *Region:
		return f.Of.IsZero()
	case *Agent:
		return f.Of.IsZero()
	}
	return true
}

// Needs appends to list every event that must be known before e counts.
func (e *Event) Needs(list []Need) []Need {
	k := walkers.Get().(*walker)
	defer k.done()
	k.inner = fields{mode: listing, need: list}
	e.Fact.fields(&k.inner)
	return k.inner.need
}

func invalid(code fault.Code) *fault.Fault { return fault.New(fault.Invalid, code) }
