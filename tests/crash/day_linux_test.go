package crash

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

const (
	dayHours  = 12
	settledAt = 3 // hours: from here on memory is flat
	badFrom   = 6 // hours: from here on a wall does not read, and one reads slowly
	dayCounts = 12_000
	thinBytes = 1000 // a second, to the slow wall: a ninth of what the room says

	// perEvent is what an event may take of the heap, in bytes: itself and its body
	// (192 + 144), what it says (up to 112), its places in the feed and in its
	// history (50), and what the nouns remember of it and lists keep free (150).
	perEvent  = 650
	heapSlack = 1 << 19 // bytes: lists grow by a quarter at once
	rssSlack  = 8 << 20 // what SQLite and the runtime keep at hand
	badTasks  = 8       // goroutines of those who do not read, while one goes and comes back

	dayStart = 1_893_484_800_000 // 2030-01-01T08:00:00Z, by the room's clock
	// letGoWithin is silentAfter and writeWithin of server/web: a wall that says
	// nothing is silent, and the words that say so have to be written.
	letGoWithin = 65 * time.Second
)

// dayStations are where the twelve phones of a long day tap.
var dayStations = []event.Station{event.Extraction, event.Extraction, event.Extraction, event.Extraction,
	event.Sorting, event.Sorting, event.Sorting, event.Sorting, event.SiteMaking, event.Placing, event.Placing, event.Placing}

// TestTwelveHours plays a day of twelve hours by a fast clock, in its second
// half beside a wall that never reads and one that reads slowly.
func TestTwelveHours(t *testing.T) {
	speed, times, slack := uint32(720), time.Duration(3), 500*time.Millisecond
	if soaking() {
		speed, times, slack = 60, 2, 50*time.Millisecond
	}
	hour := time.Hour / time.Duration(speed)
	ctx := within(t, dayHours*hour+2*time.Minute)
	d := openDay(ctx, t, speed)
	d.room.begin(hour * time.Duration(len(dayStations)) * dayHours / dayCounts)
	began := time.Now()
	for h := range dayHours {
		switch h {
		case settledAt:
			d.room.ears.part.Store(without)
		case badFrom:
			d.room.ears.part.Store(beside)
			d.beginBad(t)
		}
		pause(ctx, time.Until(began.Add(time.Duration(h+1)*hour)))
		d.look(t, h+1)
	}
	d.room.ears.part.Store(starting)
	d.room.stopTapping(t)
	d.flat(t)
	d.heard(t, times, slack)
	d.total(ctx, t)
}

// day is what is held to at its end.
type day struct {
	dir    string
	server *openServer
	room   *room
	walls  []*practice.Phone
	looks  []look // the first as it begins, then one an hour
	line   *thinLine
	slow   *practice.Phone
	dead   deadWall
	bad    context.CancelFunc
	badCtx context.Context
}

// look is what the server holds at the end of an hour.
type look struct {
	hour, events, rss int
	held
}

func openDay(ctx context.Context, t *testing.T, speed uint32) *day {
	t.Helper()
	dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
	d := &day{dir: dir, server: startOpen(ctx, t, dir, addr)}
	fast := event.Practice{StartMs: dayStart, RealMs: uint64(time.Now().UnixMilli()), Speed: speed}
	began := time.UnixMilli(int64(fast.RealMs))
	clock := func() syncengine.Now {
		since := time.Since(began) * time.Duration(speed)
		return syncengine.Now{WallMs: dayStart + since.Milliseconds(), SinceMs: uint64(since.Milliseconds())}
	}
	real := func(wallMs int64) time.Time {
		return began.Add(time.Duration(wallMs-dayStart) * time.Millisecond / time.Duration(speed))
	}
	d.room = openFor(ctx, t, d.server.process, dir, &room{name: "day", clock: clock, ears: &ears{real: real}}, fast)
	for _, station := range dayStations {
		d.room.join(ctx, t, station)
	}
	d.walls = []*practice.Phone{d.room.wall, d.room.newWall(), d.room.newWall(), d.room.newWall()}
	d.room.onAll(ctx, t, d.walls)
	return d
}

// beginBad lets in those that do not read as they should.
func (d *day) beginBad(t *testing.T) {
	t.Helper()
	var ctx context.Context
	ctx, d.bad = context.WithCancel(d.room.staying)
	d.line = newThinLine(t, d.server.addr, thinBytes)
	d.slow = d.room.slowly(d.line)
	d.room.stay(d.slow)
	d.room.everybody.Go(func() { d.dead.stay(ctx, d.room) })
}

