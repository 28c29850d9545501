package hub

import (
	"context"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// unwelcome is why an event is not taken from a connection, nil when it is. What
// opens, plans or ends a session, leads it, or undoes what is another's, must be
// written by whoever joined with the office token. Any phone that was let in may
// bring what another one wrote: events are not signed yet, so whoever is let in
// is trusted not to write in another's name. While a session is refilled after
// the server lost some of it, all that anyone let in brings is taken.
func (r *Room) unwelcome(b *batch, from *Conn, e *event.Event) *fault.Fault {
	if r.row.RefilledMs > 0 {
		return nil
	}
	if e.Fact.Kind().ByServer() {
		return fault.New(fault.Denied, "needs-server").With("kind", e.Fact.Kind().String())
	}
	if _, f := r.member(b, from.replica); f != nil {
		return f
	}
	author, f := r.member(b, e.Replica)
	if f != nil && !r.byPhone(b, e) {
		return f
	}
	if author.Role != roleOffice && needsOffice(e) {
		return fault.New(fault.Denied, "needs-office").With("kind", e.Fact.Kind().String())
	}
	return nil
}

// member finds who was let in under a replica id, or says why not. For one that
// is not known yet, who was let in is read again, once a batch.
func (r *Room) member(b *batch, id event.ReplicaID) (store.Enrolment, *fault.Fault) {
	if _, known := r.members[id]; !known && !b.learned {
		b.learned = true
		rows, err := r.hub.store.Enrolments(context.WithoutCancel(r.hub.ctx), r.row.Row)
		if err != nil {
			r.hub.log.Error("who was let in can not be read", "error", err)
			return store.Enrolment{}, fault.New(fault.Unavailable, "not-now")
		}
		for _, e := range rows {
			r.members[e.Replica] = e
			r.phones[e.Phone] = true
		}
	}
	e, known := r.members[id]
	if !known {
		return e, fault.New(fault.Denied, "not-enrolled")
	}
	return e, nil
}

// byPhone lets a phone in that was let in before and counts under a new id that
// the server has not met: it went on so without a network. It may only count.
func (r *Room) byPhone(b *batch, e *event.Event) bool {
	if e.Seq == 1 {
		b.firsts[e.Replica] = e.Phone
	}
	phone := b.firsts[e.Replica]
	if first := r.replica.First(e.Replica); first != nil {
		phone = first.Phone
	}
	return r.phones[phone]
}

// roleOffice is the role of an enrolment that was made with the office token.
const roleOffice = "office"

func needsOffice(e *event.Event) bool {
	switch f := e.Fact.(type) {
	case *event.Opened, *event.Ended, *event.Budget, *event.Zone, *event.Region, *event.Yield:
		return true
	case *event.Joined:
		return f.Station == event.Lead || f.Station == event.Office
	case *event.Void:
		return f.Target.Replica != e.Replica
	case *event.Restore:
		return f.Target.Replica != e.Replica
	}
	return false
}
