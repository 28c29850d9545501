package crash

import (
	"context"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"rootledger/shared/event"
	"rootledger/tests/bench/laden"
)

// TestManyComeBack lets a whole house of phones come back at once, each with a
// day's counts: all are acknowledged and on the wall, each once, and no phone
// waits much longer than the others.
func TestManyComeBack(t *testing.T) {
	phones, each, patience := 30, 1000, 2*time.Minute
	if soaking() {
		phones, each, patience = 300, 10_000, time.Hour
	}
	ctx := within(t, patience)
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	p := serving(ctx, t, dir, addr)
	r := open(ctx, t, p, dir, "return")
	must(t, r.office.phone.InRoom(ctx))
	r.office.phone.Away(true) // one that folds every event is enough
	total := len(r.office.taps) + phones*each
	back := write(ctx, t, r, phones, each)
	began := time.Now()
	took := bring(ctx, t, back)
	must(t, r.wall.Until(ctx, func(events int, _, _ uint64) bool { return events >= total }))
	onWall := time.Since(began)
	if got, want := r.wall.Settled().Ledger.Sorted.Total(), int64(phones*(each-1)); got != want || r.wall.Events() != total {
		t.Errorf("the wall has %d events and %d sorted, not %d and %d", r.wall.Events(), got, total, want)
	}
	slowest, middle := slices.Max(took), percentile(took, 50)
	if slowest > 3*middle+2*time.Second {
		t.Errorf("the slowest phone waited %v, and half of them at most %v", slowest, middle)
	}
	memory := p.memory(t)
	p.stop(ctx, t)
	lost := missing(ctx, t, r, dir, back, each)
	connections := 0
	for _, one := range back {
		connections += one.Connections
	}
	t.Logf("%d phones with %d events each: all acknowledged after %.1f s and on the wall after %.1f s (%.0f events/s), the slowest phone after %.2f times the median; %d connections; the server took up to %d MB",
		phones, each, slowest.Seconds(), onWall.Seconds(), float64(phones*each)/onWall.Seconds(), slowest.Seconds()/middle.Seconds(), connections, memory.most>>20)
	note("come back at once", lost, "%d phones, %d events acknowledged", phones, phones*each)
}

// write has every phone join and count, as many at once as there are cores.
func write(ctx context.Context, t *testing.T, r *room, phones, each int) []*laden.Phone {
	t.Helper()
	back, errs := make([]*laden.Phone, phones), make([]error, phones)
	var writing sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for core := range cores {
		writing.Go(func() {
			for i := core; i < phones; i += cores {
				back[i], errs[i] = laden.New(ctx, r.api, r.id, each, now, func() event.Fact { return &event.Sorted{Size: 1, N: 1} })
			}
		})
	}
	writing.Wait()
	for _, err := range errs {
		must(t, err)
	}
	return back
}

// bring lets all phones come back at once, and says how long each took.
func bring(ctx context.Context, t *testing.T, back []*laden.Phone) []time.Duration {
	t.Helper()
	took, errs := make([]time.Duration, len(back)), make([]error, len(back))
	var bringing sync.WaitGroup
	began := time.Now()
	for i, one := range back {
		bringing.Go(func() {
			errs[i] = one.Bring(ctx)
			took[i] = time.Since(began)
		})
	}
	bringing.Wait()
	for _, err := range errs {
		must(t, err)
	}
	return took
}

// missing reads the store of a server that is down, and says how many events of
// the phones are not there; every one that is must be there once, in its chain.
func missing(ctx context.Context, t *testing.T, r *room, dir string, back []*laden.Phone, each int) (lost int) {
	t.Helper()
	must(t, sound(ctx, dir))
	events, err := arrived(ctx, dir, r.id)
	must(t, err)
	heads, err := linked(events)
	must(t, err)
	for _, one := range back {
		if one.Stored() != uint64(each) {
			t.Errorf("a phone was told of %d events, not %d", one.Stored(), each)
		}
		lost += each - int(heads[one.Replica()])
	}
	if want := len(r.office.taps) + len(back)*each; lost != 0 || len(events) != want {
		t.Errorf("%d events are stored, not %d, and %d of the phones' are not there", len(events), want, lost)
	}
	return lost
}

// percentile is the smallest sample that at least p of 100 do not exceed.
func percentile(samples []time.Duration, p int) time.Duration {
	sorted := slices.Sorted(slices.Values(samples))
	return sorted[max(0, (p*len(sorted)+99)/100-1)]
}
