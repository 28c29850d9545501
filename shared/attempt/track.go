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

	last   map[string]stop // each counter's newest reading
	loose  []mark          // shots that still count, in order
	stale  bool            // a mark changed in the middle: fold again before reading
	untold int             // marks before this one are as they were last told
}

type mark struct {
	event   *event.Event
	region  event.Ref
	n       int64          // a shot's attempts
	reading *event.Reading // nil for a shot
	undone  bool
	gave    int64 // attempts that it adds to those before it: a shot's, or a reading's step less the shots in it
	told    int64 // gave, when it was last told
	known   bool  // it was told, and not as gone
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
			k.fold(&k.marks[len(k.marks)-1])
		}
		return
	}
	at, found := slices.BinarySearchFunc(k.marks, m, func(a, b mark) int { return event.Compare(a.event, b.event) })
	if found {
		m.told, m.known = k.marks[at].told, k.marks[at].known
		k.marks[at] = m
	} else {
		k.marks = event.Inserted(k.marks, at, m)
	}
	k.untold = min(k.untold, at)
	k.stale = true
}

// fresh folds the track again if a mark in its middle changed.
func (k *track) fresh() *track {
	if k.stale {
		k.reset()
		for i := range k.marks {
			k.fold(&k.marks[i])
		}
		k.stale = false
	}
	return k
}

func (k *track) fold(m *mark) {
	switch {
	case m.undone:
		m.gave = 0
	case m.reading == nil:
		k.loose = append(k.loose, *m)
		k.punched[m.region] += m.n
		m.gave = m.n
	default:
		m.gave = k.read(*m)
	}
}

// read takes a reading in and says what it adds to the attempts before it.
func (k *track) read(m mark) int64 {
	value := int64(m.reading.Value)
	before, known := k.last[m.reading.Counter]
	k.last[m.reading.Counter] = stop{m.event, value}
	if !known {
		return 0 // the baseline
	}
	step := value - before.value
	if m.reading.Direction == event.Down {
		step = -step
	}
	gave := step
	k.punched[m.region] += step
	if step < 0 {
		k.against[m.region] -= step
	}
	for len(k.loose) > 0 && event.Before(before.event, k.loose[len(k.loose)-1].event) {
		shot := k.loose[len(k.loose)-1]
		k.loose = k.loose[:len(k.loose)-1]
		k.punched[shot.region] -= shot.n
		gave -= shot.n
	}
	return gave
}

// Advance is a shot or a reading that came, went or changed: how many attempts
// it adds to those before it, as told before and now. A first reading adds none.
type Advance struct {
	Event    *event.Event
	Pass     event.Ref
	Was, Now int64
	First    bool // it was not told before
	Gone     bool // it was undone, or moved to another pass
}

// Advances lists what changed since the last call, of the passes that counters
// count: what each entry adds, in whichever order. Their sum is what was punched
// there, shots in the air apart.
func (t *Tally) Advances() []Advance {
	var out []Advance
	for _, p := range t.order {
		if p.begun.Mode == event.Each {
			continue
		}
		for _, k := range p.tracks {
			k.fresh()
			for ; k.untold < len(k.marks); k.untold++ {
				m := &k.marks[k.untold]
				if m.known == !m.undone && (m.undone || m.gave == m.told) {
					continue
				}
				out = append(out, Advance{m.event, p.ref, m.told, m.gave, !m.known, m.undone})
				m.told, m.known = m.gave, !m.undone
			}
		}
	}
	return out
}

// Adds is what a shot or reading of a pass adds to the attempts before it; 0 for
// one that is not there.
func (t *Tally) Adds(e *event.Event, pass event.Ref) int64 {
	p := t.pass(pass)
	if p == nil || p.tracks[e.Replica] == nil {
		return 0
	}
	k := p.tracks[e.Replica].fresh()
	at, found := slices.BinarySearchFunc(k.marks, mark{event: e}, func(a, b mark) int { return event.Compare(a.event, b.event) })
	if !found {
		return 0
	}
	return k.marks[at].gave
}
