package syncengine

import (
	"slices"
	"testing"

	"rootledger/shared/event"
)

// TestBadFactsThatArrive: what Record refuses may still arrive. It is kept,
// linked and forwarded as it came, counts as zero, and stops nothing after it.
func TestBadFactsThatArrive(t *testing.T) {
	h := newRoom(t)
	facts := map[string]event.Fact{
		"sites in no zone":          &event.Sites{Zone: nowhere, Size: 1, N: 1},
		"placed in no zone":         &event.Placed{Zone: nowhere, Size: 1, N: 1},
		"a zone that is a region":   &event.Placed{Zone: h.region, Size: 1, N: 1},
		"edit of no zone":           &event.Zone{Of: nowhere, Name: "x", AreaMM2: 1, Density10: 1, Mix: [event.Sizes]uint16{1000}},
		"attempt in no region":      &event.Attempt{Pass: h.pass, Region: nowhere, Outcome: 1, N: 1},
		"attempt in no pass":        &event.Attempt{Pass: nowhere, Outcome: 1, N: 1},
		"a pass that is a zone":     &event.Attempt{Pass: h.zone, Outcome: 1, N: 1},
		"fired in no pass":          &event.Fired{Pass: nowhere, N: 1},
		"end of no pass":            &event.PassEnded{Pass: nowhere},
		"rejected from no dish":     &event.Rejected{From: event.Bench, Reason: 1, N: 1, Dish: nowhere},
		"no pass named":             &event.Fired{N: 1},
		"nothing sorted":            &event.Sorted{Size: 1},
		"minus one sorted":          &event.Sorted{Size: 1, N: 1<<32 - 1},
		"501 sorted":                &event.Sorted{Size: 1, N: event.MaxEntry + 1},
		"size 0":                    &event.Sorted{N: 1},
		"size 200":                  &event.Sorted{Size: 200, N: 1},
		"outcome 0":                 &event.Attempt{Pass: h.pass, N: 1},
		"outcome 255":               &event.Attempt{Pass: h.pass, Outcome: 255, N: 1},
		"retrieved from intact":     &event.Retrieved{From: event.Intact, Pass: h.pass, N: 1},
		"mode 9":                    &event.PassBegun{Mode: 9},
		"stock 9":                   &event.Rejected{From: 9, Reason: 1, N: 1},
		"reason 9":                  &event.Rejected{From: event.Bench, Reason: 9, N: 1},
		"a split into nothing":      &event.Split{From: event.Bench, Size: 3, N: 1},
		"a split into size 0":       &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{0, 1}, N: 1},
		"a budget beyond all":       &event.Budget{Grafts: 1<<32 - 1},
		"a yield of 0":              &event.Yield{},
		"a floor above all hair":    &event.Floor{HairsPerCM2x10: 5001},
		"a zone without a mix":      &event.Zone{Name: "x", AreaMM2: 1, Density10: 1},
		"a region without a share":  &event.Region{Code: "L", Name: "x", AreaMM2: 1, Density10: 1},
		"station 200":               &event.Joined{Person: "x", Station: 200},
		"a void of nothing":         &event.Void{},
		"a restore without voids":   &event.Restore{Target: h.ofOne},
		"a kind of another version": &event.Unread{Of: 99},
	}
	for name, fact := range facts {
		t.Run(name, func(t *testing.T) {
			wall := New(wallIdentity())
			take(t, wall, dayStart, chainFrom(h.lead)...)
			take(t, wall, dayStart, chainFrom(h.one)...)
			before := wall.View(dayStart, nil)
			a := &author{id: event.ReplicaID{9, 7: 9}}
			bad := a.next(t, fact)
			checkKeptAsZero(t, wall, bad)
			if got := take(t, wall, dayStart, a.next(t, &event.Sorted{Size: 2, N: 7})); len(got) != 1 {
				t.Errorf("the next event: got %d fresh, want 1", len(got))
			}
			if got := wall.View(dayStart, nil).Ledger.Sorted[1]; got != before.Ledger.Sorted[1]+7 {
				t.Errorf("the next event: got %d sorted, want %d", got, before.Ledger.Sorted[1]+7)
			}
		})
	}
}

