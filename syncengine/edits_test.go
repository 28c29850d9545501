package syncengine

import (
	"testing"

	"rootledger/shared/event"
)

func TestAPlanEditReplacesThoseThatStand(t *testing.T) {
	h := newRoom(t)
	record(t, h.lead, &event.Budget{Grafts: 900}, dayStart)
	record(t, h.one, &event.Budget{Grafts: 700}, dayStart)
	record(t, h.one, &event.Yield{PerMille: 910}, dayStart)
	record(t, h.lead, &event.Yield{PerMille: 900}, dayStart)
	take(t, h.lead, dayStart, chainFrom(h.one)...)
	v := h.lead.View(dayStart, nil)
	if v.Headline.Budget != 700 || v.Ledger.BudgetsStanding != 2 || v.Ledger.PlannedPerMille != 910 || v.Ledger.YieldsStanding != 2 {
		t.Errorf("made apart: got budget %d of %d, yield %d of %d, want 700 of 2, 910 of 2",
			v.Headline.Budget, v.Ledger.BudgetsStanding, v.Ledger.PlannedPerMille, v.Ledger.YieldsStanding)
	}
	e := record(t, h.lead, &event.Budget{Grafts: 800}, dayStart)
	if v := h.lead.View(dayStart, nil); v.Headline.Budget != 800 || v.Ledger.BudgetsStanding != 1 {
		t.Errorf("decided: got budget %d of %d, want 800 of 1", v.Headline.Budget, v.Ledger.BudgetsStanding)
	}
	if got := len(e.Fact.(*event.Budget).Supersedes); got != 2 {
		t.Errorf("the new edit names %d, want 2", got)
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
		if _, err := h.lead.Record(&event.Budget{Grafts: 2000}, false, Now{WallMs: dayStart}); err != nil {
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
	h := newRoom(t)
	zoneEdit, regionEdit := frontZone(), leftRegion()
	zoneEdit.Of, regionEdit.Of = h.zone, h.region
	zone, region := record(t, h.lead, zoneEdit, dayStart).Ref(), record(t, h.lead, regionEdit, dayStart).Ref()
	before := h.lead.View(dayStart, nil)
	tests := []struct {
		name string
		fact event.Fact
		want func(l *event.BySize, need, capacity *int64)
	}{
		{"an edit of a zone's edit", &event.Zone{Of: zone, Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}}, nil},
		{"an edit of a region's edit", &event.Region{Of: region, Code: "L", Name: "left", AreaMM2: 1000, Density10: 800, SharePerMille: 250}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := h.lead.Record(tt.fact, false, Now{WallMs: dayStart}); err != nil {
				return
			}
			v := h.lead.View(dayStart, nil)
			if len(v.Zones) != 1 || v.Ledger.NeedTotal != before.Ledger.NeedTotal {
				t.Errorf("got %d zones that need %d, want 1 and %d", len(v.Zones), v.Ledger.NeedTotal, before.Ledger.NeedTotal)
			}
			if len(v.Regions) != 1 || v.Ledger.CapacityTotal != before.Ledger.CapacityTotal {
				t.Errorf("got %d regions with %d, want 1 and %d", len(v.Regions), v.Ledger.CapacityTotal, before.Ledger.CapacityTotal)
			}
		})
	}
}
