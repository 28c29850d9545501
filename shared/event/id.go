package event

// ReplicaID names one phone in one session: 8 random bytes.
type ReplicaID [8]byte

// SessionID names one session: 16 random bytes.
type SessionID [16]byte

// PhoneID names one device: 16 random bytes, the same in every session.
type PhoneID [16]byte

// StartID names one start of a phone's worker: 8 random bytes.
type StartID [8]byte

// Hash is the SHA-256 of an event's body.
type Hash [32]byte

// Ref names one event: its place and the first 8 bytes of its hash, so that a
// reference can never slide to another event in the same place.
type Ref struct {
	Replica ReplicaID
	Seq     uint64
	Check   [8]byte
}

// IsZero says that the reference names nothing.
func (r Ref) IsZero() bool { return r.Seq == 0 }

// refText is the longest text of a reference.
const refText = 16 + 1 + 20 + 1 + 16

// String is replica:seq:check in hexadecimal, decimal, hexadecimal.
func (r Ref) String() string {
	var text [refText]byte
	return string(r.appendTo(text[:0]))
}

// appendTo appends what String gives; views hold many references.
func (r Ref) appendTo(out []byte) []byte {
	if r.IsZero() {
		return out
	}
	out = append(appendHex(out, r.Replica[:]), ':')
	out = append(append(out, decimal(r.Seq)...), ':')
	return appendHex(out, r.Check[:])
}

// MarshalText lets encoders outside the engine write references as text.
func (r Ref) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// ParseRef reads what String wrote; ok is false for anything else.
func ParseRef(s string) (r Ref, ok bool) {
	if len(s) < 16+1+1+1+16 || s[16] != ':' || s[17] == '0' || s[len(s)-17] != ':' {
		return Ref{}, false
	}
	if !unhex(r.Replica[:], s[:16]) || !unhex(r.Check[:], s[len(s)-16:]) {
		return Ref{}, false
	}
	for _, c := range []byte(s[17 : len(s)-17]) {
		if c < '0' || c > '9' || r.Seq > MaxSeq {
			return Ref{}, false
		}
		r.Seq = r.Seq*10 + uint64(c-'0')
	}
	return r, r.Seq > 0 && r.Seq <= MaxSeq
}

// UnmarshalText reads what MarshalText wrote.
func (r *Ref) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*r = Ref{}
		return nil
	}
	parsed, ok := ParseRef(string(text))
	if !ok {
		return damaged("ref")
	}
	*r = parsed
	return nil
}

// String is the id in hexadecimal.
func (id ReplicaID) String() string { return hexOf(id[:]) }

// String is the id in hexadecimal.
func (id SessionID) String() string { return hexOf(id[:]) }

// String is the id in hexadecimal.
func (id PhoneID) String() string { return hexOf(id[:]) }

// String is the hash in hexadecimal.
func (h Hash) String() string { return hexOf(h[:]) }

// MarshalText writes the id in hexadecimal.
func (id ReplicaID) MarshalText() ([]byte, error) { return []byte(hexOf(id[:])), nil }

// MarshalText writes the id in hexadecimal.
func (id SessionID) MarshalText() ([]byte, error) { return []byte(hexOf(id[:])), nil }

// MarshalText writes the id in hexadecimal.
func (id PhoneID) MarshalText() ([]byte, error) { return []byte(hexOf(id[:])), nil }

// MarshalText writes the id in hexadecimal.
func (id StartID) MarshalText() ([]byte, error) { return []byte(hexOf(id[:])), nil }

// UnmarshalText reads 16 hexadecimal digits.
func (id *ReplicaID) UnmarshalText(text []byte) error { return unhexAll(id[:], string(text)) }

// UnmarshalText reads 32 hexadecimal digits.
func (id *SessionID) UnmarshalText(text []byte) error { return unhexAll(id[:], string(text)) }

// UnmarshalText reads 32 hexadecimal digits.
func (id *PhoneID) UnmarshalText(text []byte) error { return unhexAll(id[:], string(text)) }

func unhexAll(into []byte, s string) error {
	if !unhex(into, s) {
		return damaged("id")
	}
	return nil
}

const hexDigits = "0123456789abcdef"

func appendHex(out, b []byte) []byte {
	for _, c := range b {
		out = append(out, hexDigits[c>>4], hexDigits[c&15])
	}
	return out
}

func hexOf(b []byte) string { return string(appendHex(make([]byte, 0, 2*len(b)), b)) }

func unhex(into []byte, s string) bool {
	if len(s) != 2*len(into) {
		return false
	}
	for i := range into {
		high, low := hexValue(s[2*i]), hexValue(s[2*i+1])
		if high > 15 || low > 15 {
			return false
		}
		into[i] = high<<4 | low
	}
	return true
}

func hexValue(c byte) byte {
	switch {
	case c >= '0' && c <= '9':
		return c - '0'
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10
	}
	return 255
}

func decimal(n uint64) string {
	var out [20]byte
	at := len(out)
	for {
		at--
		out[at] = byte('0' + n%10)
		if n /= 10; n == 0 {
			return string(out[at:])
		}
	}
}
