package syncengine

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

var update = flag.Bool("update", false, "write the golden files anew")

// deliver hands events to a replica in an order, in batches and with repeats
// that pick chooses; nothing may be refused.
func deliver(t failer, pick func(int) int, r *Replica, events []*event.Event, wallMs int64) {
	t.Helper()
	sent := append([]*event.Event(nil), events...)
	for range pick(1 + len(events)/2) {
		sent = append(sent, events[pick(len(events))])
	}
	fresh := 0
	for sent = shuffled(pick, sent); len(sent) > 0; {
		n := 1 + pick(len(sent))
		fresh += len(take(t, r, wallMs, sent[:n]...))
		sent = sent[n:]
	}
	if fresh != len(events) {
		t.Fatalf("fresh: got %d events, want each of %d once", fresh, len(events))
	}
}

func TestAnyOrderGivesTheSameView(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 50)
		events := d.events()
		all := d.identities()
		me := all[d.pick(len(all))]
		want := d.inOrder(me, events)
		got := New(me)
		deliver(rt, d.pick, got, events, d.ms+int64(d.pick(3)-1)*yearMs)
		sameBytes(rt, "view", viewJSON(rt, got, d.ms), viewJSON(rt, want, d.ms))
		if !reflect.DeepEqual(got.Vector(), want.Vector()) {
			rt.Fatalf("vector: got %v, want %v", got.Vector(), want.Vector())
		}
	})
}

func TestAuthorsMeetInTheSameView(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 50)
		events := d.events()
		for _, m := range d.crew {
			deliverMissing(rt, d, m.Replica, events)
			want := d.inOrder(m.Me(), events)
			sameBytes(rt, m.station.String(), viewJSON(rt, m.Replica, d.ms), viewJSON(rt, want, d.ms))
		}
		deliverMissing(rt, d, d.wall, events)
		want := d.inOrder(wallIdentity(), events)
		sameBytes(rt, "wall", viewJSON(rt, d.wall, d.ms), viewJSON(rt, want, d.ms))
	})
}

// deliverMissing hands out everything, in any order; what is held is a repeat.
func deliverMissing(t failer, d *day, r *Replica, events []*event.Event) {
	t.Helper()
	take(t, r, d.ms, shuffled(d.pick, events)...)
}

func TestVoidsOfALeadBeforeTheirTargets(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 80)
		events := d.events()
		lead := d.crew[0].Me().Replica
		var first, rest []*event.Event
		for _, e := range events {
			if e.Replica == lead {
				first = append(first, e)
			} else {
				rest = append(rest, e)
			}
		}
		got := New(wallIdentity())
		take(rt, got, d.ms, first...)
		for _, e := range first {
			f, ok := e.Fact.(*event.Void)
			if ok && f.Target.Replica != lead && got.State().Find(f.Target) != nil {
				rt.Fatalf("target %v is here before its author's events", f.Target)
			}
		}
		take(rt, got, d.ms, shuffled(d.pick, rest)...)
		sameBytes(rt, "view", viewJSON(rt, got, d.ms), viewJSON(rt, d.inOrder(wallIdentity(), events), d.ms))
	})
}

func TestVoidBeforeItsTargetByHand(t *testing.T) {
	lead, one, wall := New(numbered(1)), New(numbered(2)), New(wallIdentity())
	record(t, lead, &event.Joined{Person: "Lea", Station: event.Lead}, dayStart)
	record(t, one, &event.Joined{Person: "Sid", Station: event.Sorting}, dayStart)
	ten := record(t, one, &event.Sorted{Size: 2, N: 10}, dayStart)
	record(t, one, &event.Sorted{Size: 2, N: 3}, dayStart)
	pass := func(from, to *Replica) {
		t.Helper()
		peer := from.Know(to.Vector(), nobody)
		take(t, to, dayStart, batched(t, from, &peer)...)
	}
	sorted := func(what string, want int64) {
		t.Helper()
		if got := wall.View(dayStart, nil).Ledger.Sorted[1]; got != want {
			t.Errorf("%s: got %d sorted, want %d", what, got, want)
		}
	}
	pass(one, lead)
	record(t, lead, &event.Void{Target: ten.Ref()}, dayStart)
	own := take(t, wall, dayStart, chainFrom(lead)...)
	sorted("void alone", 0)
	if len(own) != 2 || wall.View(dayStart, nil).Session.Waiting != 0 {
		t.Errorf("a void waits for nothing: got %+v", wall.View(dayStart, nil).Session)
	}
	pass(one, wall)
	sorted("void, then its target", 3)
	record(t, lead, &event.Restore{Target: ten.Ref(), Voids: lead.State().Voids(ten.Ref())}, dayStart)
	pass(lead, wall)
	sorted("brought back", 13)
}

// chainFrom is a replica's own events.
func chainFrom(r *Replica) []*event.Event {
	var out []*event.Event
	for seq := uint64(1); seq <= r.Head().Seq; seq++ {
		out = append(out, r.Own(seq))
	}
	return out
}

// loadInAnyOrder hands a replica what it kept, in batches, an order and with
// repeats that pick chooses.
func loadInAnyOrder(t failer, pick func(int) int, r *Replica, own []*event.Event, wallMs int64) {
	t.Helper()
	for kept := shuffled(pick, append(own[:pick(len(own)):len(own)], own...)); len(kept) > 0; {
		n := 1 + pick(len(kept))
		if _, refused := r.Load(kept[:n], Now{WallMs: wallMs}); len(refused) > 0 {
			t.Fatalf("load: refused %v", refused[0].Fault)
		}
		kept = kept[n:]
	}
	if r.Cloned() || r.Head().Seq != uint64(len(own)) {
		t.Fatalf("load: got cloned %v, head %d, want false, %d", r.Cloned(), r.Head().Seq, len(own))
	}
}

