package crash

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
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
// ways: what is left is what had been stored up to the damage, with everything
// in it that had been acknowledged by then. The server itself starts on some of
// these, and at last on a log cut in half, as after a disk that had promised too
// much: the phones bring back what it lost.
func TestTornLog(t *testing.T) {
	ctx := within(t, 90*time.Second)
	if soaking() {
		ctx = within(t, time.Hour)
	}
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	p := serving(ctx, t, dir, addr)
	r := gather(ctx, t, p, dir, "torn")
	p.stop(ctx, t) // the plan goes into the database, the log begins anew
	base := r.check(ctx, t, dir)
	main, err := os.ReadFile(filepath.Join(dir, database))
	must(t, err)
	p = serving(ctx, t, dir, addr)
	r.begin(tapEvery)
	promises := fillLog(ctx, t, dir, r)
	p.kill(t)
	r.stopTapping(t)
	after, err := os.ReadFile(filepath.Join(dir, database))
	must(t, err)
	w, err := readLog(filepath.Join(dir, logFile))
	must(t, err)
	if r.check(ctx, t, dir); !bytes.Equal(main, after) {
		t.Fatal("the log was moved into the database already: this test needs all of it")
	}
	if len(w.commits) < 20 {
		t.Fatalf("only %d commits are in the log", len(w.commits))
	}
	torn := &tornRoom{r, main, w, promises, map[int]int{}}
	damages := w.damages(rand.New(rand.NewPCG(seed, 2)))
	torn.openAll(ctx, t, damages)
	if whole := w.commits[len(w.commits)-1]; torn.left[0] != base || torn.left[whole] != len(r.earlier) {
		t.Errorf("%d events without the log and %d with all of it, not %d and %d", torn.left[0], torn.left[whole], base, len(r.earlier))
	}
	started := torn.startSome(ctx, t, damages)
	t.Logf("%d damaged logs, the server itself started on %d of them, of %d frames in %d commits with %d events and %d acknowledgements seen",
		len(damages), started, w.frames, len(w.commits), len(r.earlier), len(promises))
	note("log torn or bits flipped", r.lost, "%d damaged logs, the server started on %d", len(damages), started)
	bringBack(ctx, t, dir, addr, w, r)
}

// promise is how many events of each hand had been acknowledged when the log
// was so long.
type promise struct {
	size int
	told []uint64
}

// fillLog waits until the log is long, and well below the 1,000 pages at which
// SQLite begins to empty it, and notes what is acknowledged meanwhile.
func fillLog(ctx context.Context, t *testing.T, dir string, r *room) (promises []promise) {
	t.Helper()
	for ctx.Err() == nil {
		told := r.told() // before the log is looked at: all of this is in it
		if about, err := os.Stat(filepath.Join(dir, logFile)); err == nil {
			promises = append(promises, promise{int(about.Size()), told})
			if about.Size() > 500*4096 {
				return promises
			}
		}
		pause(ctx, time.Millisecond)
	}
	t.Fatal("the log does not fill")
	return nil
}

// tornRoom is a room whose server was killed, with its database and its log.
type tornRoom struct {
	*room
	main     []byte
	log      writeAhead
	promises []promise
	left     map[int]int // by where what is kept ends: how many events that leaves
}

// openAll opens every damaged log beside the database. Where what is kept ends
// at the same commit, as many events must be left whatever the damage, and more
// the later it is.
func (r *tornRoom) openAll(ctx context.Context, t *testing.T, damages []damage) {
	t.Helper()
	slices.SortStableFunc(damages, func(a, b damage) int { return cmp.Compare(a.keep, b.keep) })
	most, dir := 0, t.TempDir()
	for i, d := range damages {
		n, err := r.open(ctx, t, dir, d)
		if ctx.Err() != nil {
			t.Fatalf("time ran out after %d of %d damaged logs", i, len(damages))
		}
		if err != nil {
			t.Errorf("%s: %v", d.name, err)
			continue
		}
		if known, there := r.left[d.keep]; there && known != n || !there && i > 0 && n <= most {
			t.Errorf("%s leaves %d events, and another damage at the same commit %d, before it %d", d.name, n, known, most)
		}
		r.left[d.keep], most = n, max(most, n)
	}
}

// lay puts the database and a damaged log into dir, and removes what was there.
func (r *tornRoom) lay(t *testing.T, dir string, d damage) {
	t.Helper()
	must(t, os.RemoveAll(dir))
	must(t, os.Mkdir(dir, 0o700))
	must(t, os.WriteFile(filepath.Join(dir, database), r.main, 0o600))
	must(t, os.WriteFile(filepath.Join(dir, logFile), d.bytes(r.log), 0o600))
}

// open opens a damaged log as the server does, and says how many events are left.
func (r *tornRoom) open(ctx context.Context, t *testing.T, dir string, d damage) (n int, err error) {
	t.Helper()
	r.lay(t, dir, d)
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
	if err == nil {
		err = r.kept(opened, d.keep)
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

// kept wants what was acknowledged when the log was not longer than what is
// kept of it.
func (r *tornRoom) kept(events []*event.Event, keep int) error {
	heads, err := linked(events)
	if err != nil {
		return err
	}
	for _, p := range slices.Backward(r.promises) { // the newest that counts has them all
		if r.log.before(p.size) > keep {
			continue
		}
		for i, h := range r.hands {
			if heads[h.me] < p.told[i] {
				r.lost += int(p.told[i] - heads[h.me])
				return fmt.Errorf("%s was told that %d of its events are stored, and %d are", h.phone.Name, p.told[i], heads[h.me])
			}
		}
		break
	}
	return nil
}

// startSome starts the server itself on some of the damaged logs, and says on
// how many it did. Where it does not, it must say why.
func (r *tornRoom) startSome(ctx context.Context, t *testing.T, damages []damage) (started int) {
	t.Helper()
	wanted := 4
	if soaking() {
		wanted = 200
	}
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	for i := 0; i < len(damages); i += max(1, len(damages)/wanted) {
		d := damages[i]
		r.lay(t, dir, d)
		p := start(t, dir, addr)
		if !p.answers(ctx) {
			if said := p.stderr.String(); p.exit(ctx, t) == 0 || !strings.Contains(said, "rootledger: ") {
				t.Errorf("%s: the server does not start, and says only: %q", d.name, said)
			}
			continue
		}
		started++
		p.kill(t)
		events, err := arrived(ctx, dir, r.id)
		if err != nil || len(events) != r.left[d.keep] {
			t.Errorf("%s: the server has %d events, %v, and the store had %d", d.name, len(events), err, r.left[d.keep])
		}
	}
	return started
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
