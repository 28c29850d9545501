package pace

import (
	"rootledger/shared/event"
	"rootledger/shared/stats"
)

// WindowMs is how far back a pace looks.
const WindowMs = 30 * 60_000

// From how many events and how much active time on a pace is told (our choice, no
// source). At ten events the interval runs from 0.48 to 1.84 of the pace, so that
// the time left is known to a factor of four; with fewer nobody can plan by it.
// Less than five minutes tell of the first dish, not of the station.
const (
	minEvents   = 10
	minActiveMs = 5 * 60_000
)

// State says what can be said of a station's pace.
type State uint8

// The states.
const (
	NotBegun State = iota // nothing was counted there so far
	TooEarly              // fewer than ten events, or less than five active minutes: no pace is told
	Still                 // five active minutes and more without one event
	Running               // a pace
)

// String is the state's name.
func (s State) String() string { return [...]string{"not begun", "too early", "still", "running"}[s] }

// MarshalText writes the state's name.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Figures is one station's pace over the last 30 minutes.
type Figures struct {
	Station event.Station
	State   State
	Paused  bool // a declared pause covers the time of reading
	Sample       // in the window

	// Events per active hour × 10 and their exact 95 % Poisson interval
	// (Garwood F, Biometrika 1936;28:437-442); all 0 unless Still or Running.
	// With Bulk above 0 the interval holds if those came one by one.
	PerHour10, Low10, High10 int64

	bounds bounds
}

// Read is a station's pace at a time: its events in (nowMs - 30 min, nowMs] over
// the active time of that window. The bounds are worked out only when the
// number of events is another than at the read before.
func (t *Tally) Read(at event.Station, nowMs int64, day Day) Figures {
	f := Figures{Station: at, Paused: pausedAt(nowMs, day.Pauses)}
	s := t.station(at)
	if s == nil || s.begun(day.OpeningMs) > nowMs {
		return f
	}
	f.Sample = t.Sample(at, nowMs-WindowMs, nowMs, day)
	switch {
	case f.ActiveMs < minActiveMs:
		f.State = TooEarly
		return f
	case f.Events <= 0:
		f.State = Still
	case f.Events < minEvents:
		f.State = TooEarly
		return f
	default:
		f.State = Running
	}
	f.bounds = s.bounds.of(max(0, f.Events))
	f.PerHour10 = perHour10(scale*max(0, f.Events), f.ActiveMs)
	f.Low10, f.High10 = perHour10(f.bounds.low, f.ActiveMs), perHour10(f.bounds.high, f.ActiveMs)
	return f
}

// scale is the parts of an event in which bounds are kept: so small that a pace in
// tenths does not show that they were rounded.
const scale = 1_000_000

// perHour10 is parts of events over an active time, per hour × 10, halves up.
func perHour10(parts, activeMs int64) int64 {
	return divide(parts*(10*3_600_000/scale), activeMs)
}

// divide rounds half up; a >= 0, b > 0.
func divide(a, b int64) int64 { return (a + b/2) / b }

// bounds is the 95 % Poisson bounds of a count, in parts of an event.
type bounds struct{ events, low, high int64 }

// of is the bounds of a count. They are kept, for between two reads of a
// station the count is often the same.
func (b *bounds) of(events int64) bounds {
	if b.high == 0 || b.events != events {
		lo, hi := stats.Garwood(events)
		b.events = events
		b.low, _ = stats.Nearest(lo, scale)
		b.high, _ = stats.Nearest(hi, scale)
	}
	return *b
}

// Finish is till when a station has work. Times in ms by the room's clock.
type Finish struct {
	Station event.Station
	Done    bool // nothing is left; no times
	Known   bool // the times are told: something is left and the pace is Running
	Paused  bool // the times are as if the station went on at once, so it is later

	// AtMs is when it is done at this pace, between EarliestMs and LatestMs at
	// the upper and lower bound of the pace. All three have an end: from ten events
	// on, the lower bound is above 0.
	AtMs, EarliestMs, LatestMs int64
}

// mostLeft bounds what may be left, in events, so that the sums fit; with more
// the finish is that of so many.
const mostLeft = 1_000_000

// Finish is when the station will have done what is left, in its events, at
// this pace from nowMs on without further pauses.
func (f Figures) Finish(nowMs, left int64) Finish {
	out := Finish{Station: f.Station, Done: left <= 0, Known: left > 0 && f.State == Running, Paused: f.Paused}
	if !out.Known {
		return out
	}
	in := func(parts int64) int64 {
		return nowMs + divide(min(left, mostLeft)*f.ActiveMs*scale, parts)
	}
	out.AtMs, out.EarliestMs, out.LatestMs = in(scale*f.Events), in(f.bounds.high), in(f.bounds.low)
	return out
}

// Bottleneck is the station that holds the others up: the one that is done last,
// and clearly so. Clear is when it is done at the earliest after all others are
// at the latest; two 95 % intervals apart are a stricter sign than p < 0.05, so
// that a wall does not name one table now and another in a minute. A station
// that is done holds nobody up. It is 0, can't tell, when intervals overlap, when
// another's finish is not known, or is only known as if its pause were over.
func Bottleneck(finishes ...Finish) event.Station {
	for i, last := range finishes {
		clear := !last.Done
		for k, other := range finishes {
			if k != i && !other.Done {
				clear = clear && last.Known && other.Known && !other.Paused && last.EarliestMs > other.LatestMs
			}
		}
		if clear {
			return last.Station
		}
	}
	return 0
}
