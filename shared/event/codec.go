package event

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
	k := walkers.Get().(*walker)
	defer k.done()
	k.w.buf = make([]byte, 0, 192)
	writeMap(&k.w, &k.outer, func(f *fields) { e.envelope(f, e.Fact.Kind(), k) })
	return k.w.buf
}

func (e *Event) envelope(f *fields, kind Kind, k *walker) {
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
		writeMap(f.w, &k.inner, e.Fact.fields)
	case reading:
		e.WallMs = int64(wall & (1<<63 - 1))
		e.Fact = readFact(f, kind, k)
	}
	fixed(f, keySession, e.Session[:])
	fixed(f, keyPhone, e.Phone[:])
	flag(f, keyLate, &e.Late)
}

// readFact reads the fact's map where it stands. What is canonical but not
// understood becomes Unread: a newer version wrote it, and its count must
// survive here.
func readFact(f *fields, kind Kind, k *walker) Fact {
	if !f.here(keyFact) {
		f.r.fail("fact")
		return &Unread{kind}
	}
	r, from := f.r, f.r.at
	fact := New(kind)
	if fact != nil {
		r.depth++
		readMap(r, &k.inner, fact.fields)
		r.depth--
	}
	if fact == nil || r.Err() != nil {
		fact = &Unread{kind}
		*r = Reader{buf: r.buf, at: from, depth: 1}
		r.skip()
	}
	f.done()
	return fact
}

// HashOf is the SHA-256 of bytes that travel by hand.
func HashOf(b []byte) Hash { return hashOf(b) }

// EncodeFact returns a fact's map alone, as a screen sends it.
func EncodeFact(fact Fact) []byte {
	k := walkers.Get().(*walker)
	defer k.done()
	writeMap(&k.w, &k.inner, fact.fields)
	return k.w.buf
}

// DecodeFact reads a fact's map alone, as a screen sends it. What can not be
// read becomes Unread, which Validate refuses.
func DecodeFact(kind Kind, raw []byte) Fact {
	fact := New(kind)
	if fact == nil {
		return &Unread{kind}
	}
	k := walkers.Get().(*walker)
	defer k.done()
	k.body = Reader{buf: raw}
	readMap(&k.body, &k.inner, fact.fields)
	if k.body.Close() != nil {
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
	k := walkers.Get().(*walker)
	defer k.done()
	k.body = Reader{buf: body, depth: 1} // the body's own map
	readMap(&k.body, &k.outer, func(f *fields) { e.envelope(f, 0, k) })
	if err := k.body.Close(); err != nil {
		return nil, err
	}
	first := e.Seq == 1
	if e.Replica == (ReplicaID{}) || e.Seq == 0 || e.Seq > MaxSeq || e.Fact.Kind() == 0 || first != (e.Prev == Hash{}) ||
		first != (e.Session != SessionID{}) || first != (e.Phone != PhoneID{}) {
		return nil, damaged("envelope")
	}
	e.Body, e.Hash = body, hashOf(body)
	return e, nil
}
