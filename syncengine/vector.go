package syncengine

import (
	"slices"

	"rootledger/shared/event"
)

// Vector says which events a replica holds: of each origin the highest seq,
// and the ranges missing below it.
type Vector struct {
	Highest map[event.ReplicaID]uint64
	Holes   []Span // ascending by replica, then seq
}

// Span is the events From..To of one replica, both ends included.
type Span struct {
	Replica  event.ReplicaID
	From, To uint64
}

// Has says whether the vector includes an event.
func (v Vector) Has(replica event.ReplicaID, seq uint64) bool {
	if seq > v.Highest[replica] {
		return false
	}
	at, _ := slices.BinarySearchFunc(v.Holes, Span{Replica: replica, From: seq + 1}, compareSpan)
	if at == 0 {
		return true
	}
	before := v.Holes[at-1] // the last hole that begins at seq or before
	return before.Replica != replica || seq > before.To
}

func compareSpan(a, b Span) int {
	return event.CompareRef(event.Ref{Replica: a.Replica, Seq: a.From}, event.Ref{Replica: b.Replica, Seq: b.From})
}

// UpTo is the last seq of a replica before the first that is missing.
func (v Vector) UpTo(replica event.ReplicaID) uint64 {
	for _, hole := range v.Holes {
		if hole.Replica == replica {
			return hole.From - 1
		}
	}
	return v.Highest[replica]
}

// Raise adds every event of a replica up to a seq.
func (v *Vector) Raise(replica event.ReplicaID, upTo uint64) {
	if v.Highest == nil {
		v.Highest = make(map[event.ReplicaID]uint64)
	}
	v.Highest[replica] = max(v.Highest[replica], upTo)
	kept := v.Holes[:0:0]
	for _, hole := range v.Holes {
		if hole.Replica == replica && hole.From <= upTo {
			if hole.To <= upTo {
				continue
			}
			hole.From = upTo + 1
		}
		kept = append(kept, hole)
	}
	v.Holes = kept
}

// replicas lists the vector's replicas in ascending order.
func (v Vector) replicas() []event.ReplicaID {
	out := make([]event.ReplicaID, 0, len(v.Highest))
	for id := range v.Highest {
		out = append(out, id)
	}
	sortReplicas(out)
	return out
}

func sortReplicas(ids []event.ReplicaID) {
	slices.SortFunc(ids, func(a, b event.ReplicaID) int {
		return event.CompareRef(event.Ref{Replica: a}, event.Ref{Replica: b})
	})
}
