package hub

import (
	"context"
	"slices"

	"rootledger/server/store"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// unwelcome is why an event is not taken from a connection, nil when it is. What
// opens, plans or ends a session, leads it, settles, concludes a trial, takes shares back, sets agents
// or rules for doses, or undoes or moves what is another's, must be written by
// whoever joined with the office token. Any phone that was let in may
// bring what another one wrote: events are not signed yet, so whoever is let in
// is trusted not to write in another's name. While the office has a session
// refilled, all that anyone let in brings is taken.
func (r *Room) unwelcome(b *batch, from *Conn, e *event.Event) *fault.Fault {
	if r.row.RefilledMs > 0 {
		return nil
	}
	if _, f := r.member(b, from.replica); f != nil && !r.older() {
		return f
	}
	role, f := r.roleOf(b, e)
	if f != nil {
		return f
	}
	if role != roleOffice && needsOffice(e) {
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
			if r.phones[e.Phone] != roleOffice {
				r.phones[e.Phone] = e.Role
			}
		}
	}
	e, known := r.members[id]
	if !known {
		return e, fault.New(fault.Denied, "not-enrolled")
	}
	return e, nil
}

// roleOf is the role of an event's author, or why it is not taken. A phone that
// was let in before counts under a new id that the server has not met: it went
// on so without a network. Another server of the room may have written what only
// servers write. While this database is known to be older than what it told, it
// may have forgotten whom it let in: anyone may then have counted.
func (r *Room) roleOf(b *batch, e *event.Event) (role string, f *fault.Fault) {
	author, f := r.member(b, e.Replica)
	switch server := e.Fact.Kind().ByServer(); {
	case f == nil && server:
		return "", fault.New(fault.Denied, "needs-server").With("kind", e.Fact.Kind().String())
	case f == nil:
		return author.Role, nil
	case server:
		return "", r.manyIDs(b, e, maxServers, func(first *event.Event) bool { return first.Fact.Kind().ByServer() })
	}
	if e.Seq == 1 {
		b.firsts[e.Replica] = e.Phone
	}
	phone := b.firsts[e.Replica]
	if first := r.replica.First(e.Replica); first != nil {
		phone = first.Phone
	}
	role, known := r.phones[phone]
	if !known && !r.older() {
		return "", f
	}
	return role, r.manyIDs(b, e, store.MaxIDs, func(first *event.Event) bool { return first.Phone == phone })
}

// maxServers is how many other servers of one room are believed to have been.
const maxServers = 16

// manyIDs is why one more id of its kind is not taken, nil when it may be. Those
// of the batch at hand are counted whatever their kind.
func (r *Room) manyIDs(b *batch, e *event.Event, most int, alike func(first *event.Event) bool) *fault.Fault {
	if e.Seq > 1 || r.replica.First(e.Replica) != nil {
		return nil
	}
	if r.replica.Began(alike)+b.began < most {
		b.began++
		return nil
	}
	return fault.New(fault.TooMuch, "ids-many").WithInt("max", int64(most))
}

// older says whether this database noticed that it has less than it told.
func (r *Room) older() bool { return r.row.OlderMs > 0 }

// roleOffice is the role of an enrolment that was made with the office token.
const roleOffice = "office"

func needsOffice(e *event.Event) bool {
	switch f := e.Fact.(type) {
	case *event.Opened, *event.Ended, *event.Budget, *event.Zone, *event.Region, *event.Yield, *event.Floor, *event.Watch,
		*event.Keeping, *event.Agent, *event.DoseRule:
		return true
	case *event.Joined:
		return f.Station == event.Lead || f.Station == event.Office
	case *event.Void:
		return f.Target.Replica != e.Replica
	case *event.Restore:
		return f.Target.Replica != e.Replica
	case *event.Refiled:
		return slices.ContainsFunc(f.Targets, func(target event.Ref) bool { return target.Replica != e.Replica })
	case *event.Settled, *event.TrialConcluded, *event.Reclaimed:
		return true
	}
	return false
}