func (d *day) look(t *testing.T, hour int) {
	t.Helper()
	d.looks = append(d.looks, look{hour, d.room.wall.Events(), d.server.memory(t).now, d.server.held(t)})
}

// flat holds what the server has in memory to what the log needs.
func (d *day) flat(t *testing.T) {
	t.Helper()
	var table strings.Builder
	for _, l := range d.looks {
		fmt.Fprintf(&table, "\nhour %2d: %6d events, heap %6.2f MB, resident %6.1f MB, %d goroutines", l.hour, l.events, float64(l.Heap)/1e6, float64(l.rss)/1e6, l.Goroutines)
	}
	from, to := d.looks[settledAt-1], d.looks[len(d.looks)-1]
	events := to.events - from.events
	t.Logf("%s\nfrom hour %d to %d: %d bytes of heap an event, %d resident", table.String(), from.hour, to.hour, (to.Heap-from.Heap)/events, (to.rss-from.rss)/events)
	if grown, most := to.Heap-from.Heap, events*perEvent+heapSlack; grown > most {
		t.Errorf("from hour %d to %d the heap grew by %d bytes, and %d events need %d", from.hour, to.hour, grown, events, most)
	}
	// the heap may double before it is collected
	if grown, most := to.rss-from.rss, 2*(events*perEvent+heapSlack)+rssSlack; grown > most {
		t.Errorf("from hour %d to %d the process grew by %d bytes, and %d events need %d", from.hour, to.hour, grown, events, most)
	}
	if most := from.Goroutines + badTasks; to.Goroutines > most {
		t.Errorf("%d goroutines at hour %d, %d at hour %d", from.Goroutines, from.hour, to.Goroutines, to.hour)
	}
}

// heard holds what came late beside those who do not read to what came late
// without them.
func (d *day) heard(t *testing.T, times time.Duration, slack time.Duration) {
	t.Helper()
	without, beside := d.room.ears.heard(without), d.room.ears.heard(beside)
	usual, delayed := percentile(without, 99), percentile(beside, 99)
	if delayed > times*usual+slack {
		t.Errorf("beside walls that do not read 99 of 100 events come within %v, without them %v", delayed, usual)
	}
	took := d.dead.letGo()
	if len(took) == 0 {
		t.Fatalf("the wall that never reads was not let go in %d hours", dayHours-badFrom)
	}
	if longest := slices.Max(took); longest > letGoWithin {
		t.Errorf("the wall that never reads was let go after %v, and may stay for %v", longest, letGoWithin)
	}
	t.Logf("from a tap to a phone or wall: p50 %v, p99 %v of %d without bad walls, p50 %v, p99 %v of %d beside them; the dead wall was let go %d times after %v to %v; the slow one came %d times",
		percentile(without, 50), usual, len(without), percentile(beside, 50), delayed, len(beside), len(took), slices.Min(took), slices.Max(took), d.line.opened.Load())
}

// total holds every phone and wall, the slow one too, to the exact total.
func (d *day) total(ctx context.Context, t *testing.T) {
	t.Helper()
	d.bad()
	d.line.wide.Store(true)
	d.room.onAll(ctx, t, append([]*practice.Phone{d.slow}, d.walls...))
	total, own := 0, 0
	for _, h := range d.room.all() {
		total += len(h.written())
	}
	for _, h := range d.room.hands {
		own += len(h.written())
		must(t, h.phone.Until(ctx, func(events int, _, _ uint64) bool { return events >= total }))
	}
	heard := 0
	for part := range parts {
		heard += len(d.room.ears.heard(part))
	}
	if want := (len(d.walls)+len(d.room.hands))*total - own; heard != want {
		t.Errorf("phones and walls heard %d events, not %d", heard, want)
	}
	wall := d.room.settle(ctx, t)
	for i, one := range append([]*practice.Phone{d.slow}, d.walls...) {
		if one.Events() != total || truthOf(one.Settled()) != truthOf(d.room.wall.Settled()) {
			t.Errorf("wall %d has %d of %d events, or other figures", i, one.Events(), total)
		}
	}
	d.server.stop(ctx, t)
	d.room.agree(ctx, t, d.dir, wall)
	note("twelve hours", d.room.lost, "%d phones, %d walls, %d events acknowledged, the dead wall was let go %d times", len(d.room.hands), len(d.walls), d.room.acknowledged(), len(d.dead.letGo()))
}
