package syncengine

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// day is a made-up session: a few replicas record random valid facts and pass
// a part of what they hold to each other, with gaps. Every choice comes from
// pick, so that equal picks give equal events on every machine.
type day struct {
	t    testing.TB
	pick func(n int) int // 0..n-1
	ms   int64
	crew []*member // the lead first
	wall *Replica

	zones, regions, passes, dishes, entries []event.Ref
	setups, trials                          []event.Ref
	agents                                  []event.Ref
	stranger                                *stranger
	counters                                [2]uint32
}

type member struct {
	*Replica
	station event.Station
	skewMs  int64
}

// playDay runs a day of some steps with two to four writers and a wall.
func playDay(t testing.TB, pick func(int) int, steps int) *day {
	d := &day{t: t, pick: pick, ms: dayStart, wall: New(wallIdentity()), counters: [2]uint32{0, 2500}, stranger: newStranger()}
	skews := []int64{0, 0, 1_500, -30_000, -yearMs, yearMs}
	stations := []event.Station{event.Lead, event.Extraction, event.Sorting, event.SiteMaking}
	for i, station := range stations[:2+pick(3)] {
		m := &member{New(numbered(byte(i + 1))), station, skews[pick(len(skews))]}
		d.crew = append(d.crew, m)
		d.record(m, &event.Joined{Person: personNames[i], Station: station})
	}
	d.record(d.crew[0], makeOpened(d, d.crew[0]))
	for range steps {
		if pick(4) == 0 {
			d.exchange()
			continue
		}
		if pick(12) == 0 {
			d.stranger.acts(d)
			continue
		}
		m := d.crew[pick(len(d.crew))]
		d.record(m, d.fact(m))
	}
	if pick(2) == 0 {
		d.editApart()
		d.refileApart()
	}
	return d
}

// drawDay is a random day that shrinks when a check fails. Afterwards its pick
// goes on with a list of its own, for the order in which events are handed out.
func drawDay(t testing.TB, rt *rapid.T, steps int) *day {
	t.Helper()
	return rapid.Custom(func(it *rapid.T) *day {
		d := playDay(t, func(n int) int { return rapid.IntRange(0, n-1).Draw(it, "pick") }, steps)
		list := rapid.SliceOfN(rapid.IntRange(0, 1<<16-1), 512, 512).Draw(it, "order")
		at := 0
		d.pick = func(n int) int {
			at++
			return list[at%len(list)] % n
		}
		return d
	}).Draw(rt, "day")
}

// GoString lists who recorded what, for the report of a failed check.
func (d *day) GoString() string {
	var out strings.Builder
	for _, e := range d.events() {
		fmt.Fprintf(&out, "\n%v:%d %v %+v", e.Replica, e.Seq, e.Fact.Kind(), e.Fact)
	}
	return out.String()
}

// editApart lets two writers change the same plan without hearing of each other.
func (d *day) editApart() {
	for _, change := range []maker{makeBudget, makeYield, editZone, editRegion, makeWatch, makeWeight} {
		for _, m := range d.crew[:2] {
			if fact := change(d, m); fact != nil {
				d.record(m, fact)
			}
		}
	}
}

var personNames = []string{"Lea", "Ola", "Sid", "Pia"}

// fact is what m records next: mostly of its own table, at times of any.
func (d *day) fact(m *member) event.Fact {
	tables := [][]maker{deskFacts, leadFacts, extractionFacts, sortingFacts, placingFacts}
	table := tables[d.pick(len(tables))]
	if d.pick(4) > 0 {
		switch m.station {
		case event.Lead:
			table = leadFacts
		case event.Extraction:
			table = extractionFacts
		case event.Sorting:
			table = sortingFacts
		case event.SiteMaking:
			table = placingFacts
		}
	}
	if d.pick(8) == 0 {
		table = doseFacts
	}
	if fact := table[d.pick(len(table))](d, m); fact != nil {
		return fact
	}
	return &event.Note{Text: "nothing to count yet"}
}

