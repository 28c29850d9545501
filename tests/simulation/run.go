package simulation

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// Result is what became of one script.
type Result struct {
	Seed      uint64
	Faults    int
	Events    int
	Steps     []string
	Violation *Violation
}

// Play runs a script to its end and checks it.
func Play(s Script) (out Result) {
	w := newWorld(s.Seed)
	defer func() {
		if r := recover(); r != nil {
			w.violate("O5", "a panic: %v\n%s", r, debug.Stack())
		}
		out = Result{s.Seed, w.faults, len(w.fates), w.steps, w.violation}
	}()
	w.begin(s)
	for _, a := range s.Actions {
		w.after(a.AtMs, func() {
			w.note("%s (phone %d, %d)", a.Do, a.Who, a.Arg)
			if faultDeeds[a.Do] != nil {
				w.faults++
				w.copied = w.copied || splitting[a.Do]
			}
			deeds[a.Do](w, a)
			w.pump()
		})
	}
	w.runUntil(s.EndMs)
	w.note("the faults stop")
	w.heal()
	w.runUntil(s.EndMs + settleMs)
	if w.two {
		w.runUntil(s.EndMs + 2*settleMs)
	}
	if w.violation == nil {
		w.check()
	}
	return out
}

// begin opens the server, the phones and the walls; the office's phone opens
// the session and plans it.
func (w *World) begin(s Script) {
	w.server.boot()
	for i := range s.Phones + 1 {
		p := &Phone{w: w, name: fmt.Sprintf("phone %d", i), office: i == 0, disk: w.newDisk()}
		p.replica = p.disk.replica
		w.phones = append(w.phones, p)
		w.server.enrol(p)
	}
	for i := range s.Walls {
		w.phones = append(w.phones, &Phone{w: w, name: fmt.Sprintf("wall %d", i), wall: true, disk: new(phoneDisk)})
	}
	for i, p := range w.phones {
		w.after(int64(i)*20, p.boot)
	}
	w.after(200, func() { w.phones[0].plan() })
}

// Trace is a result in words.
func (r Result) Trace() string {
	var b strings.Builder
	fmt.Fprintf(&b, "seed %d: %v\n", r.Seed, r.Violation)
	for _, step := range r.Steps {
		b.WriteString("  " + step + "\n")
	}
	return b.String()
}