// checkKeptAsZero hands over one bad event: all figures stay, one event waits.
func checkKeptAsZero(t *testing.T, wall *Replica, bad *event.Event) {
	t.Helper()
	before := wall.View(dayStart, nil)
	if got := take(t, wall, dayStart, bad); len(got) != 1 {
		t.Fatalf("got %d fresh, want 1: it is stored and told like any other", len(got))
	}
	after := wall.View(dayStart, nil)
	if after.Ledger != before.Ledger || after.Headline != before.Headline {
		t.Errorf("got  %+v\nwant %+v", after.Ledger, before.Ledger)
	}
	if len(after.Zones) != len(before.Zones) || len(after.Regions) != len(before.Regions) || len(after.Passes) != len(before.Passes) {
		t.Errorf("got %d zones, %d regions, %d passes", len(after.Zones), len(after.Regions), len(after.Passes))
	}
	if after.Session.Waiting != before.Session.Waiting+1 || after.Session.Events != before.Session.Events+1 {
		t.Errorf("got %d events, %d waiting, want one more of each than %d, %d",
			after.Session.Events, after.Session.Waiting, before.Session.Events, before.Session.Waiting)
	}
	rest := slices.DeleteFunc(wall.Vector(), func(ref event.Ref) bool { return ref.Replica == bad.Replica })
	peer := wall.Know(rest, nobody)
	sameEvents(t, batched(t, wall, &peer), []*event.Event{bad})
}

func TestALateNoteThatArrivesWaits(t *testing.T) {
	wall := New(wallIdentity())
	note := &event.Event{Replica: event.ReplicaID{9}, Seq: 1, Session: testSession, Phone: event.PhoneID{9}, Late: true,
		Fact: &event.Note{Text: "late"}}
	checkKeptAsZero(t, wall, remade(t, note))
}

func TestWhatNamesAWaitingEventWaitsToo(t *testing.T) {
	h := newRoom(t)
	a := &author{id: event.ReplicaID{9, 7: 9}}
	before := h.lead.View(dayStart, nil)
	zone := a.next(t, &event.Zone{Name: "no mix", AreaMM2: 1000, Density10: 300})
	pass := a.next(t, &event.PassBegun{Mode: 9})
	take(t, h.lead, dayStart, zone, pass,
		a.next(t, &event.Sites{Zone: zone.Ref(), Size: 1, N: 5}),
		a.next(t, &event.Attempt{Pass: pass.Ref(), Outcome: event.Intact, N: 5}),
		a.next(t, &event.Sorted{Size: 1, N: 5}))
	after := h.lead.View(dayStart, nil)
	if after.Session.Waiting != 4 || len(after.Zones) != 1 || len(after.Passes) != 1 {
		t.Errorf("got %d waiting, %d zones, %d passes, want 4, 1, 1", after.Session.Waiting, len(after.Zones), len(after.Passes))
	}
	if after.Ledger.OpenSites != before.Ledger.OpenSites || after.Ledger.Out != before.Ledger.Out || after.Ledger.Sorted[0] != before.Ledger.Sorted[0]+5 {
		t.Errorf("got %+v, want only 5 more sorted than %+v", after.Ledger, before.Ledger)
	}
}

