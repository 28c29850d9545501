package syncengine

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// parcelOf is a replica of the test session and a parcel of all that it wrote.
func parcelOf(t failer, n byte) (*Replica, []byte) {
	t.Helper()
	r := New(numbered(n))
	record(t, r, &event.Joined{Person: "Ola", Station: event.Sorting}, dayStart)
	for range 5 {
		record(t, r, &event.Sorted{Size: 2, N: 3}, dayStart)
	}
	return r, r.Parcel(Peer{})
}

func TestParcel(t *testing.T) {
	from, parcel := parcelOf(t, 1)
	carrier := New(numbered(2))
	for range 2 { // carried twice it changes nothing
		events, err := carrier.Unpack(parcel)
		if err != nil || len(events) != 6 {
			t.Fatalf("got %d events, %v, want 6", len(events), err)
		}
		take(t, carrier, dayStart, events...)
		if got := sortedOf(carrier); got != 15 {
			t.Errorf("sorted: got %d, want 15", got)
		}
	}
	if rest := from.Parcel(from.Know(carrier.Vector(), nobody)); rest != nil {
		t.Errorf("what nobody lacks: got %d bytes, want none", len(rest))
	}
	from.HoldBack(4)
	if events, err := carrier.Unpack(from.Parcel(Peer{})); err != nil || len(events) != 3 {
		t.Errorf("with the rest held back: got %d events, %v, want 3", len(events), err)
	}
}

func TestParcelsThatAreRefused(t *testing.T) {
	_, parcel := parcelOf(t, 1)
	changed := func(at int, to byte) []byte {
		out := append([]byte(nil), parcel...)
		out[at] = to
		return out
	}
	version := 2 + 1 + len(parcelMark) + 1 // map, key, head and text, key
	other := New(Identity{Session: event.SessionID{9}, Replica: event.ReplicaID{9}, Phone: event.PhoneID{9}})
	tests := []struct {
		name   string
		by     *Replica
		parcel []byte
		code   fault.Code
	}{
		{"nothing", New(numbered(2)), nil, "parcel-damaged"},
		{"another file", New(numbered(2)), []byte("name,amount\n"), "parcel-damaged"},
		{"another mark", New(numbered(2)), changed(4, 'R'), "parcel-damaged"},
		{"a later version", New(numbered(2)), changed(version, 2), "parcel-version"},
		{"another session", other, parcel, "parcel-session"},
		{"too long", New(numbered(2)), make([]byte, MaxParcel+1), "parcel-long"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			events, err := tt.by.Unpack(tt.parcel)
			wantCode(t, tt.name, err, tt.code)
			if len(events) != 0 {
				t.Errorf("got %d events of it, want none", len(events))
			}
		})
	}
	for at := range parcel {
		for bit := range 8 {
			if events, err := New(numbered(2)).Unpack(changed(at, parcel[at]^1<<bit)); err == nil || len(events) != 0 {
				t.Fatalf("bit %d of byte %d flipped: got %d events, %v", bit, at, len(events), err)
			}
		}
	}
	for n := range parcel {
		if events, err := New(numbered(2)).Unpack(parcel[:n]); err == nil || len(events) != 0 {
			t.Fatalf("cut at byte %d: got %d events, %v", n, len(events), err)
		}
	}
}

// FuzzParcel: what can be unpacked is events, all of which can be received.
func FuzzParcel(f *testing.F) {
	_, parcel := parcelOf(f, 1)
	f.Add(parcel)
	f.Add(parcel[:len(parcel)/2])
	f.Add([]byte{0xa4, 1, 0x71})
	f.Fuzz(func(t *testing.T, file []byte) {
		r := New(numbered(2))
		events, err := r.Unpack(file)
		if err != nil {
			if fault.Of(err) == nil {
				t.Fatalf("got %v, want a fault with words", err)
			}
			return
		}
		r.Receive(events, Now{WallMs: dayStart})
		for _, e := range events {
			if back, err := event.Decode(e.Body); err != nil || back.Hash != e.Hash {
				t.Fatalf("%v: got %v", e.Ref(), err)
			}
		}
	})
}