// refusable are the refusals that a made-up day may meet: makers do not look
// whether what they make still fits.
var refusable = []fault.Code{"dish-closed", "opening-intact", "refile-mode", "settle-beyond", "recount-agrees", "keeping-start",
	"dose-unasked", "dose-lead"}

func (d *day) record(m *member, fact event.Fact) {
	d.t.Helper()
	d.ms += int64(d.pick(4)) * 7_000 // at times two happen in one moment
	late := fact.Kind().Counts() && d.pick(8) == 0
	e, err := m.Record(fact, late, Now{WallMs: d.ms + m.skewMs, SinceMs: uint64(d.ms - dayStart)})
	if f := fault.Of(err); f != nil && slices.Contains(refusable, f.Code) {
		return
	}
	if err != nil {
		d.t.Fatalf("%v by %v: %v", fact.Kind(), m.station, err)
	}
	switch f := fact.(type) {
	case *event.Zone:
		if f.Of.IsZero() {
			d.zones = append(d.zones, e.Ref())
		}
	case *event.Region:
		if f.Of.IsZero() {
			d.regions = append(d.regions, e.Ref())
		}
	case *event.PassBegun:
		d.passes = append(d.passes, e.Ref())
	case *event.Dish:
		d.dishes = append(d.dishes, e.Ref())
	case *event.Setup:
		d.setups = append(d.setups, e.Ref())
	case *event.Trial:
		d.trials = append(d.trials, e.Ref())
	case *event.Agent:
		if f.Of.IsZero() {
			d.agents = append(d.agents, e.Ref())
		}
	}
	if fact.Kind().Voidable() {
		d.entries = append(d.entries, e.Ref())
	}
}

// exchange passes a part of what one replica holds to another, some of it
// dropped and at times out of order.
func (d *day) exchange() {
	d.t.Helper()
	from := d.crew[d.pick(len(d.crew))]
	to, skew := d.wall, int64(0)
	if i := d.pick(len(d.crew) + 1); i < len(d.crew) {
		to, skew = d.crew[i].Replica, d.crew[i].skewMs
	}
	if from.Replica == to {
		return
	}
	peer := from.Know(to.Vector(), nobody)
	events := batched(d.t, from.Replica, &peer)
	switch d.pick(4) {
	case 0:
		events = events[:d.pick(len(events)+1)]
	case 1:
		events = shuffled(d.pick, events)
		events = events[:d.pick(len(events)+1)]
	}
	take(d.t, to, d.ms+skew, events...)
}

// events is everything that was recorded, by replica and seq, as it is decoded.
func (d *day) events() []*event.Event {
	d.t.Helper()
	var out []*event.Event
	for _, m := range d.crew {
		for _, e := range chainFrom(m.Replica) {
			out = append(out, decodeAll(d.t, [][]byte{e.Body})...)
		}
	}
	return append(out, d.stranger.wrote...)
}

// known picks one of the references whose event r holds, zero when none is.
func (d *day) known(m *member, refs []event.Ref) event.Ref {
	have := slices.DeleteFunc(slices.Clone(refs), func(ref event.Ref) bool { return m.State().Find(ref) == nil })
	if len(have) == 0 {
		return event.Ref{}
	}
	return have[d.pick(len(have))]
}

// identities are all who look at a day: its writers and a wall.
func (d *day) identities() []Identity {
	out := []Identity{wallIdentity()}
	for _, m := range d.crew {
		out = append(out, m.Me())
	}
	return out
}

// inOrder is a replica that took every event in, each chain from its start.
func (d *day) inOrder(me Identity, events []*event.Event) *Replica {
	d.t.Helper()
	r := New(me)
	take(d.t, r, d.ms, events...)
	return r
}

// readOnTheWay is a wall that took a day's events in some order, and was looked at now and then meanwhile.
func readOnTheWay(t failer, d *day, events []*event.Event) *Replica {
	t.Helper()
	wall := New(wallIdentity())
	for _, e := range shuffled(d.pick, events) {
		take(t, wall, d.ms, e)
		if d.pick(5) == 0 {
			wall.View(d.ms, nil)
		}
	}
	return wall
}
