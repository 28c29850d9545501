// Package bridge is the contract between the engine and the screens, in plain
// Go and tested without a browser. Here: the View in sections, of which only
// those that changed cross.
package bridge

import (
	"bytes"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

//go:generate go run ./gen

// Sections remembers how every section of a View was last encoded. The zero
// value has sent nothing yet.
type Sections struct {
	last     [sectionCount][]byte
	revision [sectionCount]uint64
	scratch  []byte
	changed  [sectionCount]Change
	kept     kept
}

// Change is one section that differs from what was sent last.
type Change struct {
	Section  int    // its place in session.View, from 0
	Revision uint64 // counts the changes of this section, from 1
	Body     []byte // CBOR: structs as arrays in the order of their fields
}

// Changed encodes a view and returns the sections that differ from the call
// before, in the order of the View. They are valid until the next call.
func (s *Sections) Changed(v *session.View) []Change {
	out := s.changed[:0]
	for i := range s.last {
		if s.kept.same(i, v) {
			continue
		}
		w := event.NewWriter(s.scratch[:0])
		writeSection(w, i, v)
		s.scratch = w.Out()
		if bytes.Equal(s.scratch, s.last[i]) {
			continue
		}
		s.last[i] = append(s.last[i][:0], s.scratch...)
		s.revision[i]++
		out = append(out, Change{i, s.revision[i], s.last[i]})
	}
	return out
}
