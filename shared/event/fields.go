package event

import "sync"

// fields walks the fields of one fact in ascending key order. A fact describes
// itself once, and the walk writes it, reads it, or lists what it refers to.
// Zero values are left out, so that equal facts have equal bytes.
type fields struct {
	mode fieldsMode
	w    *Writer // writing
	n    int
	r    *Reader // reading: key is the next entry's, when left > 0
	left int
	key  uint64
	any  bool
	need []Need // listing
	keys []Key  // describing
}

type fieldsMode uint8

const (
	writing fieldsMode = iota
	reading
	listing
	describing
)

// Key is one field of a fact: its key in the fact's map, and a pointer to it.
type Key struct {
	Number uint64
	Field  any
}

// Keys describes a fact's fields in ascending order of their keys, for tools
// that write such facts elsewhere.
func Keys(fact Fact) []Key {
	f := fields{mode: describing}
	fact.fields(&f)
	return f.keys
}

// Need is an event that must be known before another one counts.
type Need struct {
	Ref  Ref
	Kind Kind // what that event must be
}

// nextKey reads the key of the entry that follows, holding keys to their order.
func (f *fields) nextKey() {
	if f.left == 0 || f.r.Err() != nil {
		return
	}
	last := f.key
	f.key = f.r.Uint()
	if f.any && f.key <= last {
		f.r.fail("order")
	}
	f.any = true
}

// here says that the walk reads key now; entries that nobody knows are passed over.
func (f *fields) here(key uint64) bool {
	for f.left > 0 && f.r.Err() == nil && f.key < key {
		f.r.skip()
		f.done()
	}
	return f.left > 0 && f.r.Err() == nil && f.key == key
}

func (f *fields) done() {
	f.left--
	f.nextKey()
}

func (f *fields) put(key uint64) {
	f.w.Uint(key)
	f.n++
}

// walker is the scratch of one event's walks, outer for the body and inner for
// the fact. Walks go through interfaces, so their scratch would be allocated
// anew for every event.
type walker struct {
	outer, inner fields
	body         Reader
	w            Writer
}

var walkers = sync.Pool{New: func() any { return new(walker) }}

// done gives the scratch back without what it pointed to.
func (k *walker) done() {
	*k = walker{}
	walkers.Put(k)
}

// writeMap writes what walk describes as one map. Facts have fewer than 24 fields.
func writeMap(w *Writer, f *fields, walk func(*fields)) {
	at := len(w.buf)
	w.buf = append(w.buf, majorMap)
	*f = fields{mode: writing, w: w}
	walk(f)
	w.buf[at] |= byte(f.n)
}

// readMap reads one map as walk describes it and passes over unknown keys.
func readMap(r *Reader, f *fields, walk func(*fields)) {
	*f = fields{mode: reading, r: r, left: r.Map()}
	f.nextKey()
	walk(f)
	for f.left > 0 && r.Err() == nil {
		r.skip()
		f.done()
	}
}

type unsigned interface {
	~uint8 | ~uint16 | ~uint32 | ~uint64
}

// number walks an unsigned integer; a value too large for its type is a fault.
func number[T unsigned](f *fields, key uint64, v *T) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && *v != 0:
		f.put(key)
		f.w.Uint(uint64(*v))
	case f.mode == reading && f.here(key):
		got := f.r.Uint()
		if *v = T(got); uint64(*v) != got {
			f.r.fail("range")
		}
		f.done()
	}
}

func text(f *fields, key uint64, v *string) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && *v != "":
		f.put(key)
		f.w.Text(*v)
	case f.mode == reading && f.here(key):
		*v = f.r.Text()
		f.done()
	}
}

func flag(f *fields, key uint64, v *bool) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && *v:
		f.put(key)
		f.w.Bool(true)
	case f.mode == reading && f.here(key):
		*v = f.r.Bool()
		f.done()
	}
}

// fixed walks a byte string of a set length; all zero means absent.
func fixed(f *fields, key uint64, v []byte) {
	switch {
	case f.mode == writing && !allZero(v):
		f.put(key)
		f.w.Bytes(v)
	case f.mode == reading && f.here(key):
		f.r.Fixed(v)
		f.done()
	}
}

// replica walks the id of a replica, zero for none.
func replica(f *fields, key uint64, v *ReplicaID) {
	if f.mode == describing {
		f.keys = append(f.keys, Key{key, v})
		return
	}
	fixed(f, key, v[:])
}

// signed walks a whole number that may be below zero.
func signed(f *fields, key uint64, v *int64) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && *v != 0:
		f.put(key)
		f.w.Int(*v)
	case f.mode == reading && f.here(key):
		*v = f.r.Int()
		f.done()
	}
}

func allZero(b []byte) bool {
	for _, c := range b {
		if c != 0 {
			return false
		}
	}
	return true
}

// ref walks a reference to an event of the kind want, which must be known
// before this fact counts.
func ref(f *fields, key uint64, v *Ref, want Kind) {
	if f.mode == listing {
		if !v.IsZero() {
			f.need = append(f.need, Need{*v, want})
		}
		return
	}
	loose(f, key, v)
}

// loose walks a reference that may arrive before its target.
func loose(f *fields, key uint64, v *Ref) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && !v.IsZero():
		f.put(key)
		writeRef(f.w, *v)
	case f.mode == reading && f.here(key):
		*v = readRef(f.r)
		f.done()
	}
}

func refs(f *fields, key uint64, v *[]Ref) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && len(*v) > 0:
		f.put(key)
		f.w.Array(len(*v))
		for _, one := range *v {
			writeRef(f.w, one)
		}
	case f.mode == reading && f.here(key):
		for range f.r.Array() {
			*v = append(*v, readRef(f.r))
		}
		f.done()
	}
}

func numbers[T unsigned](f *fields, key uint64, v *[]T) {
	switch {
	case f.mode == describing:
		f.keys = append(f.keys, Key{key, v})
	case f.mode == writing && len(*v) > 0:
		f.put(key)
		f.w.Array(len(*v))
		for _, one := range *v {
			f.w.Uint(uint64(one))
		}
	case f.mode == reading && f.here(key):
		for range f.r.Array() {
			got := f.r.Uint()
			one := T(got)
			if uint64(one) != got {
				f.r.fail("range")
			}
			*v = append(*v, one)
		}
		f.done()
	}
}

func writeRef(w *Writer, v Ref) {
	w.Array(3)
	w.Bytes(v.Replica[:])
	w.Uint(v.Seq)
	w.Bytes(v.Check[:])
}

// ReadRef reads a reference as facts hold it; what is none fails the reader.
func ReadRef(r *Reader) (v Ref) { return readRef(r) }

func readRef(r *Reader) (v Ref) {
	if r.Array() != 3 {
		r.fail("ref")
		return Ref{}
	}
	r.Fixed(v.Replica[:])
	v.Seq = r.Uint()
	r.Fixed(v.Check[:])
	if v.Seq == 0 || v.Seq > MaxSeq {
		r.fail("ref")
	}
	return v
}
