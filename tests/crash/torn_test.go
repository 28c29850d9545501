package crash

import (
	"bytes"
	"cmp"
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"rootledger/server/store"
	"rootledger/shared/event"
)

const (
	database = "rootledger.db"
	logFile  = database + "-wal"
)

// TestTornLog kills a server, and opens its data with the log damaged in many
// ways: what is left is what had been stored up to the damage. Then the server
// itself is started on a log cut in half, as after a disk that had promised too
// much: the phones bring back what it lost.
func TestTornLog(t *testing.T) {
	ctx := within(t, 90*time.Second)
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	p := serving(ctx, t, dir, addr)
	r := gather(ctx, t, p, dir, "torn")
	p.stop(ctx, t) // the plan goes into the database, the log begins anew
	base := r.check(ctx, t, dir)
	main, err := os.ReadFile(filepath.Join(dir, database))
	must(t, err)
	p = serving(ctx, t, dir, addr)
	r.begin(tapEvery)
	fillLog(ctx, t, dir)
	p.kill(t)
	r.stopTapping(t)
	after, err := os.ReadFile(filepath.Join(dir, database))
	must(t, err)
	w, err := readLog(filepath.Join(dir, logFile))
	must(t, err)
	if r.check(ctx, t, dir); !bytes.Equal(main, after) {
		t.Fatal("the log was moved into the database already: this test needs all of it")
	}
	random := rand.New(rand.NewPCG(seed, 2))
	damages := slices.Concat(w.cuts(), w.tornInPlace(random), w.flips(random))
	left := openAll(ctx, t, main, damages, r)
	if left[0] != base || left[w.commits[len(w.commits)-1]] != len(r.earlier) {
		t.Errorf("%d events without the log and %d with all of it, not %d and %d",
			left[0], left[w.commits[len(w.commits)-1]], base, len(r.earlier))
	}
	t.Logf("%d damaged logs of %d frames in %d commits with %d events", len(damages), w.frames, len(w.commits), len(r.earlier))
	bringBack(ctx, t, dir, addr, w, r)
}

// fillLog waits until the log is long, and well below the 1,000 pages at which
// SQLite begins to empty it.
func fillLog(ctx context.Context, t *testing.T, dir string) {
	t.Helper()
	for ctx.Err() == nil {
		if about, err := os.Stat(filepath.Join(dir, logFile)); err == nil && about.Size() > 500*4096 {
			return
		}
		pause(ctx, time.Millisecond)
	}
	t.Fatal("the log does not fill")
}

// openAll opens every damaged log beside the database, and says how many events
// each end of what is kept leaves: as many whatever the damage, and more the
// later it is.
func openAll(ctx context.Context, t *testing.T, main []byte, damages []damage, r *room) map[int]int {
	t.Helper()
	slices.SortStableFunc(damages, func(a, b damage) int { return cmp.Compare(a.keep, b.keep) })
	left := map[int]int{}
	most := 0
	for i, d := range damages {
		n, err := openDamaged(ctx, t, main, d.log, r)
		if err != nil {
			t.Errorf("%s: %v", d.name, err)
			continue
		}
		if known, there := left[d.keep]; there && known != n || !there && i > 0 && n <= most {
			t.Errorf("%s leaves %d events, and another damage at the same commit %d, before it %d", d.name, n, known, most)
		}
		left[d.keep], most = n, max(most, n)
	}
	return left
}

func openDamaged(ctx context.Context, t *testing.T, main, log []byte, r *room) (n int, err error) {
	t.Helper()
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, database), main, 0o600))
	must(t, os.WriteFile(filepath.Join(dir, logFile), log, 0o600))
	s, err := store.Open(ctx, dir)
	if err != nil {
		return 0, err
	}
	opened, err := eventsIn(ctx, s, r.id)
	if err == nil {
		err = sound(ctx, dir)
	}
	must(t, s.Close())
	if err == nil {
		err = isBeginning(opened, r.earlier)
	}
	if err != nil {
		return 0, err
	}
	closed, err := arrived(ctx, dir, r.id)
	if err == nil {
		err = begins(closed, opened)
	}
	if err == nil {
		err = sound(ctx, dir)
	}
	return len(closed), err
}

// isBeginning wants events to be the first ones of whole, with unbroken chains.
func isBeginning(events, whole []*event.Event) error {
	if _, err := linked(events); err != nil {
		return err
	}
	return begins(whole, events)
}

// bringBack starts the server on its log cut in half. It then has less than it
// had acknowledged, and gets the rest from the phones again.
func bringBack(ctx context.Context, t *testing.T, dir, addr string, w writeAhead, r *room) {
	t.Helper()
	half := w.commits[len(w.commits)/2]
	must(t, os.Truncate(filepath.Join(dir, logFile), int64(half+w.frame/2)))
	had := len(r.earlier)
	cut, err := arrived(ctx, dir, r.id)
	must(t, err)
	must(t, isBeginning(cut, r.earlier))
	if r.earlier = cut; len(cut) >= had {
		t.Fatalf("the cut lost nothing of %d events", had)
	}
	p := serving(ctx, t, dir, addr)
	wall := r.settle(ctx, t)
	p.stop(ctx, t)
	r.agree(ctx, t, dir, wall)
	t.Logf("%d of %d events were lost with half the log, and %d are stored in the end", had-len(cut), had, len(r.earlier))
}
