package crash

import (
	"context"
	"math/rand/v2"
	"sync"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// hand is one phone, who taps on it, and everything that was tapped.
type hand struct {
	phone        *practice.Phone
	me           event.ReplicaID
	station      event.Station
	random       *rand.Rand
	zone, region event.Ref
	pass         event.Ref
	truth        truth // to be read when the tapping has ended, as is failed
	failed       error

	mu   sync.Mutex
	taps []*event.Event // by seq
}

// tap records a fact and remembers its event before the next one.
func (h *hand) tap(fact event.Fact) (*event.Event, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	e, err := h.phone.Tap(fact, false)
	if err == nil {
		h.taps = append(h.taps, e)
		h.truth.add(fact, 1)
	}
	return e, err
}

func (h *hand) written() []*event.Event {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.taps[:len(h.taps):len(h.taps)]
}

// counts is how many events the phone wrote, and how many of them it was told
// are stored.
func (h *hand) counts() (written, stored uint64) {
	_ = h.phone.Until(context.Background(), func(_ int, w, s uint64) bool {
		written, stored = w, s
		return true
	})
	return written, stored
}

// tapAlong taps until ctx ends, with pauses of half to three halves of every.
// Now and then it undoes a tap, or sends one twice.
func (h *hand) tapAlong(ctx context.Context, every time.Duration) {
	if h.station == event.Extraction && h.pass.IsZero() {
		begun, err := h.tap(&event.PassBegun{Mode: event.Each, DiameterUM: 900})
		if err != nil {
			h.failed = err
			return
		}
		h.pass = begun.Ref()
	}
	for ctx.Err() == nil && h.failed == nil {
		fact := h.next()
		e, err := h.tap(fact)
		if err != nil {
			h.failed = err
			return
		}
		switch h.random.IntN(25) {
		case 0:
			if _, h.failed = h.tap(&event.Void{Target: e.Ref()}); h.failed == nil {
				h.truth.add(fact, -1)
			}
		case 1:
			h.phone.SendTwice(e)
		}
		pause(ctx, every/2+time.Duration(h.random.Int64N(int64(every))))
	}
}

// next is what happens next at the hand's station.
func (h *hand) next() event.Fact {
	size, n := event.Size(1+h.random.IntN(event.Sizes)), uint32(1+h.random.IntN(3))
	switch h.station {
	case event.Extraction:
		return &event.Attempt{Pass: h.pass, Region: h.region, Outcome: event.Outcome(1 + h.random.IntN(event.Outcomes)), N: n}
	case event.Sorting:
		if h.random.IntN(10) == 0 {
			return &event.Rejected{From: event.Bench, Reason: event.ReasonDried, N: n}
		}
		return &event.Sorted{Size: size, N: n}
	case event.SiteMaking:
		return &event.Sites{Zone: h.zone, Size: size, N: n}
	}
	return &event.Placed{Zone: h.zone, Size: size, N: n}
}

// truth is the sums of what was tapped and not undone.
type truth struct {
	Outcomes              [event.Outcomes]int64
	Sorted, Sites, Placed event.BySize
	Rejected              int64
}

func (t *truth) add(fact event.Fact, sign int64) {
	switch f := fact.(type) {
	case *event.Attempt:
		t.Outcomes[f.Outcome-1] += sign * int64(f.N)
	case *event.Sorted:
		t.Sorted[f.Size-1] += sign * int64(f.N)
	case *event.Rejected:
		t.Rejected += sign * int64(f.N)
	case *event.Sites:
		t.Sites[f.Size-1] += sign * int64(f.N)
	case *event.Placed:
		t.Placed[f.Size-1] += sign * int64(f.N)
	}
}

func (t *truth) plus(more truth) {
	for i, n := range more.Outcomes {
		t.Outcomes[i] += n
	}
	for i := range event.Sizes {
		t.Sorted[i] += more.Sorted[i]
		t.Sites[i] += more.Sites[i]
		t.Placed[i] += more.Placed[i]
	}
	t.Rejected += more.Rejected
}

// truthOf is the same sums as a wall shows them.
func truthOf(v session.View) truth {
	t := truth{Outcomes: v.Ledger.Attempts.Outcomes, Sorted: v.Ledger.Sorted, Placed: v.Ledger.Placed, Rejected: v.Ledger.RejectedBench}
	for _, z := range v.Zones {
		for i, n := range z.Sites {
			t.Sites[i] += n
		}
	}
	return t
}
