package event

import (
	"unicode/utf8"

	"rootledger/shared/fault"
)

// The codec below is deterministic CBOR (RFC 8949, section 4.2.1) reduced to
// what events and messages use: integers, byte and text strings, arrays, bools
// and maps with unsigned integer keys. One value has exactly one encoding; a
// reader refuses every other. MaxDepth bounds nesting of arrays and maps.

// MaxDepth is how deep arrays and maps may nest: body, fact, list, reference.
const MaxDepth = 4

const (
	majorUint  = 0 << 5
	majorNeg   = 1 << 5
	majorBytes = 2 << 5
	majorText  = 3 << 5
	majorArray = 4 << 5
	majorMap   = 5 << 5
	majorFalse = 7<<5 | 20
	majorTrue  = 7<<5 | 21
)

// Writer appends CBOR to a buffer. The caller writes map keys in ascending
// order and as many entries as it announced.
type Writer struct{ buf []byte }

// NewWriter writes behind buf, which may be nil.
func NewWriter(buf []byte) *Writer { return &Writer{buf} }

// Out is all that was written.
func (w *Writer) Out() []byte { return w.buf }

func (w *Writer) head(major byte, n uint64) { w.buf = appendHead(w.buf, major, n) }

// appendHead writes an initial byte and its argument in the shortest form.
func appendHead(buf []byte, major byte, n uint64) []byte {
	switch {
	case n < 24:
		return append(buf, major|byte(n))
	case n < 1<<8:
		return append(buf, major|24, byte(n))
	case n < 1<<16:
		return append(buf, major|25, byte(n>>8), byte(n))
	case n < 1<<32:
		return append(buf, major|26, byte(n>>24), byte(n>>16), byte(n>>8), byte(n))
	}
	return append(buf, major|27, byte(n>>56), byte(n>>48), byte(n>>40), byte(n>>32),
		byte(n>>24), byte(n>>16), byte(n>>8), byte(n))
}

// Uint writes an unsigned integer.
func (w *Writer) Uint(v uint64) { w.head(majorUint, v) }

// Int writes a signed integer.
func (w *Writer) Int(v int64) { w.buf = appendInt(w.buf, v) }

// Ints writes several signed integers.
func (w *Writer) Ints(list ...int64) {
	buf := w.buf
	for _, v := range list {
		if v >= 0 && v < 24 { // most are
			buf = append(buf, majorUint|byte(v))
		} else {
			buf = appendInt(buf, v)
		}
	}
	w.buf = buf
}

func appendInt(buf []byte, v int64) []byte {
	if v < 0 {
		return appendHead(buf, majorNeg, uint64(-1-v))
	}
	return appendHead(buf, majorUint, uint64(v))
}

// Bytes writes a byte string.
func (w *Writer) Bytes(v []byte) {
	w.head(majorBytes, uint64(len(v)))
	w.buf = append(w.buf, v...)
}

// Text writes a text string; v must be valid UTF-8.
func (w *Writer) Text(v string) {
	w.head(majorText, uint64(len(v)))
	w.buf = append(w.buf, v...)
}

// RefText writes a reference as text, as String gives it.
func (w *Writer) RefText(v Ref) {
	var text [refText]byte
	out := v.appendTo(text[:0])
	w.head(majorText, uint64(len(out)))
	w.buf = append(w.buf, out...)
}

// Bool writes true or false.
func (w *Writer) Bool(v bool) {
	if v {
		w.buf = append(w.buf, majorTrue)
		return
	}
	w.buf = append(w.buf, majorFalse)
}

// Array announces n items.
func (w *Writer) Array(n int) { w.head(majorArray, uint64(n)) }

// Map announces n entries, each a key and a value.
func (w *Writer) Map(n int) { w.head(majorMap, uint64(n)) }

// Raw appends one value that is encoded already.
func (w *Writer) Raw(v []byte) { w.buf = append(w.buf, v...) }

// Reader walks CBOR. The first fault sticks: later calls return zero values,
// and Err tells. Slices that it returns alias its input.
type Reader struct {
	buf   []byte
	at    int
	depth int
	err   error
}

// NewReader reads buf from its start.
func NewReader(buf []byte) *Reader { return &Reader{buf: buf} }

// Err is the first fault met, or nil.
func (r *Reader) Err() error { return r.err }

// Close is Err, or a fault when bytes are left over.
func (r *Reader) Close() error {
	if r.err == nil && r.at != len(r.buf) {
		r.fail("trailing")
	}
	return r.err
}

func damaged(what string) error {
	return fault.New(fault.Damaged, "damaged").With("what", what)
}

// Refuse makes err the reader's fault, unless it has one already.
func (r *Reader) Refuse(err error) {
	if r.err == nil {
		r.err = err
	}
}

