package pace

import "rootledger/shared/event"

// Span is a time during which a station was declared paused, from and with
// FromMs, up to and without ToMs; an open one ends at OpenMs.
type Span struct{ FromMs, ToMs int64 }

// OpenMs is the end of a pause that goes on.
const OpenMs = 1<<63 - 1

// Day is what else is known of a station's day. Times in ms by the room's clock.
type Day struct {
	OpeningMs int64  // of the session
	Pauses    []Span // of the room and of the station, in any order; they may overlap
}

// Sample is what was counted in a window of time.
type Sample struct {
	Events   int64 // below zero only when counters ran backwards
	Bulk     int64 // those of them from entries above nine: spread, not observed
	ActiveMs int64 // the window from the station's first event on, without pauses
}

// Sample counts in the window (fromMs, toMs]. An event lies where Entry says,
// also inside a pause. It looks at no more than two places per phone.
func (t *Tally) Sample(at event.Station, fromMs, toMs int64, day Day) Sample {
	var out Sample
	s := t.station(at)
	if s == nil {
		return out
	}
	for _, p := range s.phones {
		events, bulk := p.until(toMs, day.OpeningMs)
		eventsBefore, bulkBefore := p.until(fromMs, day.OpeningMs)
		out.Events += events - eventsBefore
		out.Bulk += bulk - bulkBefore
	}
	if begun := max(fromMs, s.begun(day.OpeningMs)); begun < toMs {
		out.ActiveMs = toMs - begun - paused(begun, toMs, day.Pauses)
	}
	return out
}

// Worked is how long a station has worked until a time, since its first entry was
// made and without pauses; 0 before that. An entry above nine is not spread: it
// shows no earlier work.
func (t *Tally) Worked(at event.Station, ms int64, day Day) int64 {
	s := t.station(at)
	if s == nil {
		return 0
	}
	first := int64(OpenMs)
	for _, p := range s.phones {
		if p.settle(); len(p.list) > 0 {
			first = min(first, p.list[0].atMs)
		}
	}
	if first < ms {
		return ms - first - paused(first, ms, day.Pauses)
	}
	return 0
}

// begun is when the station's first entry was, or, when that is spread, from
// where it is; OpenMs when there is none.
func (s *station) begun(openingMs int64) int64 {
	first := int64(OpenMs)
	for _, p := range s.phones {
		if p.settle(); len(p.list) == 0 {
			continue
		}
		at := p.list[0].atMs
		if p.list[0].n > mostAtOnce {
			at = p.spreadFrom(0, openingMs)
		}
		first = min(first, at)
	}
	return first
}

// until is how many events lie at or before a time, and how many of them are
// from entries above nine. Spans over which one phone's entries are spread do not
// overlap, so at most one entry counts in part.
func (p *phone) until(ms, openingMs int64) (events, bulk int64) {
	p.settle()
	next := p.find(ms+1, event.Ref{})
	if next > 0 {
		events, bulk = p.list[next-1].sum, p.list[next-1].bulk
	}
	if next == len(p.list) || p.list[next].n <= mostAtOnce {
		return events, bulk
	}
	if from := p.spreadFrom(next, openingMs); from < ms {
		part := p.list[next].n * (ms - from) / (p.list[next].atMs - from)
		events, bulk = events+part, bulk+part
	}
	return events, bulk
}

// spreadFrom is from when on the events of an entry above nine are spread.
func (p *phone) spreadFrom(at int, openingMs int64) int64 {
	from, own := openingMs, p.list[at].atMs
	if at > 0 {
		from = p.list[at-1].atMs
	}
	return min(max(from, own-SpreadMs), own)
}

// paused is how much of a window the pauses cover together, in ms.
func paused(fromMs, toMs int64, pauses []Span) (sum int64) {
	inside := make([]Span, 0, 16)
	for _, p := range pauses {
		p = Span{max(p.FromMs, fromMs), min(p.ToMs, toMs)}
		if p.FromMs >= p.ToMs {
			continue
		}
		inside = append(inside, p)
		for i := len(inside) - 1; i > 0 && inside[i-1].FromMs > p.FromMs; i-- {
			inside[i-1], inside[i] = p, inside[i-1]
		}
	}
	covered := fromMs
	for _, p := range inside {
		if p.ToMs > covered {
			sum += p.ToMs - max(p.FromMs, covered)
			covered = p.ToMs
		}
	}
	return sum
}

// pausedAt says whether a pause covers a time.
func pausedAt(ms int64, pauses []Span) bool {
	for _, p := range pauses {
		if p.FromMs <= ms && ms < p.ToMs {
			return true
		}
	}
	return false
}
