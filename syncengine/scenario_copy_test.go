package syncengine

import "rootledger/shared/event"

// copy starts a second phone from all that one keeps: a copied profile, or a
// phone restored from a backup. It is away until it comes back.
func (s *stage) copy(of *Replica, name string) {
	r := New(of.Me())
	var all []*event.Event
	for _, ref := range of.Vector() {
		of.History(ref.Replica, func(e *event.Event) { all = append(all, e) })
	}
	if _, refused := r.Load(all, Now{WallMs: s.ms}); len(refused) > 0 {
		s.t.Fatalf("%s: %v", s.line, refused[0].Fault)
	}
	s.phones[name], s.away[name] = r, true
	s.order = append(s.order, name)
}

// goOn has a phone that knows of its copy write under an id of its own.
func (s *stage) goOn(r *Replica) {
	if !r.Cloned() {
		s.t.Errorf("%s: it does not know of any copy", s.line)
	}
	me := r.Me()
	was := me.Replica
	me.Replica[1] = byte(len(s.names) + r.State().Events()) // grows, so no two are the same
	r.GoOnAs(me)
	if _, err := r.Record(&event.Joined{Person: "again", Station: r.State().Station(was), Was: was}, false, Now{WallMs: s.ms}); err != nil {
		s.t.Fatalf("%s: %v", s.line, err)
	}
	s.spread()
}