func TestRestartGoesOn(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 40)
		m := d.crew[d.pick(len(d.crew))]
		own := chainFrom(m.Replica)
		last := own[len(own)-1]
		again := m.Me()
		again.Start = event.StartID{0xEE}
		r := New(again)
		wallMs := d.ms + m.skewMs - yearMs
		loadInAnyOrder(rt, d.pick, r, own, wallMs)
		for i := range uint64(3) {
			e := record(rt, r, &event.Sorted{Size: 1, N: 1}, wallMs)
			if e.Seq != last.Seq+1 || e.Prev != last.Hash || e.Stamp <= last.Stamp {
				rt.Fatalf("entry %d after the restart: got seq %d, prev %v, stamp %d after %d, %v, %d", i,
					e.Seq, e.Prev, e.Stamp, last.Seq, last.Hash, last.Stamp)
			}
			if e.Start != again.Start || e.Session != (event.SessionID{}) || e.Phone != (event.PhoneID{}) {
				rt.Fatalf("envelope after the restart: got %+v", e)
			}
			last = e
		}
		if got := take(rt, m.Replica, d.ms, chainFrom(r)...); len(got) != 3 {
			rt.Fatalf("the replica as it was before: got %d fresh, want 3", len(got))
		}
	})
}

// fixedDay is the day of a seed, the same on every machine.
func fixedDay(t testing.TB, seed uint64) *day {
	return playDay(t, rand.New(rand.NewPCG(seed, 0x726f6f74)).IntN, 400)
}

const fixedDays = 40

// TestViewDigest holds a phone and a server to the same bytes.
func TestViewDigest(t *testing.T) {
	const path = "testdata/view-digest.golden"
	sum := sha256.New()
	for seed := range uint64(fixedDays) {
		d := fixedDay(t, seed)
		events := shuffled(d.pick, d.events())
		for _, me := range d.identities() {
			sum.Write(viewJSON(t, d.inOrder(me, events), d.ms))
		}
	}
	got := hex.EncodeToString(sum.Sum(nil))
	if *update {
		if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != strings.TrimSpace(string(want)) {
		t.Errorf("got %s, want %s", got, want)
	}
}

// TestFixedDaysHoldEverything keeps the made-up days from going stale: every
// kind, every mode, edits made apart, and a lead's undo of others' entries.
func TestFixedDaysHoldEverything(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(fixedDays) {
		d := fixedDay(t, seed)
		events := d.events()
		slow := newSlowLedger(events)
		for _, e := range events {
			countSeen(seen, e)
			slow.countSeen(seen, e)
		}
		v := d.inOrder(wallIdentity(), events).View(d.ms, nil)
		seen["budgets apart"] += int(max(0, v.Ledger.BudgetsStanding-1))
		seen["yields apart"] += int(max(0, v.Ledger.YieldsStanding-1))
		for _, z := range v.Zones {
			seen["zones apart"] += int(z.Between - 1)
		}
		for _, r := range v.Regions {
			seen["regions apart"] += int(r.Between - 1)
		}
		countDoses(seen, v.Doses)
		seen["against"] += int(v.Ledger.Attempts.Against)
		seen["differences"] += len(v.Differences)
		for _, w := range v.Quality.Watched {
			if w.Asks {
				seen["asks for a look"]++
			}
		}
		for _, one := range v.Differences {
			if one.Recounted {
				seen["recounted"]++
			}
			if one.What == event.InDish && one.Amount < 0 {
				seen["dish below zero"]++
			}
		}
	}
	want := []string{"budgets apart", "yields apart", "zones apart", "regions apart", "against", "differences", "late",
		"mode each", "mode pulled", "mode exception", "void of another's", "rejected from bench", "rejected from holding",
		"rejected without size", "split from bench", "split from holding", "practice", "late after a recount",
		"void of a recount", "restore of a recount", "void of a settled", "refile of another's", "refile by no lead",
		"settled by no lead", "refiled twice", "in a dish", "dish below zero", "recounted",
		"set-up by who may not", "void of a setup", "void of a setup chosen", "void of a trial",
		"asks for a look", "void of a looked", "void of a inspected",
		"void of a dosed", "weights apart", "dose of a configured agent", "dilute dose", "past a dose's limit"}
	for _, kind := range event.Kinds() {
		want = append(want, kind.String())
	}
	for _, name := range want {
		if seen[name] == 0 {
			t.Errorf("%s: in none of %d days", name, fixedDays)
		}
	}
}

func countSeen(seen map[string]int, e *event.Event) {
	seen[e.Fact.Kind().String()]++
	if e.Late {
		seen["late"]++
	}
	switch f := e.Fact.(type) {
	case *event.PassBegun:
		seen["mode "+f.Mode.String()]++
	case *event.Void:
		if f.Target.Replica != e.Replica {
			seen["void of another's"]++
		}
	case *event.Rejected:
		seen["rejected from "+f.From.String()]++
		if f.Size == 0 {
			seen["rejected without size"]++
		}
	case *event.Split:
		seen["split from "+f.From.String()]++
	case *event.Opened:
		if f.Practice.Speed > 0 {
			seen["practice"]++
		}
	}
}
