package event

// A body read as a row: its opening, the entries 1 to 7, says where and when,
// and differs from event to event in ways that can be told in a few bytes. Its
// rest, from the kind on, says what, and a phone repeats a few of them all day.
// Unknown entries stand in the rest, for their keys are higher.

// openingMax bounds an opening: replica, previous hash and start with their
// heads take 10 + 35 + 10 bytes, four numbers 10 each.
const openingMax = 96

// appendOpening appends the entries 1 to 7 of e and says how many they are.
// Zero values are left out, as everywhere.
func (e *Event) appendOpening(buf []byte) (out []byte, entries int) {
	o := opening{buf, 0}
	o = o.bytes(keyReplica, e.Replica[:])
	o = o.number(keySeq, e.Seq)
	o = o.bytes(keyPrev, e.Prev[:])
	o = o.number(keyStamp, uint64(e.Stamp))
	o = o.number(keyWall, uint64(e.WallMs))
	o = o.bytes(keyStart, e.Start[:])
	o = o.number(keySince, e.SinceMs)
	return o.buf, o.entries
}

// opening is handed on by value, and not a Writer, so that a buffer on the
// stack stays there.
type opening struct {
	buf     []byte
	entries int
}

func (o opening) bytes(key byte, v []byte) opening {
	if allZero(v) {
		return o
	}
	o.buf = append(appendHead(append(o.buf, key), majorBytes, uint64(len(v))), v...)
	return opening{o.buf, o.entries + 1}
}

func (o opening) number(key byte, v uint64) opening {
	if v == 0 {
		return o
	}
	return opening{appendHead(append(o.buf, key), majorUint, v), o.entries + 1}
}

// RestMax bounds the entries of a rest: with the seven of an opening they still
// fill a map with a short head.
const RestMax = 23 - 7

// Rest is what stands in e.Body behind the opening (aliased), and how many
// entries that is: 1 to RestMax, or 0 when Join would not build this body from
// it, which then must be kept whole.
func (e *Event) Rest() (rest []byte, entries int) {
	var scratch [openingMax]byte
	opening, own := e.appendOpening(scratch[:0])
	if len(e.Body) <= 1+len(opening) || string(e.Body[1:1+len(opening)]) != string(opening) {
		return nil, 0
	}
	rest, entries = e.Body[1+len(opening):], int(e.Body[0])-majorMap-own
	if !isRest(rest, entries) {
		return nil, 0
	}
	return rest, entries
}

func isRest(rest []byte, entries int) bool {
	return entries > 0 && entries <= RestMax && len(rest) > 0 && rest[0] == keyKind
}

// Again makes into the event with e's opening and a body that Join made of it and
// of the rest of an event that Decode has read: what says what happened is the
// same, and is shared. It is what Decode would read; false for a place that Decode
// refuses.
func (e *Event) Again(into, read *Event, body []byte) bool {
	if e.Seq <= 1 || e.Seq > MaxSeq || read.Seq <= 1 || len(body) > MaxBody {
		return false
	}
	*into = Event{Replica: e.Replica, Seq: e.Seq, Prev: e.Prev, Stamp: e.Stamp, WallMs: e.WallMs, Start: e.Start, SinceMs: e.SinceMs,
		Late: read.Late, Fact: read.Fact, Body: body, Hash: hashOf(body)}
	return true
}

// JoinMax is how many bytes Join appends at most, beside the rest.
const JoinMax = 1 + openingMax

// Join appends to buf the body that has e's opening, its place and times, and
// such a rest; nothing for what Rest never gives. Whether the bytes are a body,
// Decode says.
func (e *Event) Join(buf, rest []byte, entries int) []byte {
	if !isRest(rest, entries) {
		return buf
	}
	at := len(buf)
	buf, own := e.appendOpening(append(buf, majorMap))
	buf[at] |= byte(own + entries)
	return append(buf, rest...)
}
