// Package simulation runs the real engine of phones and the real room of the
// server on a clock, network, disks and people that a seed decides, with faults
// of every kind, and checks after every step and at the end that no count is
// lost, none is counted twice, and everyone sees the same.
package simulation

import (
	"container/heap"
	"fmt"
	"math/rand/v2"

	"rootledger/shared/event"
)

// startMs is when every simulated day begins, in ms since 1970.
const startMs = 1_800_000_000_000

// World is one simulated room. All of it runs on one goroutine.
type World struct {
	seed    uint64
	random  *rand.Rand
	nowMs   int64 // since the day began
	queue   queue
	pushed  uint64
	session event.SessionID

	server *Server
	second *Server  // of the same room, when somebody goes to it
	two    bool     // somebody did
	phones []*Phone // walls too

	fates     map[event.Hash]*fate
	files     [][]byte // hand-over files that nobody has carried in yet
	faults    int
	copied    bool     // something happened that may split a history
	steps     []string // what was done, in words
	violation *Violation
}

// fate is what became of one event that a phone wrote.
type fate struct {
	event     *event.Event
	realMs    int64 // when it was written in truth, ms since 1970
	forged    bool  // somebody changed another event into it
	kept      bool  // it was on its phone's disk, and so on the screen
	destroyed bool  // the last disk that had it was wiped or set back
}

// Violation is a promise that was broken:
//
//	O1  no kept tap is lost, and none is sent before it is kept
//	O2  the figures are those of the distinct events that are not void
//	O3  the same set of events gives the same figures everywhere, in any order
//	O4  what was acknowledged is there after a kill
//	O5  chains link, split histories show, and nobody writes on under an id that
//	    it knows to be used elsewhere
//	O8  when the faults stop, everyone holds everything in bounded time
//	Truth  a phone that says "all in the room" is right
//	Time   what a phone wrote after its clock was noted is dated right, by all
//
// Kept free for what the log does not do yet: O6 (tree heads are prefixes), O7
// (shares are not exceeded), O9 (sealed bytes never change).
type Violation struct {
	Oracle string
	What   string
	AtMs   int64
}

func (v *Violation) Error() string {
	return fmt.Sprintf("%s at %d ms: %s", v.Oracle, v.AtMs, v.What)
}

func (w *World) violate(oracle, format string, args ...any) {
	if w.violation == nil {
		w.violation = &Violation{oracle, fmt.Sprintf(format, args...), w.nowMs}
	}
}

func newWorld(seed uint64) *World {
	w := &World{seed: seed, random: rand.New(rand.NewPCG(seed, 0x726F6F74)), fates: make(map[event.Hash]*fate)}
	fill(w.random, w.session[:])
	w.server, w.second = newServer(w), newServer(w)
	w.second.disk = w.second.blank(startMs) // set up for a room that began elsewhere
	return w
}

func fill(random *rand.Rand, b []byte) {
	for i := range b {
		b[i] = byte(random.Uint32())
	}
	b[0] |= 1 // never all zero
}

// real is the true time, in ms since 1970.
func (w *World) real() int64 { return startMs + w.nowMs }

// between is a random number of ms, both ends included.
func (w *World) between(least, most int64) int64 { return least + w.random.Int64N(most-least+1) }

// step is something that will happen.
type step struct {
	atMs  int64
	order uint64
	do    func()
}

type queue []step

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].atMs < q[j].atMs || q[i].atMs == q[j].atMs && q[i].order < q[j].order
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(step)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// after has do happen in a number of ms.
func (w *World) after(ms int64, do func()) {
	w.pushed++
	heap.Push(&w.queue, step{w.nowMs + max(ms, 0), w.pushed, do})
}

// runUntil does everything up to a time, or until a promise is broken.
func (w *World) runUntil(ms int64) {
	for len(w.queue) > 0 && w.queue[0].atMs <= ms && w.violation == nil {
		next := heap.Pop(&w.queue).(step)
		w.nowMs = next.atMs
		next.do()
	}
	w.nowMs = max(w.nowMs, ms)
}

// note writes down what was done, for the trace.
func (w *World) note(format string, args ...any) {
	w.steps = append(w.steps, fmt.Sprintf("%6.2f s  ", float64(w.nowMs)/1000)+fmt.Sprintf(format, args...))
}
