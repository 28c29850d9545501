package session

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/flow"
)

// Flow is where the grafts were through the day, by when entries were made, for
// screens that draw the day. A phone that counts at a table has none.
type Flow struct {
	Curve  flow.Curve `json:"curve"`
	Pauses []Pause    `json:"pauses"` // in the order of stations, the room's first
}

// Pause is a declared pause, of the room for station 0. Times in ms since 1970 by
// the session's clock; one that lasts ends now.
type Pause struct {
	Station event.Station `json:"station"`
	FromMs  int64         `json:"fromMs"`
	ToMs    int64         `json:"toMs"`
}

// tellFlow hands an entry to the day, unless counters say what it did.
func (s *State) tellFlow(en *entry, sign int64) {
	e := en.counts()
	if kind := e.Fact.Kind(); kind == event.KindFired || kind == event.KindReading {
		return
	}
	if change := s.changeOf(e); change != (flow.Stocks{}) {
		s.out.flow.Add(s.atMs(en.event), change, sign)
	}
}

// changeOf is what an entry does to the stocks, as it does to the figures that it is behind.
func (s *State) changeOf(e *event.Event) (c flow.Stocks) {
	switch f := e.Fact.(type) { // what is counted most
	case *event.Sorted:
		return flow.Stocks{Bench: -int64(f.N), Holding: int64(f.N)}
	case *event.Placed:
		return flow.Stocks{Holding: -int64(f.N), Placed: int64(f.N)}
	}
	n, ok := s.extractionEffect(Question{Of: FigureBench}, e)
	if !ok {
		n, ok = benchEffect(e)
	}
	if ok {
		c.Bench = n
	}
	for _, m := range moves(e) {
		if n, ok := m.of(Question{Of: FigureHolding}, e); ok {
			c.Holding += n
		}
		if n, ok := m.of(Question{Of: FigurePlaced}, e); ok {
			c.Placed += n
		}
	}
	return c
}

// flowOf is the section, for whoever draws it: after timeOut, which dates entries anew.
func (s *State) flowOf(me event.ReplicaID, session *Session, nowMs int64) Flow {
	v := Flow{Pauses: []Pause{}}
	if at := s.Station(me); at >= event.Extraction && at <= event.Placing || at == event.Desk {
		return Flow{Curve: s.out.flow.Read(0, 0), Pauses: []Pause{}}
	}
	if session.EndedMs > 0 {
		nowMs = session.EndedMs
	}
	nowMs = max(nowMs/60_000*60_000, session.OpenedMs) // no other section with every second
	v.Curve = s.out.flow.Read(session.OpenedMs, nowMs)
	if v.Curve.FromMs == 0 {
		return v
	}
	room := s.pausesOf(0, nowMs)
	for station := event.Station(0); station <= event.Placing; station++ {
		for _, one := range s.pausesOf(station, nowMs) {
			if station == 0 || !slices.Contains(room, one) {
				v.Pauses = append(v.Pauses, Pause{station, one.FromMs, one.ToMs})
			}
		}
	}
	return v
}
