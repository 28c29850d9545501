package syncengine

import (
	"reflect"
	"slices"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

func TestAPlanEditReplacesThoseThatStand(t *testing.T) {
	h := newRoom(t)
	record(t, h.lead, &event.Budget{Grafts: 900, Reason: "as drawn"}, dayStart)
	record(t, h.one, &event.Budget{Grafts: 700, Reason: "as drawn"}, dayStart)
	record(t, h.one, &event.Yield{PerMille: 910}, dayStart)
	record(t, h.lead, &event.Yield{PerMille: 900}, dayStart)
	take(t, h.lead, dayStart, chainFrom(h.one)...)
	v := h.lead.View(dayStart, nil)
	if v.Headline.Budget != 700 || v.Ledger.BudgetsStanding != 2 || v.Ledger.PlannedPerMille != 910 || v.Ledger.YieldsStanding != 2 {
		t.Errorf("made apart: got budget %d of %d, yield %d of %d, want 700 of 2, 910 of 2",
			v.Headline.Budget, v.Ledger.BudgetsStanding, v.Ledger.PlannedPerMille, v.Ledger.YieldsStanding)
	}
	e := record(t, h.lead, &event.Budget{Grafts: 800, Reason: "as drawn"}, dayStart)
	if v := h.lead.View(dayStart, nil); v.Headline.Budget != 800 || v.Ledger.BudgetsStanding != 1 {
		t.Errorf("decided: got budget %d of %d, want 800 of 1", v.Headline.Budget, v.Ledger.BudgetsStanding)
	}
	if got := len(e.Fact.(*event.Budget).Supersedes); got != 2 {
		t.Errorf("the new edit names %d, want 2", got)
	}
}

// A look says what the phone had that it was entered on.
func TestALookNamesWhatItSaw(t *testing.T) {
	h := newRoom(t)
	begun := record(t, h.one, &event.PassBegun{Mode: event.Each}, dayStart)
	tap := record(t, h.one, &event.Attempt{Pass: begun.Ref(), Outcome: event.Total, N: 9}, dayStart)
	look := func() []event.Ref {
		return record(t, h.lead, &event.Looked{Pass: begun.Ref(), Grafts: 5}, dayStart).Fact.(*event.Looked).Upto
	}
	asks := func() (asks bool) {
		for _, w := range h.lead.View(dayStart, nil).Quality.Watched {
			asks = asks || w.Asks && w.Pass == begun.Ref()
		}
		return asks
	}
	take(t, h.lead, dayStart, chainFrom(h.one)[:begun.Seq]...)
	if got := look(); len(got) != 1 || got[0] != begun.Ref() {
		t.Errorf("nothing tapped: got %v, want the pass", got)
	}
	take(t, h.lead, dayStart, chainFrom(h.one)...)
	if !asks() {
		t.Error("what came after the look is not asked about")
	}
	if got := look(); len(got) != 1 || got[0] != tap.Ref() {
		t.Errorf("got %v, want the tap", got)
	}
	if asks() {
		t.Error("it asks after the look")
	}
}

// Many edits that know nothing of each other must not shut the lead out.
func TestAPlanEditReplacesAnyNumberOfThem(t *testing.T) {
	h := newRoom(t)
	a := &author{id: event.ReplicaID{9, 7: 9}}
	for range 65 {
		take(t, h.lead, dayStart, a.next(t, &event.Budget{Grafts: 10}))
	}
	for range 3 {
		if _, err := h.lead.Record(&event.Budget{Grafts: 2000, Reason: "as drawn"}, false, Now{WallMs: dayStart}); err != nil {
			t.Fatalf("record: %v", err)
		}
	}
	if v := h.lead.View(dayStart, nil); v.Headline.Budget != 2000 {
		t.Errorf("got budget %d of %d standing, want 2000", v.Headline.Budget, v.Ledger.BudgetsStanding)
	}
}

// An edit of a zone or region is not a zone or region of its own: it is either
// refused as a place, or stands for the one that it edits.
func TestAnEditIsNoPlaceOfItsOwn(t *testing.T) {
	figures := func(v session.View) [6]int64 {
		out := [6]int64{int64(len(v.Zones)), v.Ledger.NeedTotal, int64(len(v.Regions)), v.Ledger.CapacityTotal}
		out[4] = v.Ledger.PunchedNowhere
		for _, z := range v.Zones {
			out[5] += z.Sites.Total()
		}
		return out
	}
	tests := []struct {
		name string
		fact func(h *room, zoneEdit, regionEdit event.Ref) event.Fact
		want [6]int64 // zones, need, regions, capacity, punched nowhere, sites in zones
	}{
		{"an edit of a zone's edit", func(_ *room, edit, _ event.Ref) event.Fact {
			return &event.Zone{Of: edit, Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}}
		}, [6]int64{1, 300, 1, 200, 9, 0}},
		{"an edit of a region's edit", func(_ *room, _, edit event.Ref) event.Fact {
			return &event.Region{Of: edit, Code: "L", Name: "left", AreaMM2: 1000, Density10: 800, SharePerMille: 250}
		}, [6]int64{1, 300, 1, 200, 9, 0}},
		{"sites in a zone's edit", func(_ *room, edit, _ event.Ref) event.Fact {
			return &event.Sites{Zone: edit, Size: 1, N: 8}
		}, [6]int64{1, 300, 1, 200, 9, 8}},
		{"attempts in a region's edit", func(h *room, _, edit event.Ref) event.Fact {
			return &event.Attempt{Pass: h.pass, Region: edit, Outcome: event.Intact, N: 8}
		}, [6]int64{1, 300, 1, 200, 9, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h := newRoom(t)
			zoneEdit, regionEdit := frontZone(), leftRegion()
			zoneEdit.Of, regionEdit.Of = h.zone, h.region
			zone, region := record(t, h.lead, zoneEdit, dayStart).Ref(), record(t, h.lead, regionEdit, dayStart).Ref()
			if _, err := h.lead.Record(tt.fact(h, zone, region), false, Now{WallMs: dayStart}); err != nil {
				return
			}
			if got := figures(h.lead.View(dayStart, nil)); got != tt.want {
				t.Errorf("zones, need, regions, capacity, punched nowhere, sites: got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestWhatArrivesAndNamesAnEditWaits(t *testing.T) {
	h := newRoom(t)
	zoneEdit, regionEdit := frontZone(), leftRegion()
	zoneEdit.Of, regionEdit.Of = h.zone, h.region
	zone, region := record(t, h.lead, zoneEdit, dayStart).Ref(), record(t, h.lead, regionEdit, dayStart).Ref()
	for name, fact := range map[string]event.Fact{
		"an edit of a zone's edit":    &event.Zone{Of: zone, Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}},
		"an edit of a region's edit":  &event.Region{Of: region, Code: "L", Name: "left", AreaMM2: 1000, Density10: 800, SharePerMille: 250},
		"sites in a zone's edit":      &event.Sites{Zone: zone, Size: 1, N: 8},
		"attempts in a region's edit": &event.Attempt{Pass: h.pass, Region: region, Outcome: event.Intact, N: 8},
	} {
		for _, first := range []bool{true, false} { // before what it names, and after
			t.Run(name, func(t *testing.T) {
				wall, a := New(wallIdentity()), &author{id: event.ReplicaID{9, 7: 9}}
				bad := a.next(t, fact)
				if first {
					take(t, wall, dayStart, bad)
				}
				take(t, wall, dayStart, chainFrom(h.lead)...)
				take(t, wall, dayStart, chainFrom(h.one)...)
				if !first {
					take(t, wall, dayStart, bad)
				}
				got, want := wall.View(dayStart, nil), h.lead.View(dayStart, nil)
				if got.Ledger != want.Ledger || len(got.Zones) != 1 || len(got.Regions) != 1 || got.Session.Waiting != 1 {
					t.Errorf("got  %+v, %d waiting\nwant %+v, 1 waiting", got.Ledger, got.Session.Waiting, want.Ledger)
				}
			})
		}
	}
}

// Whatever has standing edits is replaced by the next one, whichever kind it is.
func TestASecondEditReplacesTheFirst(t *testing.T) {
	h := newRoom(t)
	agent := record(t, h.lead, &event.Agent{Substance: "articaine", CapUG: 500_000, Source: "a"}, dayStart).Ref()
	zone, region := frontZone(), leftRegion()
	zone.Of, region.Of = h.zone, h.region
	edits := []event.Fact{
		&event.Budget{Grafts: 900, Reason: "as drawn"}, &event.Yield{PerMille: 910}, &event.Floor{HairsPerCM2x10: 900},
		&event.Watch{P0Parts: 300, P1Parts: 900, H100: 600}, &event.Keeping{AmberMin: 200, RedMin: 300}, zone, region,
		&event.Weight{Grams: 80_000}, &event.Agent{Of: agent, Substance: "articaine", CapUG: 400_000, Source: "a"},
		&event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "a"},
	}
	for k := range event.Kind(255) {
		fact := event.New(k)
		if fact == nil || !reflect.ValueOf(fact).Elem().FieldByName("Supersedes").IsValid() {
			continue
		}
		at := slices.IndexFunc(edits, func(f event.Fact) bool { return f.Kind() == k })
		if at < 0 {
			t.Errorf("%v has edits to replace and is not tried", k)
			continue
		}
		for range 2 {
			again := event.New(k)
			reflect.ValueOf(again).Elem().Set(reflect.ValueOf(edits[at]).Elem())
			e := record(t, h.lead, again, dayStart)
			if got := h.lead.State().Supersedes(edits[at]); !slices.Equal(got, []event.Ref{e.Ref()}) {
				t.Errorf("%v: %d stand, want the newest alone", k, len(got))
			}
		}
	}
}
