package syncengine

import (
	"maps"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// A parcel is a file in which one phone's counts travel on another phone when
// there is no network: a CBOR map of a mark, the format's version, the session,
// one Events message after the other, and the hash of those. Rows carry no
// hashes, so without it a file that was damaged on its way could hold other counts.

const (
	parcelMark    = "rootledger counts"
	parcelVersion = 1
	// MaxParcel is the bytes of one parcel: 100,000 counts, sent whole.
	MaxParcel = 32 << 20
)

// Parcel returns what a peer lacks as a file, nil when it lacks nothing. Own
// events that are held back are not in it.
func (r *Replica) Parcel(peer Peer) []byte {
	missing := peer.copy()
	var frames [][]byte
	for batch := r.Batch(&missing); batch.Len() > 0; batch = r.Batch(&missing) {
		frames = append(frames, EncodeMessage(batch.Message()))
	}
	if len(frames) == 0 {
		return nil
	}
	w := event.NewWriter(nil)
	w.Map(5)
	w.Uint(1)
	w.Text(parcelMark)
	w.Uint(2)
	w.Uint(parcelVersion)
	w.Uint(3)
	w.Bytes(r.me.Session[:])
	w.Uint(4)
	w.Array(len(frames))
	var all []byte
	for _, frame := range frames {
		w.Bytes(frame)
		all = append(all, frame...)
	}
	hash := event.HashOf(all)
	w.Uint(5)
	w.Bytes(hash[:])
	return w.Out()
}

// Unpack reads a parcel's events. It fails on a file that is no parcel, is not
// whole, or is of another session or a later format.
func (r *Replica) Unpack(parcel []byte) ([]*event.Event, error) {
	damaged := fault.New(fault.Damaged, "parcel-damaged")
	if len(parcel) > MaxParcel {
		return nil, fault.New(fault.TooMuch, "parcel-long").WithInt("max", MaxParcel>>20)
	}
	in := event.NewReader(parcel)
	var session event.SessionID
	if in.Map() != 5 || in.Uint() != 1 || in.Text() != parcelMark || in.Uint() != 2 {
		return nil, damaged
	}
	if version := in.Uint(); in.Err() == nil && version != parcelVersion {
		return nil, fault.New(fault.Invalid, "parcel-version").WithInt("version", int64(version))
	}
	if in.Uint() != 3 {
		return nil, damaged
	}
	in.Fixed(session[:])
	if in.Err() == nil && session != r.me.Session {
		return nil, fault.New(fault.Denied, "parcel-session")
	}
	if in.Uint() != 4 {
		return nil, damaged
	}
	var events []*event.Event
	var all []byte
	for range in.Array() {
		raw := in.Bytes()
		m, err := DecodeMessage(raw)
		frame, ok := m.(Events)
		if err != nil || !ok {
			return nil, damaged
		}
		some, err := frame.Unpack()
		if err != nil {
			return nil, damaged
		}
		events, all = append(events, some...), append(all, raw...)
	}
	var hash event.Hash
	if in.Uint() == 5 {
		in.Fixed(hash[:])
	}
	if in.Close() != nil || hash != event.HashOf(all) {
		return nil, damaged
	}
	return events, nil
}

func (p Peer) copy() Peer { return Peer{maps.Clone(p.has), maps.Clone(p.assumed)} }
