package crash

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rootledger/server/auth"
)

const (
	tapEvery = 8 * time.Millisecond // of each of six phones
	perRoom  = 25                   // kills of one session; then a new one is opened beside it
)

// tally is what a run came to.
type tally struct {
	kills, early         int
	acknowledged, stored int
	lost                 int // acknowledged and not there
	unsure, unsent       int // at the kills: stored but not acknowledged; tapped but not stored
}

// TestKilled kills the server at random moments under load, also while it is
// starting, and starts it again.
func TestKilled(t *testing.T) {
	cycles := cyclesWanted(t)
	ctx := within(t, time.Minute+time.Duration(cycles)*10*time.Second)
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	random := rand.New(rand.NewPCG(seed, 0))
	began, sum := time.Now(), tally{}
	for done := 0; done < cycles; done += perRoom {
		t.Run(fmt.Sprintf("room-%d", done/perRoom+1), func(t *testing.T) {
			killInRoom(ctx, t, dir, addr, min(perRoom, cycles-done), random, &sum)
		})
		if t.Failed() {
			break
		}
	}
	t.Logf("%d kills in %.0f s, %d of them while it was starting: %d events acknowledged, %d stored, %d lost; "+
		"at the kills %d were stored but not acknowledged, %d tapped but not stored",
		sum.kills, time.Since(began).Seconds(), sum.early, sum.acknowledged, sum.stored, sum.lost, sum.unsure, sum.unsent)
	note("killed under load", sum.lost, "%d kills, %d events acknowledged, %d stored", sum.kills, sum.acknowledged, sum.stored)
}

func killInRoom(ctx context.Context, t *testing.T, dir, addr string, cycles int, random *rand.Rand, sum *tally) {
	name := strings.TrimPrefix(t.Name(), "TestKilled/")
	p := serving(ctx, t, dir, addr)
	r := gather(ctx, t, p, dir, name)
	defer func() { sum.lost += r.lost }()
	r.begin(tapEvery)
	before := r.told()
	for i := range cycles {
		if i > 0 && random.IntN(5) == 0 {
			sum.early++
			pause(ctx, time.Duration(random.IntN(60))*time.Millisecond)
		} else {
			p.ready(ctx, t)
			r.heard(ctx, t, before)
			pause(ctx, time.Duration(random.IntN(1200))*time.Millisecond)
			if random.IntN(3) > 0 { // just when something is promised
				h := r.hands[random.IntN(len(r.hands))]
				_, stored := h.counts()
				must(t, h.phone.Until(ctx, func(_ int, _, s uint64) bool { return s > stored }))
			}
		}
		p.kill(t)
		stored := r.check(ctx, t, dir)
		before = r.told()
		sum.kills++
		sum.unsure += stored - int(r.acknowledged())
		for _, h := range r.all() {
			sum.unsent += len(h.written())
		}
		sum.unsent -= stored
		p = start(t, dir, addr)
	}
	p.ready(ctx, t)
	r.heard(ctx, t, before)
	r.stopTapping(t)
	wall := r.settle(ctx, t)
	p.stop(ctx, t)
	r.agree(ctx, t, dir, wall)
	sum.acknowledged += int(r.acknowledged())
	sum.stored += len(r.earlier)
}

// TestKilledAtFirstStart kills the server while it makes its data directory:
// the next start must find nothing half made.
func TestKilledAtFirstStart(t *testing.T) {
	ctx := within(t, time.Minute)
	random := rand.New(rand.NewPCG(seed, 1))
	addr := freeAddr(t)
	for range 8 {
		dir := filepath.Join(t.TempDir(), "data")
		p := start(t, dir, addr)
		pause(ctx, time.Duration(random.IntN(60_000))*time.Microsecond)
		p.kill(t)
		p = serving(ctx, t, dir, addr)
		p.kill(t)
		must(t, sound(ctx, dir))
		hasToken(t, dir)
	}
}

// hasToken wants the office to be able to sign in.
func hasToken(t *testing.T, dir string) {
	t.Helper()
	if token, err := auth.ReadOfficeToken(dir); err != nil || len(token) != 40 {
		t.Errorf("the office token is %q, %v", token, err)
	}
}
