package event

import "crypto/sha256"

// The keys of a body. They are part of the format and never used again.
const (
	keyReplica = 1
	keySeq     = 2
	keyPrev    = 3
	keyStamp   = 4
	keyWall    = 5
	keyStart   = 6
	keySince   = 7
	keyKind    = 8
	keyFact    = 9
	keySession = 10
	keyPhone   = 11
	keyLate    = 12
)

// Encode returns the canonical body of e. It does not look at e.Body.
func Encode(e *Event) []byte {
	w := NewWriter(make([]byte, 0, 192))
	writeMap(w, func(f *fields) { e.envelope(f, e.Fact.Kind()) })
	return w.Out()
}

func (e *Event) envelope(f *fields, kind Kind) {
	wall := uint64(e.WallMs)
	fixed(f, keyReplica, e.Replica[:])
	number(f, keySeq, &e.Seq)
	fixed(f, keyPrev, e.Prev[:])
	number(f, keyStamp, &e.Stamp)
	number(f, keyWall, &wall)
	fixed(f, keyStart, e.Start[:])
	number(f, keySince, &e.SinceMs)
	number(f, keyKind, &kind)
	switch f.mode {
	case writing:
		f.put(keyFact)
		writeMap(f.w, e.Fact.fields)
	case reading:
		e.WallMs = int64(wall & (1<<63 - 1))
		e.Fact = readFact(f, kind)
	}
	fixed(f, keySession, e.Session[:])
	fixed(f, keyPhone, e.Phone[:])
	flag(f, keyLate, &e.Late)
}

// readFact reads the fact's map. What is canonical but not understood becomes
// Unread: a newer version wrote it, and its count must survive here.
func readFact(f *fields, kind Kind) Fact {
	if !f.here(keyFact) {
		f.r.fail("fact")
		return &Unread{kind}
	}
	raw := f.r.Raw()
	f.done()
	fact := New(kind)
	if fact == nil || f.r.Err() != nil {
		return &Unread{kind}
	}
	inner := NewReader(raw)
	readMap(inner, fact.fields)
	if inner.Close() != nil {
		return &Unread{kind}
	}
	return fact
}

// Decode reads one body, keeps its bytes (aliased, not copied) and hashes
// them. It fails only on what is not a well-formed event: bytes that are not
// canonical, or an envelope without its place in a chain.
func Decode(body []byte) (*Event, error) {
	if len(body) > MaxBody {
		return nil, damaged("long")
	}
	e := new(Event)
	r := NewReader(body)
	r.depth = 1 // the body's own map
	readMap(r, func(f *fields) { e.envelope(f, 0) })
	if err := r.Close(); err != nil {
		return nil, err
	}
	first := e.Seq == 1
	if e.Replica == (ReplicaID{}) || e.Seq == 0 || e.Seq > MaxSeq || e.Fact.Kind() == 0 || first != (e.Prev == Hash{}) ||
		first != (e.Session != SessionID{}) || first != (e.Phone != PhoneID{}) {
		return nil, damaged("envelope")
	}
	e.Body, e.Hash = body, sha256.Sum256(body)
	return e, nil
}
