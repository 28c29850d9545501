// Package load taps for many phones at a set pace and measures how long each
// tap takes to be on a wall. It drives any server through three small
// interfaces, so that two servers are measured by the same code.
//
// The loop is open: each tap has its time in advance, and a server that is slow
// gets the next one all the same. Phones, wall and server share one process
// and its cores, so every figure includes the work of the clients.
package load

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"time"
)

const (
	// MaxPhones is the most phones of one load.
	MaxPhones = 200
	// MaxTaps is the most taps of one load.
	MaxTaps = 200_000
	// MaxTime is the longest load.
	MaxTime = 5 * time.Minute
	// Patience is how long after the last tap one may still be missing.
	Patience = 5 * time.Second

	lead = 20 * time.Millisecond // from the last connection to the first tap
	seed = 20_240_229            // of the spread of the taps
)

// Phone sends taps.
type Phone interface {
	// Tap sends one tap, without waiting for an answer, and returns what
	// tells it from all other taps of the room.
	Tap() (id uint64, err error)
	// Close ends the connection. It fails when a tap was not acknowledged.
	Close() error
}

// Wall shows taps.
type Wall interface {
	// Next blocks until a frame comes and returns the taps that are now on
	// the wall and were not before. Ids that nobody sent are passed over.
	Next() (seen []uint64, err error)
	// Close ends the connection, and with it a Next that blocks.
	Close() error
}

// Room is a running server to which phones and walls connect.
type Room interface {
	// Phone connects phone i, from 0.
	Phone(i int) (Phone, error)
	// Wall connects a wall. When it returns, the wall misses no later tap.
	Wall() (Wall, error)
}

// Result is what one load came to.
type Result struct {
	// Samples has, for each tap, the time from just before it was sent until
	// the client of the wall had read a frame that shows it.
	Samples []time.Duration
	// Late is how far behind its time the latest tap was sent. When it is
	// near the time between two taps of a phone, the load was not the one
	// asked for and the samples flatter the server.
	Late time.Duration
}

// Latencies taps for d with so many phones, each perSecond times a second, and
// fails when a tap is not on the wall within Patience after the last one.
func Latencies(room Room, phones int, perSecond float64, d time.Duration) (result Result, err error) {
	taps, err := bound(phones, perSecond, d)
	if err != nil {
		return Result{}, err
	}
	wall, err := room.Wall()
	if err != nil {
		return Result{}, fmt.Errorf("wall: %w", err)
	}
	t := &tally{seen: map[uint64]time.Time{}, news: make(chan struct{}, 1)}
	var watching sync.WaitGroup
	watching.Go(func() { t.watch(wall) })
	defer func() {
		err = errors.Join(err, wall.Close())
		watching.Wait()
	}()
	senders, err := connect(room, phones, taps)
	if err == nil {
		err = tapAll(senders, d)
	}
	if err == nil {
		err = t.await(senders)
	}
	for _, s := range senders {
		err = errors.Join(err, s.phone.Close())
	}
	if err != nil {
		return Result{}, err
	}
	return t.result(senders), nil
}

// bound is the number of taps of one phone, at least one.
func bound(phones int, perSecond float64, d time.Duration) (taps int, err error) {
	if phones < 1 || phones > MaxPhones || d <= 0 || d > MaxTime || !(perSecond > 0 && perSecond <= MaxTaps) {
		return 0, fmt.Errorf("load out of bounds: %d phones, %g taps a second, %v", phones, perSecond, d)
	}
	taps = max(1, int(math.Round(perSecond*d.Seconds())))
	if taps > MaxTaps/phones {
		return 0, fmt.Errorf("load out of bounds: %d taps each of %d phones", taps, phones)
	}
	return taps, nil
}

// sender is one phone with what it is to send and what it has sent.
type sender struct {
	phone Phone
	spots []float64 // when, as parts of the whole time
	sent  []sending
	late  time.Duration
}

type sending struct {
	id uint64
	at time.Time
}

// connect opens all phones. With an error it also returns those that are open.
func connect(room Room, phones, taps int) ([]*sender, error) {
	var senders []*sender
	for i := range phones {
		phone, err := room.Phone(i)
		if err != nil {
			return senders, fmt.Errorf("phone %d: %w", i, err)
		}
		senders = append(senders, &sender{phone: phone, spots: spread(i, taps), sent: make([]sending, 0, taps)})
	}
	return senders, nil
}

// spread cuts the time into equal parts, one for each tap, and puts the tap
// anywhere in its part: the pace holds, phones do not tap in step, and the same
// phone taps at the same times in every load.
func spread(phone, taps int) []float64 {
	chance := rand.New(rand.NewPCG(seed, uint64(phone)))
	spots := make([]float64, taps)
	for k := range spots {
		spots[k] = (float64(k) + chance.Float64()) / float64(taps)
	}
	return spots
}

func tapAll(senders []*sender, d time.Duration) error {
	start := time.Now().Add(lead)
	errs := make([]error, len(senders))
	var tapping sync.WaitGroup
	for i, s := range senders {
		tapping.Go(func() { errs[i] = s.run(start, d) })
	}
	tapping.Wait()
	return errors.Join(errs...)
}

func (s *sender) run(start time.Time, d time.Duration) error {
	for _, spot := range s.spots {
		due := start.Add(time.Duration(spot * float64(d)))
		time.Sleep(time.Until(due))
		at := time.Now()
		id, err := s.phone.Tap()
		if err != nil {
			return fmt.Errorf("tap: %w", err)
		}
		s.sent = append(s.sent, sending{id, at})
		s.late = max(s.late, at.Sub(due))
	}
	return nil
}

// tally knows when each tap was first on the wall.
type tally struct {
	news chan struct{} // something was seen, or the wall has ended

	mu   sync.Mutex // guards what follows
	seen map[uint64]time.Time
	end  error
}

func (t *tally) watch(wall Wall) {
	for {
		ids, err := wall.Next()
		now := time.Now()
		t.mu.Lock()
		t.end = err
		for _, id := range ids {
			if _, again := t.seen[id]; !again {
				t.seen[id] = now
			}
		}
		t.mu.Unlock()
		select {
		case t.news <- struct{}{}:
		default:
		}
		if err != nil {
			return
		}
	}
}

// await returns when every tap that was sent is on the wall.
func (t *tally) await(senders []*sender) error {
	timer := time.NewTimer(Patience)
	defer timer.Stop()
	for {
		missing, end := t.missing(senders)
		if missing == 0 {
			return nil
		}
		if end != nil {
			return fmt.Errorf("%d taps lost: the wall ended: %w", missing, end)
		}
		select {
		case <-t.news:
		case <-timer.C:
			return fmt.Errorf("%d taps lost: not on the wall %v after the last", missing, Patience)
		}
	}
}

func (t *tally) missing(senders []*sender) (missing int, end error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, s := range senders {
		for _, tap := range s.sent {
			if _, ok := t.seen[tap.id]; !ok {
				missing++
			}
		}
	}
	return missing, t.end
}

func (t *tally) result(senders []*sender) Result {
	t.mu.Lock()
	defer t.mu.Unlock()
	var r Result
	for _, s := range senders {
		r.Samples = slices.Grow(r.Samples, len(s.sent))
		r.Late = max(r.Late, s.late)
		for _, tap := range s.sent {
			r.Samples = append(r.Samples, t.seen[tap.id].Sub(tap.at))
		}
	}
	return r
}