func (r *Reader) fail(what string) {
	if r.err == nil {
		r.err = damaged(what)
	}
}

// head reads one initial byte and its argument; ok is false after a fault.
func (r *Reader) head() (major byte, n uint64, ok bool) {
	if r.err != nil {
		return 0, 0, false
	}
	if r.at >= len(r.buf) {
		r.fail("short")
		return 0, 0, false
	}
	first := r.buf[r.at]
	major, info := first&0xe0, first&0x1f
	r.at++
	if info < 24 {
		return major, uint64(info), true
	}
	if info > 27 || major == 7<<5 {
		r.fail("form")
		return 0, 0, false
	}
	size := 1 << (info - 24)
	if len(r.buf)-r.at < size {
		r.fail("short")
		return 0, 0, false
	}
	for _, c := range r.buf[r.at : r.at+size] {
		n = n<<8 | uint64(c)
	}
	r.at += size
	if n < 24 || size > 1 && n < 1<<(4*size) {
		r.fail("form") // a shorter encoding exists
		return 0, 0, false
	}
	return major, n, true
}

func (r *Reader) expect(want byte) uint64 {
	major, n, ok := r.head()
	if ok && major != want {
		r.fail("type")
		return 0
	}
	return n
}

// Uint reads an unsigned integer.
func (r *Reader) Uint() uint64 { return r.expect(majorUint) }

// Int reads a signed integer that fits 64 bits.
func (r *Reader) Int() int64 {
	major, n, ok := r.head()
	if !ok {
		return 0
	}
	if n > 1<<63-1 || major > majorNeg {
		r.fail("type")
		return 0
	}
	if major == majorNeg {
		return -1 - int64(n)
	}
	return int64(n)
}

func (r *Reader) take(n uint64) []byte {
	if r.err != nil {
		return nil
	}
	if n > uint64(len(r.buf)-r.at) {
		r.fail("short")
		return nil
	}
	out := r.buf[r.at : r.at+int(n) : r.at+int(n)]
	r.at += int(n)
	return out
}

// Bytes reads a byte string.
func (r *Reader) Bytes() []byte { return r.take(r.expect(majorBytes)) }

// Fixed reads a byte string of exactly len(into) bytes.
func (r *Reader) Fixed(into []byte) {
	b := r.Bytes()
	if r.err == nil && len(b) != len(into) {
		r.fail("length")
		return
	}
	copy(into, b)
}

// Text reads a text string.
func (r *Reader) Text() string {
	b := r.take(r.expect(majorText))
	if !utf8.Valid(b) {
		r.fail("utf8")
		return ""
	}
	return string(b)
}

// Bool reads true or false.
func (r *Reader) Bool() bool {
	if r.err == nil && r.at < len(r.buf) && (r.buf[r.at] == majorTrue || r.buf[r.at] == majorFalse) {
		r.at++
		return r.buf[r.at-1] == majorTrue
	}
	r.fail("type")
	return false
}

// Array reads how many items follow. Every item takes a byte, so a number
// larger than what is left is refused before anything is allocated.
func (r *Reader) Array() int { return r.count(r.expect(majorArray), 1) }

// Map reads how many entries follow.
func (r *Reader) Map() int { return r.count(r.expect(majorMap), 2) }

func (r *Reader) count(n, bytesEach uint64) int {
	if r.err == nil && n > uint64(len(r.buf)-r.at)/bytesEach {
		r.fail("short")
	}
	if r.err != nil {
		return 0
	}
	return int(n)
}

// Raw reads one whole value, checks that it is canonical, and returns its bytes.
func (r *Reader) Raw() []byte {
	from := r.at
	r.skip()
	if r.err != nil {
		return nil
	}
	return r.buf[from:r.at:r.at]
}

func (r *Reader) skip() {
	if r.err == nil && r.at < len(r.buf) && (r.buf[r.at] == majorTrue || r.buf[r.at] == majorFalse) {
		r.at++
		return
	}
	major, n, ok := r.head()
	if !ok {
		return
	}
	switch major {
	case majorUint, majorNeg:
	case majorBytes:
		r.take(n)
	case majorText:
		if !utf8.Valid(r.take(n)) {
			r.fail("utf8")
		}
	case majorArray, majorMap:
		r.skipInside(major, n)
	default:
		r.fail("type")
	}
}

func (r *Reader) skipInside(major byte, n uint64) {
	if r.depth++; r.depth > MaxDepth {
		r.fail("depth")
		return
	}
	var last uint64
	for i := range n {
		if major == majorMap {
			key := r.Uint()
			if i > 0 && key <= last {
				r.fail("order")
			}
			last = key
		}
		if r.skip(); r.err != nil {
			return
		}
	}
	r.depth--
}