func TestAWaitingEventCountsWhenWhatItNamesArrives(t *testing.T) {
	h := newRoom(t)
	second := record(t, h.one, &event.PassBegun{Mode: event.Each}, dayStart)
	three := New(numbered(3))
	take(t, three, dayStart, chainFrom(h.lead)...)
	take(t, three, dayStart, chainFrom(h.one)...)
	edit := frontZone()
	edit.Of, edit.AreaMM2 = h.zone, 500
	for _, fact := range []event.Fact{
		&event.Sites{Zone: h.zone, Size: 1, N: 20},
		&event.Placed{Zone: h.zone, Size: 1, N: 15},
		&event.Attempt{Pass: second.Ref(), Region: h.region, Outcome: event.Intact, N: 30}, // of two others
		edit,
	} {
		record(t, three, fact, dayStart)
	}
	wall := New(wallIdentity())
	steps := []struct {
		name                               string
		events                             []*event.Event
		waiting, open, placed, punched, zs int64
	}{
		{"who names them", chainFrom(three), 4, 0, 0, 0, 0},
		{"the pass", chainFrom(h.one), 4, 0, 0, 9, 0}, // the attempt still lacks its region
		{"the zone and the region", chainFrom(h.lead), 0, 5, 15, 39, 1},
	}
	for _, step := range steps {
		take(t, wall, dayStart, step.events...)
		v := wall.View(dayStart, nil)
		got := [5]int64{v.Session.Waiting, v.Ledger.OpenSites, v.Ledger.PlacedTotal, v.Ledger.Attempts.Punched, int64(len(v.Zones))}
		if want := [5]int64{step.waiting, step.open, step.placed, step.punched, step.zs}; got != want {
			t.Errorf("%s: got waiting, open, placed, punched, zones %v, want %v", step.name, got, want)
		}
	}
	if got := wall.View(dayStart, nil).Ledger.NeedTotal; got != 150 {
		t.Errorf("need after the edit: got %d, want 150", got)
	}
}

func TestWhatArrivesBeyondTheBoundsOfASessionCounts(t *testing.T) {
	h := newRoom(t)
	a := &author{id: event.ReplicaID{9, 7: 9}}
	for range 20 {
		take(t, h.lead, dayStart, a.next(t, frontZone()), a.next(t, leftRegion()))
	}
	for range 70 {
		take(t, h.lead, dayStart, a.next(t, &event.PassBegun{Mode: event.Each}))
	}
	v := h.lead.View(dayStart, nil)
	if len(v.Zones) != 21 || len(v.Regions) != 21 || len(v.Passes) != 71 || v.Session.Waiting != 0 {
		t.Errorf("got %d zones, %d regions, %d passes, %d waiting, want 21, 21, 71, 0",
			len(v.Zones), len(v.Regions), len(v.Passes), v.Session.Waiting)
	}
}

// Two voids undo once, and a void of what can not be undone changes nothing.
func TestIdleVoidsThatArrive(t *testing.T) {
	h := newRoom(t)
	before := h.lead.View(dayStart, nil)
	lead := &author{id: event.ReplicaID{9, 7: 9}}
	take(t, h.lead, dayStart, lead.next(t, &event.Joined{Person: "Max", Station: event.Lead}))
	for _, target := range []event.Ref{h.zone, h.region, h.pass, h.join, h.undone, nowhere} {
		take(t, h.lead, dayStart, lead.next(t, &event.Void{Target: target}))
	}
	after := h.lead.View(dayStart, nil)
	if after.Ledger != before.Ledger || after.Headline != before.Headline || len(after.Zones) != 1 || len(after.Passes) != 1 {
		t.Errorf("got  %+v\nwant %+v", after.Ledger, before.Ledger)
	}
}

// A phone undoes its own entries, and only a lead or the office anyone's: a
// void that arrives is held to that as well, by what its author joined as.
func TestAnUndoOfAnothersEntryThatArrives(t *testing.T) {
	for _, tt := range []struct {
		station event.Station
		punched int64
	}{{event.Lead, 0}, {event.Office, 0}, {event.Sorting, 9}, {event.Desk, 9}} {
		t.Run(tt.station.String(), func(t *testing.T) {
			h := newRoom(t)
			a := &author{id: event.ReplicaID{9, 7: 9}}
			take(t, h.lead, dayStart, a.next(t, &event.Joined{Person: "Sid", Station: tt.station}), a.next(t, &event.Void{Target: h.ofOne}))
			v := h.lead.View(dayStart, nil)
			if waiting := min(tt.punched, 1); v.Ledger.Attempts.Punched != tt.punched || v.Session.Waiting != waiting {
				t.Errorf("got %d punched, %d waiting, want %d, %d", v.Ledger.Attempts.Punched, v.Session.Waiting, tt.punched, waiting)
			}
		})
	}
}
