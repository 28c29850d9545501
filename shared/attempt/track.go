package attempt

import (
	"slices"

	"rootledger/shared/event"
)

// track is the counters of one replica in one pass: shots of a foot key and
// readings of device counters, in the order in which that replica wrote them (no
// clock decides; of two histories under one id their stamps do). A shot counts unless it lies between the first and the last
// reading of some counter; a reading adds its step since the one before.
type track struct {
	marks   []mark // in order, undone ones included
	punched map[event.Ref]int64
	against map[event.Ref]int64

	last  map[string]stop // each counter's newest reading
	loose []mark          // shots that still count, in order
	stale bool            // a mark changed in the middle: fold again before reading
}

type mark struct {
	event   *event.Event
	region  event.Ref
	n       int64          // a shot's attempts
	reading *event.Reading // nil for a shot
	undone  bool
}

type stop struct {
	event *event.Event
	value int64
}

func newTrack() *track {
	k := new(track)
	k.reset()
	return k
}

func (k *track) reset() {
	k.punched, k.against = make(map[event.Ref]int64), make(map[event.Ref]int64)
	k.last, k.loose = make(map[string]stop), nil
}

// add takes a mark in, or out again. In order it costs the same at any length;
// out of order the track is folded again when it is next read.
func (k *track) add(m mark, sign int64) {
	m.undone = sign < 0
	if len(k.marks) == 0 || event.Before(k.marks[len(k.marks)-1].event, m.event) {
		k.marks = append(k.marks, m)
		if !k.stale {
			k.fold(m)
		}
		return
	}
	at, found := slices.BinarySearchFunc(k.marks, m, func(a, b mark) int { return event.Compare(a.event, b.event) })
	if found {
		k.marks[at] = m
	} else {
		k.marks = slices.Insert(k.marks, at, m)
	}
	k.stale = true
}

// fresh folds the track again if a mark in its middle changed.
func (k *track) fresh() *track {
	if k.stale {
		k.reset()
		for _, m := range k.marks {
			k.fold(m)
		}
		k.stale = false
	}
	return k
}

func (k *track) fold(m mark) {
	switch {
	case m.undone:
	case m.reading == nil:
		k.loose = append(k.loose, m)
		k.punched[m.region] += m.n
	default:
		k.read(m)
	}
}

func (k *track) read(m mark) {
	value := int64(m.reading.Value)
	before, known := k.last[m.reading.Counter]
	k.last[m.reading.Counter] = stop{m.event, value}
	if !known {
		return // the baseline
	}
	step := value - before.value
	if m.reading.Direction == event.Down {
		step = -step
	}
	k.punched[m.region] += step
	if step < 0 {
		k.against[m.region] -= step
	}
	for len(k.loose) > 0 && event.Before(before.event, k.loose[len(k.loose)-1].event) {
		shot := k.loose[len(k.loose)-1]
		k.loose = k.loose[:len(k.loose)-1]
		k.punched[shot.region] -= shot.n
	}
}
