package holding

import (
	"cmp"

	"rootledger/shared/event"
)

// The limits until somebody sets others, in minutes. In chilled saline 94 of 100
// grafts were alive after six hours in organ culture, 76 after a day (Kim et al.,
// Ann Dermatol 14(3), abstract, read); four hours to act in is our choice.
const (
	DefaultAmberMin = 4 * 60
	DefaultRedMin   = 6 * 60
)

// Limits is how long grafts may be out, and how they are kept. While edits that
// do not know of each other stand, the shortest of each limit counts, and for
// the rest the edit with the shortest.
type Limits struct {
	AmberMin, RedMin int64
	Edit             *event.Keeping // the zero value until somebody sets it
	Standing         int            // edits that stand; above 1 somebody must choose
}

// Limit takes an edit of the limits in.
func (t *Tally) Limit(e *event.Event, f *event.Keeping) {
	t.edits.Add(e, f, f.Supersedes)
	for i, edit := range t.Standing() {
		if i == 0 {
			t.limits = Limits{edit.Value.AmberMin, edit.Value.RedMin, edit.Value, 0}
		}
		t.limits.RedMin = min(t.limits.RedMin, edit.Value.RedMin)
		t.limits.Standing++
	}
}

// Limits are those that count now.
func (t *Tally) Limits() *Limits {
	if t.limits.Edit == nil {
		t.limits = Limits{AmberMin: DefaultAmberMin, RedMin: DefaultRedMin, Edit: new(event.Keeping)}
	}
	return &t.limits
}

// Standing lists the edits that stand, the shortest limits first.
func (t *Tally) Standing() []event.Edit[*event.Keeping] {
	return t.edits.Sorted(func(a, b *event.Keeping) int {
		return cmp.Or(cmp.Compare(a.AmberMin, b.AmberMin), cmp.Compare(a.RedMin, b.RedMin))
	})
}

// Heads are the edits that stand, what a new one supersedes.
func (t *Tally) Heads() []event.Ref { return t.edits.Heads() }

// Level says how a time stands to the limits.
type Level uint8

// The levels.
const (
	Within Level = iota
	Amber        // from the first limit on
	Red          // from the second
)

// String is the level's name.
func (l Level) String() string { return [...]string{"within", "amber", "red"}[l] }

// MarshalText writes the level's name.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Of is the level of a time out of the body.
func (l *Limits) Of(ms int64) Level {
	switch {
	case ms >= l.RedMin*60_000:
		return Red
	case ms >= l.AmberMin*60_000:
		return Amber
	}
	return Within
}

// Placing is what is known of the pace of placing.
type Placing struct {
	Running          bool  // there is a pace: Events in ActiveMs, pauses left out
	Events, ActiveMs int64 // of the last 30 minutes
	Begun            bool  // something was placed
	WorkedMs         int64 // since the first entry of placing, pauses left out
}

// Basis is what a forecast rests on.
type Basis uint8

// The bases.
const (
	NotBegun Basis = iota // none: placing has not begun, and nobody planned it
	NoPace                // none: it has, and has no pace now, and nobody planned one
	Planned               // the planned start and rate
	Measured              // the pace of placing
)

// String is the basis' name.
func (b Basis) String() string {
	return [...]string{"not begun", "no pace", "planned", "measured"}[b]
}

// MarshalText writes the basis' name.
func (b Basis) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// trustedMs is how long placing must have gone on before its pace tells of the
// hours to come.
const trustedMs = 30 * 60_000

// Forecast is how long a graft that is taken at nowMs will be out, with stock
// grafts of bench and holding before it: stock over the pace of placing, before
// half an hour of placing the time to its planned start and stock over the
// planned rate. In ms, rounded; 0 without a basis.
func (l *Limits) Forecast(nowMs, stock int64, p Placing) (Basis, int64) {
	stock = max(0, stock)
	if p.Running && p.WorkedMs >= trustedMs {
		return Measured, nearest(stock*p.ActiveMs, p.Events)
	}
	if rate := l.Edit.PerHour10; rate > 0 && (p.Begun || l.Edit.PlacingMs > 0) {
		wait := nearest(stock*36_000_000, rate)
		if !p.Begun {
			wait += max(0, l.Edit.PlacingMs-nowMs)
		}
		return Planned, wait
	}
	if p.Begun {
		return NoPace, 0
	}
	return NotBegun, 0
}
