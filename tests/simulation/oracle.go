package simulation

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// settleMs is how long after the faults have stopped everything must be in the
// room and seen by all (O8): retries are at most 15 s apart, and somebody may
// first have to scan the code again.
const settleMs = 120_000

// heal ends every fault, and opens every page that is closed.
func (w *World) heal() {
	for _, s := range []*Server{w.server, w.second} {
		s.crash, s.failing = nowhere, false
		if s.room == nil && (s == w.server || w.two) {
			s.boot()
		}
	}
	for _, p := range w.phones {
		p.net, p.refuses = net{}, false
		if p.link != nil && p.link.lost { // a link that was deaf for a while lost frames: it ends as a silent one does
			p.link.cut()
		}
		p.elsewhere = w.two // everyone meets at the second server, and then at the first
		if !p.alive() {
			p.join()
		}
	}
	w.pump()
	w.after(settleMs/2, w.officeLets)
	if w.two {
		w.after(settleMs, func() {
			for _, p := range w.phones {
				p.goTo(false)
			}
		})
	}
}

// officeLets has the office let phones bring all that was lost, where a server
// noticed that it has less than it told: the office's own browser may be gone.
// Where there are two servers each does, for what that browser wrote at the
// other one is refused from phones, and no server notices that.
func (w *World) officeLets() {
	for _, s := range []*Server{w.server, w.second} {
		if s.room != nil && (w.two || s.disk.row.OlderMs > 0) && s.disk.row.RefilledMs == 0 {
			s.disk.row.RefilledMs = w.real()
			s.die()
			s.boot()
		}
	}
}

// check holds the end of the day to every promise.
func (w *World) check() {
	final := w.server.disk.events
	w.checkKept(final)
	w.checkChains(final)
	views := w.checkSame(final)
	if w.violation == nil {
		w.checkCounts(final, views)
		w.checkTimes(final)
	}
}

// slackMs is how wrong a time may be that is not marked about: what a clock may
// be off before it is noted, and how late the answer that measured it may come.
const slackMs = 2000 + 2000

// checkTimes: where a start's clock was noted, its events are dated right.
func (w *World) checkTimes(final []*event.Event) {
	state := w.server.room.State()
	for _, e := range final {
		f := w.fates[e.Hash]
		if f == nil || f.forged {
			continue
		}
		if _, noted := state.RoomTime(e.Replica, e.Start, e.SinceMs); !noted {
			continue
		}
		if ms, about := state.At(e); !about && (ms-f.realMs > slackMs || f.realMs-ms > slackMs) {
			w.violate("Time", "%v is dated %d ms off", e.Ref(), ms-f.realMs)
		}
	}
}

// checkKept: no kept tap is lost (O1), and everything drained (O8).
func (w *World) checkKept(final []*event.Event) {
	held := make(map[event.Hash]bool, len(final))
	for _, e := range final {
		held[e.Hash] = true
	}
	for h, f := range w.fates {
		if f.kept && !w.cutOff(f) && !held[h] {
			w.violate("O1", "lost: %v of %v", f.event.Fact.Kind(), f.event.Ref())
		}
	}
	for h := range w.onDisks() {
		if f := w.fates[h]; !held[h] && (f == nil || !w.cutOff(f)) {
			w.violate("O1", "on a disk and not in the room: %v", h)
		}
	}
	want := w.server.room.Vector()
	for _, p := range w.phones {
		r := p.engine.Replica()
		if got := r.Vector(); !slices.Equal(got, want) {
			w.violate("O8", "%s holds %v, the room %v", p.name, got, want)
		}
		if peer := r.Know(want, func(event.ReplicaID) bool { return false }); len(r.Missing(&peer)) > 0 {
			w.violate("O8", "%s still has what the room lacks", p.name)
		}
	}
}

// cutOff says whether an event, or one that it follows, is on no disk any more:
// what was carried for a phone that was wiped waits for good when the server
// lost what came before.
func (w *World) cutOff(f *fate) bool {
	for ; f != nil; f = w.fates[f.event.Prev] {
		if f.destroyed {
			return true
		}
	}
	return false
}

// checkChains: every event on the server's disk links (O5).
func (w *World) checkChains(final []*event.Event) {
	seen := make(map[event.Ref]bool, len(final))
	heads := make(map[event.ReplicaID]int)
	for _, e := range final {
		back, err := event.Decode(e.Body)
		if err != nil || back.Hash != e.Hash {
			w.violate("O5", "the disk has changed %v", e.Ref())
			return
		}
		before := event.Ref{Replica: e.Replica, Seq: e.Seq - 1, Check: [8]byte(e.Prev[:8])}
		if e.Seq > 1 && !seen[before] {
			w.violate("O5", "%v follows what is not there", e.Ref())
		}
		seen[e.Ref()] = true
	}
	for _, ref := range w.server.room.Vector() {
		heads[ref.Replica]++
	}
	splits := int64(0)
	for _, n := range heads {
		if n > 1 {
			splits++
		}
	}
	if splits > 0 && !w.copied {
		w.violate("O5", "%d histories split, and no phone was copied, set back or out of room", splits)
	}
	if got := settled(w.server.room.State()).Session.Splits; got != splits {
		w.violate("O5", "the figures say %d histories are split, there are %d", got, splits)
	}
}

// settled is what everyone must see alike: no own tally, no links, a fixed now.
func settled(s *session.State) session.View {
	return s.View(event.ReplicaID{}, startMs, nil)
}

// checkSame: the same set gives the same figures everywhere, and in any order (O3).
func (w *World) checkSame(final []*event.Event) session.View {
	v := settled(w.server.room.State())
	want := asJSON(v)
	for _, p := range w.phones {
		if got := asJSON(settled(p.engine.Replica().State())); !bytes.Equal(got, want) {
			w.violate("O3", "%s draws %s, the room %s", p.name, part(got, want), part(want, got))
		}
	}
	var again session.State
	for _, e := range w.shuffled(final) {
		if err := again.Apply(e); err != nil {
			w.violate("O3", "in another order %v is refused: %v", e.Ref(), err)
			return v
		}
	}
	if got := asJSON(settled(&again)); !bytes.Equal(got, want) {
		w.violate("O3", "in another order: %s, the room %s", part(got, want), part(want, got))
	}
	return v
}

// shuffled is the events in another order that still links.
func (w *World) shuffled(events []*event.Event) []*event.Event {
	waiting := make(map[event.Ref][]*event.Event) // by what each follows
	var ready, out []*event.Event
	for _, e := range events {
		if e.Seq == 1 {
			ready = append(ready, e)
			continue
		}
		before := event.Ref{Replica: e.Replica, Seq: e.Seq - 1, Check: [8]byte(e.Prev[:8])}
		waiting[before] = append(waiting[before], e)
	}
	for len(ready) > 0 {
		at := w.random.IntN(len(ready))
		e := ready[at]
		ready = append(slices.Delete(ready, at, at+1), waiting[e.Ref()]...)
		out = append(out, e)
	}
	return out
}

func asJSON(v session.View) []byte {
	out, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("simulation: a view is no JSON: %v", err))
	}
	return out
}

// part is where two texts begin to differ.
func part(a, b []byte) string {
	at := 0
	for at < len(a) && at < len(b) && a[at] == b[at] {
		at++
	}
	return "…" + string(a[max(0, at-40):min(len(a), at+40)]) + "…"
}
