package published

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// day is a session that one phone counts, for checks that are whole days.
type day struct {
	*probe
	state session.State
	last  *event.Event
}

// newDay opens a session in which extraction, sorting and placing count.
func newDay(p *probe) *day {
	d := &day{probe: p}
	d.says(&event.Opened{Case: "P-1", Room: "1", Stations: []event.Station{event.Extraction, event.Sorting, event.Placing}})
	d.says(&event.Joined{Person: "Lea", Station: event.Lead})
	return d
}

// says adds an event, a second after the one before it.
func (d *day) says(fact event.Fact) event.Ref { return d.adds(&event.Event{Fact: fact}) }

// saysLate adds a count that happened before the newest recount.
func (d *day) saysLate(fact event.Fact) event.Ref {
	return d.adds(&event.Event{Fact: fact, Late: true})
}

func (d *day) adds(e *event.Event) event.Ref {
	d.Helper()
	e.Replica, e.Seq, e.Stamp = event.ReplicaID{1}, 1, event.StampAt(dayMs)
	if d.last == nil {
		e.Session, e.Phone = event.SessionID{1}, event.PhoneID{1}
	} else {
		e.Seq, e.Prev = d.last.Seq+1, d.last.Hash
		e.Stamp = event.StampAt(dayMs + 1000*int64(d.last.Seq))
	}
	if err := e.Seal(); err != nil {
		d.Fatalf("%v: %v", e.Fact.Kind(), err)
	}
	if err := d.state.Apply(e); err != nil {
		d.Fatalf("%v: %v", e.Fact.Kind(), err)
	}
	d.last = e
	return e.Ref()
}

// dayMs is when the day begins.
const dayMs = 1_800_000_000_000

// view is what the screens draw now.
func (d *day) view() session.View {
	return d.state.View(d.last.Replica, dayMs+1000*int64(d.last.Seq), nil)
}

// sorts adds grafts sorted by their size, "1" to "4".
func (d *day) sorts(bySize map[string]uint32) {
	for i, size := range []string{"1", "2", "3", "4"} {
		if n := bySize[size]; n > 0 {
			d.says(&event.Sorted{Size: event.Size(i + 1), N: n})
		}
	}
}

// outcomes are attempts by what came of them.
type outcomes struct{ Intact, Partial, Total, Topped, Buried, Empty uint32 }

// taps adds the outcomes of a pass.
func (d *day) taps(pass event.Ref, o outcomes) {
	for i, n := range []uint32{o.Intact, o.Partial, o.Total, o.Topped, o.Buried, o.Empty} {
		if n > 0 {
			d.says(&event.Attempt{Pass: pass, Outcome: event.Outcome(i + 1), N: n})
		}
	}
}
