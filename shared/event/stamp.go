package event

// Stamp is a hybrid logical clock reading: 48 bits of milliseconds since 1970
// (UTC), then 16 bits of counter. Stamps order display, revisions and figures
// that depend on order; they are never an identity.
type Stamp uint64

// MaxMs is the largest wall time that fits a stamp, in ms since 1970 (year 10889).
const MaxMs = 1<<48 - 1

// StampAt is the first stamp of a millisecond; times outside 0..MaxMs are
// moved to the nearer end, for a clock never refuses a count.
func StampAt(ms int64) Stamp {
	return Stamp(uint64(min(max(ms, 0), MaxMs)) << 16)
}

// Ms is the stamp's wall part in ms since 1970.
func (s Stamp) Ms() int64 { return int64(s >> 16) }

// Compare orders events: negative, zero or positive as a comes before b. The
// order is by stamp, then replica, then seq, then hash. Of one replica's own
// history it is the order of writing, whatever its clock did, for its stamps
// always grow.
func Compare(a, b *Event) int {
	if a.Stamp != b.Stamp {
		if a.Stamp < b.Stamp {
			return -1
		}
		return 1
	}
	if c := CompareRef(Ref{Replica: a.Replica, Seq: a.Seq}, Ref{Replica: b.Replica, Seq: b.Seq}); c != 0 {
		return c
	}
	return compareBytes(a.Hash[:], b.Hash[:])
}

// Before says whether a comes before b in the order of Compare.
func Before(a, b *Event) bool { return Compare(a, b) < 0 }

// Inserted is a list with one more at a place. The library's takes many at a
// time, and weighs four times as much on a phone.
func Inserted[T any](list []T, at int, one T) []T {
	list = append(list, one)
	copy(list[at+1:], list[at:])
	list[at] = one
	return list
}

// Turned is a list of events in the order of Compare, with e taken in (sign 1,
// once) or out (sign -1).
func Turned(list []*Event, e *Event, sign int64) []*Event {
	at := len(list) // most come at the end
	for at > 0 && Compare(e, list[at-1]) < 0 {
		at--
	}
	found := at > 0 && Compare(e, list[at-1]) == 0
	switch {
	case sign > 0 && !found:
		return Inserted(list, at, e)
	case sign < 0 && found:
		return append(list[:at-1], list[at:]...)
	}
	return list
}

func compareBytes(a, b []byte) int {
	for i := range a {
		if a[i] != b[i] {
			return int(a[i]) - int(b[i])
		}
	}
	return 0
}
