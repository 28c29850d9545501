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

// Before is the total order of events: stamp, then replica, then seq, then hash.
func Before(a, b *Event) bool {
	if a.Stamp != b.Stamp {
		return a.Stamp < b.Stamp
	}
	if c := compareBytes(a.Replica[:], b.Replica[:]); c != 0 {
		return c < 0
	}
	if a.Seq != b.Seq {
		return a.Seq < b.Seq
	}
	return compareBytes(a.Hash[:], b.Hash[:]) < 0
}

func compareBytes(a, b []byte) int {
	for i := range a {
		if a[i] != b[i] {
			return int(a[i]) - int(b[i])
		}
	}
	return 0
}
