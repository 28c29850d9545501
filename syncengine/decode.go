package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// DecodeMessage reads one frame. It fails on bytes that are not canonical, on
// a frame beyond its bounds, and on a known key of another type than its own.
// The rows of Events alias frame and are not unpacked.
func DecodeMessage(frame []byte) (Message, error) {
	if len(frame) > MaxFrame {
		return nil, fault.New(fault.TooMuch, "frame-long").WithInt("max", MaxFrame)
	}
	r := event.NewReader(frame)
	left := r.Map()
	if left == 0 || r.Uint() != 1 {
		return nil, damagedFrame(r)
	}
	kind := r.Uint()
	m, take := newMessage(kind)
	last := uint64(1)
	for range left - 1 {
		key := r.Uint()
		if key <= last {
			return nil, damagedFrame(r)
		}
		last = key
		if take == nil || !take(r, key) {
			r.Raw()
		}
		if r.Err() != nil {
			return nil, damagedFrame(r)
		}
	}
	if r.Close() != nil {
		return nil, damagedFrame(r)
	}
	return m(), nil
}

func damagedFrame(r *event.Reader) error {
	if f := fault.Of(r.Err()); f != nil && f.Kind != fault.Damaged {
		return f
	}
	return fault.New(fault.Damaged, "frame-damaged")
}

// newMessage returns how to finish a message and how to take one entry in;
// take says false for a key that it does not know.
func newMessage(kind uint64) (done func() Message, take func(*event.Reader, uint64) bool) {
	switch kind {
	case typeHello:
		var m Hello
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readHello(r, key, &m) }
	case typeWelcome:
		var m Welcome
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readWelcome(r, key, &m) }
	case typeEvents:
		var m Events
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readEvents(r, key, &m) }
	case typeAck:
		var m Ack
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readAck(r, key, &m) }
	case typeLinks:
		var m LinksMessage
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readLinks(r, key, &m) }
	case typePing:
		return func() Message { return Ping{} }, nil
	case typePong:
		var m Pong
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readPong(r, key, &m) }
	case typeTrouble:
		m := Trouble{Fault: new(fault.Fault)}
		return func() Message { return m }, func(r *event.Reader, key uint64) bool { return readFault(r, key, m.Fault) }
	}
	return func() Message { return Unknown{kind} }, nil
}

func readHello(r *event.Reader, key uint64, m *Hello) bool {
	switch key {
	case 2:
		m.Protocol = r.Uint()
	case 3:
		r.Fixed(m.Session[:])
	case 4:
		m.Vector = readVector(r)
	case 5:
		m.Head = readRef(r)
	case 6:
		r.Fixed(m.Epoch[:])
	case 7:
		m.Heard = readVector(r)
	default:
		return false
	}
	return true
}

func readWelcome(r *event.Reader, key uint64, m *Welcome) bool {
	switch key {
	case 2:
		r.Fixed(m.Epoch[:])
	case 4:
		m.Vector = readVector(r)
	case 7:
		m.FrameBytes = r.Uint()
	case 8:
		m.FrameEvents = r.Uint()
	default:
		return false
	}
	return true
}

func readEvents(r *event.Reader, key uint64, m *Events) bool {
	if key != 2 {
		return false
	}
	m.Rows = r.Bytes()
	return true
}

func readAck(r *event.Reader, key uint64, m *Ack) bool {
	switch key {
	case 2:
		m.Stored = readVector(r)
	case 3:
		for range r.Array() {
			one := Refusal{Fault: new(fault.Fault)}
			expect(r, 5)
			r.Fixed(one.Replica[:])
			one.Seq = r.Uint()
			one.Fault.Kind = readKind(r)
			one.Fault.Code = fault.Code(r.Text())
			readArgs(r, one.Fault)
			m.Refused = append(m.Refused, one)
		}
	default:
		return false
	}
	return true
}

func readLinks(r *event.Reader, key uint64, m *LinksMessage) bool {
	switch key {
	case 2:
	case 3:
		m.NowMs = r.Int()
		return true
	case 4:
		m.Stored = readVector(r)
		return true
	default:
		return false
	}
	for range r.Array() {
		var l LinkState
		expect(r, 3)
		r.Fixed(l.Replica[:])
		l.HeardMs = r.Int()
		l.NothingUnsent = r.Bool()
		m.Links = append(m.Links, l)
	}
	return true
}

func readFault(r *event.Reader, key uint64, f *fault.Fault) bool {
	switch key {
	case 2:
		f.Kind = readKind(r)
	case 3:
		f.Code = fault.Code(r.Text())
	case 4:
		readArgs(r, f)
	default:
		return false
	}
	return true
}

func readPong(r *event.Reader, key uint64, m *Pong) bool {
	switch key {
	case 2:
		m.Head = readRef(r)
	case 3:
		r.Fixed(m.Start[:])
	case 4:
		m.WallMs = r.Int()
	case 5:
		m.SinceMs = r.Uint()
	default:
		return false
	}
	return true
}

func readArgs(r *event.Reader, f *fault.Fault) {
	for range groups(r, 2) {
		name := r.Text()
		f.Args = append(f.Args, fault.Arg{Name: name, Value: r.Text()})
	}
}

func readKind(r *event.Reader) fault.Kind {
	kind := r.Uint()
	if kind > uint64(^fault.Kind(0)) {
		refuseFrame(r)
	}
	return fault.Kind(kind)
}

// groups reads the head of a list whose items come in groups of size.
func groups(r *event.Reader, size int) int {
	n := r.Array()
	if n%size != 0 {
		refuseFrame(r)
	}
	return n / size
}

// readVector holds a peer to a vector in ascending order, none twice, none
// empty, not too many.
func readVector(r *event.Reader) Vector {
	n := groups(r, 3)
	if n > MaxHeads {
		refuseFrame(r)
		return nil
	}
	v := make(Vector, 0, n)
	for i := range n {
		ref := readParts(r)
		if ref.Seq == 0 || ref.Seq > event.MaxSeq || i > 0 && event.CompareRef(v[i-1], ref) >= 0 {
			refuseFrame(r)
			return nil
		}
		v = append(v, ref)
	}
	return v
}

// ReadVector reads what WriteVector returned; ok is false for anything else.
func ReadVector(b []byte) (v Vector, ok bool) {
	r := event.NewReader(b)
	if r.Map() != 1 || r.Uint() != 1 {
		return nil, false
	}
	v = readVector(r)
	return v, r.Close() == nil
}

func readRef(r *event.Reader) event.Ref {
	expect(r, 3)
	return readParts(r)
}

func readParts(r *event.Reader) (ref event.Ref) {
	r.Fixed(ref.Replica[:])
	ref.Seq = r.Uint()
	r.Fixed(ref.Check[:])
	return ref
}

func expect(r *event.Reader, n int) {
	if r.Array() != n {
		refuseFrame(r)
	}
}

func refuseFrame(r *event.Reader) { r.Refuse(fault.New(fault.Damaged, "frame-damaged")) }
