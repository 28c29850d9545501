package syncengine

import (
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// room is a lead and an operator who know the same: one zone, region and pass,
// and an entry of each.
type room struct {
	lead, one          *Replica
	zone, region, pass event.Ref
	ofLead, ofOne      event.Ref
	undone, join       event.Ref
}

func newRoom(t failer) *room {
	t.Helper()
	h := &room{lead: New(numbered(1)), one: New(numbered(2))}
	record(t, h.lead, &event.Joined{Person: "Lea", Station: event.Lead}, dayStart)
	record(t, h.lead, &event.Opened{Case: "C-1", Room: "1", Stations: []event.Station{1, 2, 3, 4}}, dayStart)
	h.zone = record(t, h.lead, frontZone(), dayStart).Ref()
	h.region = record(t, h.lead, leftRegion(), dayStart).Ref()
	h.ofLead = record(t, h.lead, &event.Sorted{Size: 1, N: 4}, dayStart).Ref()
	take(t, h.one, dayStart, chainFrom(h.lead)...)
	h.join = record(t, h.one, &event.Joined{Person: "Ola", Station: event.Extraction}, dayStart).Ref()
	h.pass = record(t, h.one, &event.PassBegun{Mode: event.Each}, dayStart).Ref()
	h.ofOne = record(t, h.one, &event.Attempt{Pass: h.pass, Outcome: event.Intact, N: 9}, dayStart).Ref()
	h.undone = record(t, h.one, &event.Attempt{Pass: h.pass, Outcome: event.Empty, N: 2}, dayStart).Ref()
	record(t, h.one, &event.Void{Target: h.undone}, dayStart)
	take(t, h.lead, dayStart, chainFrom(h.one)...)
	return h
}

func frontZone() *event.Zone {
	return &event.Zone{Name: "Front", AreaMM2: 1000, Density10: 300, Mix: [event.Sizes]uint16{1000}}
}

func leftRegion() *event.Region {
	return &event.Region{Code: "L", Name: "left", AreaMM2: 1000, Density10: 800, SharePerMille: 250}
}

// nowhere names an event that nobody has.
var nowhere = event.Ref{Replica: event.ReplicaID{0xFF}, Seq: 3, Check: [8]byte{1}}

// refusal is a fact that Record refuses, and the code.
type refusal struct {
	name string
	fact event.Fact
	code fault.Code
}

// checkRefusals checks that each is refused with its code and changes nothing.
func checkRefusals(t *testing.T, r *Replica, tests []refusal) {
	t.Helper()
	head, view := r.Head(), viewJSON(t, r, dayStart)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e, err := r.Record(tt.fact, false, Now{WallMs: dayStart})
			wantCode(t, "record", err, tt.code)
			if e != nil || r.Head() != head {
				t.Errorf("got an event: %+v", e)
			}
			sameBytes(t, "view", viewJSON(t, r, dayStart), view)
		})
	}
}

func TestRecordRefusesWhatIsNotThere(t *testing.T) {
	h := newRoom(t)
	other := h.zone
	other.Check[0] ^= 1
	checkRefusals(t, h.one, []refusal{
		{"sites in no zone", &event.Sites{Zone: nowhere, Size: 1, N: 1}, "zone-missing"},
		{"sites closed in no zone", &event.SitesClosed{Zone: nowhere, Size: 1, N: 1}, "zone-missing"},
		{"placed in no zone", &event.Placed{Zone: nowhere, Size: 1, N: 1}, "zone-missing"},
		{"came back from no zone", &event.CameBack{Zone: nowhere, Size: 1, N: 1}, "zone-missing"},
		{"edit of no zone", &event.Zone{Of: nowhere, Name: "x", AreaMM2: 1, Density10: 1, Mix: [event.Sizes]uint16{1000}}, "zone-missing"},
		{"a zone with another check", &event.Sites{Zone: other, Size: 1, N: 1}, "zone-missing"},
		{"a zone that is a region", &event.Sites{Zone: h.region, Size: 1, N: 1}, "zone-missing"},
		{"edit of no region", &event.Region{Of: nowhere, Code: "L", Name: "x", AreaMM2: 1, Density10: 1, SharePerMille: 1}, "region-missing"},
		{"attempt in no region", &event.Attempt{Pass: h.pass, Region: nowhere, Outcome: 1, N: 1}, "region-missing"},
		{"a region that is a zone", &event.Attempt{Pass: h.pass, Region: h.zone, Outcome: 1, N: 1}, "region-missing"},
		{"attempt in no pass", &event.Attempt{Pass: nowhere, Outcome: 1, N: 1}, "pass-missing"},
		{"fired in no pass", &event.Fired{Pass: nowhere, N: 1}, "pass-missing"},
		{"reading in no pass", &event.Reading{Pass: nowhere, Counter: "a", Direction: 1}, "pass-missing"},
		{"retrieved in no pass", &event.Retrieved{From: event.Buried, Pass: nowhere, N: 1}, "pass-missing"},
		{"end of no pass", &event.PassEnded{Pass: nowhere}, "pass-missing"},
		{"a pass that is a zone", &event.Attempt{Pass: h.zone, Outcome: 1, N: 1}, "pass-missing"},
		{"sorted into no dish", &event.Sorted{Size: 1, N: 1, Dish: nowhere}, "dish-missing"},
		{"rejected from no dish", &event.Rejected{From: event.Holding, Reason: 1, N: 1, Dish: nowhere}, "dish-missing"},
		{"placed from no dish", &event.Placed{Zone: h.zone, Size: 1, N: 1, Dish: h.pass}, "dish-missing"},
		{"no pass named", &event.Fired{N: 1}, "ref-needed"},
		{"no zone named", &event.Placed{Size: 1, N: 1}, "ref-needed"},
	})
}

func TestRecordRefusesNumbersBeyondTheirBounds(t *testing.T) {
	h := newRoom(t)
	zone := func(area, density uint32, mix uint16) *event.Zone {
		return &event.Zone{Name: "x", AreaMM2: area, Density10: density, Mix: [event.Sizes]uint16{mix}}
	}
	checkRefusals(t, h.lead, []refusal{
		{"nothing sorted", &event.Sorted{Size: 1}, "count-range"},
		{"minus one sorted", &event.Sorted{Size: 1, N: 1<<32 - 1}, "count-range"},
		{"501 sorted", &event.Sorted{Size: 1, N: event.MaxEntry + 1}, "count-range"},
		{"5,001 fired", &event.Fired{Pass: h.pass, N: event.MaxFired + 1}, "count-range"},
		{"501 attempts", &event.Attempt{Pass: h.pass, Outcome: 1, N: event.MaxEntry + 1}, "count-range"},
		{"size 0", &event.Sorted{N: 1}, "size-range"},
		{"size 5", &event.Placed{Zone: h.zone, Size: 5, N: 1}, "size-range"},
		{"outcome 7", &event.Attempt{Pass: h.pass, Outcome: 7, N: 1}, "outcome-unknown"},
		{"retrieved from intact", &event.Retrieved{From: event.Intact, Pass: h.pass, N: 1}, "retrieved-from"},
		{"a reading of eight digits", &event.Reading{Pass: h.pass, Counter: "a", Direction: 1, Value: event.MaxCounter + 1}, "number-range"},
		{"direction 3", &event.Reading{Pass: h.pass, Counter: "a", Direction: 3}, "direction-unknown"},
		{"mode 4", &event.PassBegun{Mode: 4}, "mode-unknown"},
		{"a punch of 199 µm", &event.PassBegun{Mode: 1, DiameterUM: 199}, "number-range"},
		{"stock 3", &event.Rejected{From: 3, Reason: 1, N: 1}, "stock-unknown"},
		{"reason 8", &event.Rejected{From: 1, Reason: 8, N: 1}, "reason-unknown"},
		{"a single split", &event.Split{From: 1, Size: 1, Pieces: []event.Size{1, 1}, N: 1}, "split-size"},
		{"one piece", &event.Split{From: 1, Size: 2, Pieces: []event.Size{1}, N: 1}, "split-pieces"},
		{"more hairs than there were", &event.Split{From: 1, Size: 3, Pieces: []event.Size{2, 2}, N: 1}, "split-hairs"},
		{"20,001 grafts", &event.Budget{Grafts: event.MaxBudget + 1}, "number-range"},
		{"a yield of 0", &event.Yield{}, "number-range"},
		{"a yield above 1", &event.Yield{PerMille: 1001}, "number-range"},
		{"a floor above all hair", &event.Floor{HairsPerCM2x10: 5001}, "number-range"},
		{"a zone without area", zone(0, 300, 1000), "number-range"},
		{"a zone without density", zone(100, 0, 1000), "number-range"},
		{"a zone of 2,000.01 cm²", zone(200_001, 300, 1000), "number-range"},
		{"a mix of 99.8 %", zone(100, 300, 998), "mix-sum"},
		{"a share above 1", &event.Region{Code: "L", Name: "x", AreaMM2: 1, Density10: 1, SharePerMille: 1001}, "number-range"},
		{"station 8", &event.Joined{Person: "x", Station: 8}, "station-unknown"},
		{"a note without words", &event.Note{}, "text-length"},
	})
	_, err := h.lead.Record(&event.Note{Text: "x"}, true, Now{WallMs: dayStart})
	wantCode(t, "a late note", err, "late-kind")
}

func TestRecordRefusesUndo(t *testing.T) {
	h := newRoom(t)
	checkRefusals(t, h.one, []refusal{
		{"another's entry", &event.Void{Target: h.ofLead}, "undo-others"},
		{"bring another's back", &event.Restore{Target: h.ofLead, Voids: []event.Ref{nowhere}}, "undo-others"},
		{"undone already", &event.Void{Target: h.undone}, "undone-already"},
		{"an entry that is not here", &event.Void{Target: nowhere}, "entry-missing"},
		{"bring back what is not here", &event.Restore{Target: nowhere, Voids: []event.Ref{nowhere}}, "entry-missing"},
		{"no entry named", &event.Void{}, "ref-needed"},
		{"bring back what stands", &event.Restore{Target: h.ofOne}, "not-undone"},
		{"a joining", &event.Void{Target: h.join}, "not-undoable"},
		{"a pass", &event.Void{Target: h.pass}, "not-undoable"},
	})
	checkRefusals(t, h.lead, []refusal{
		{"a zone", &event.Void{Target: h.zone}, "not-undoable"},
		{"a region", &event.Void{Target: h.region}, "not-undoable"},
		{"undone by its author", &event.Void{Target: h.undone}, "undone-already"},
	})
	record(t, h.lead, &event.Void{Target: h.ofOne}, dayStart)
	if got := h.lead.View(dayStart, nil).Ledger.Attempts.Punched; got != 0 {
		t.Errorf("a lead undoes anyone's: got %d punched, want 0", got)
	}
	record(t, h.one, &event.Void{Target: h.ofOne}, dayStart)
	if got := h.one.View(dayStart, nil).Ledger.Attempts.Punched; got != 0 {
		t.Errorf("an operator undoes its own: got %d punched, want 0", got)
	}
}

func TestAWallRecordsNothing(t *testing.T) {
	wall := New(wallIdentity())
	take(t, wall, dayStart, chainFrom(newRoom(t).lead)...)
	checkRefusals(t, wall, []refusal{
		{"a count", &event.Sorted{Size: 1, N: 1}, "reads-only"},
		{"a note", &event.Note{Text: "x"}, "reads-only"},
		{"a joining", &event.Joined{Person: "x", Station: event.Lead}, "reads-only"},
	})
}

func TestRecordHoldsTheBoundsOfASession(t *testing.T) {
	h := newRoom(t)
	for range 15 {
		record(t, h.lead, frontZone(), dayStart)
	}
	for range 11 {
		record(t, h.lead, leftRegion(), dayStart)
	}
	for range 63 {
		record(t, h.lead, &event.PassBegun{Mode: event.Each}, dayStart)
	}
	checkRefusals(t, h.lead, []refusal{
		{"a 17th zone", frontZone(), "too-many"},
		{"a 13th region", leftRegion(), "too-many"},
		{"a 65th pass", &event.PassBegun{Mode: event.Each}, "too-many"},
	})
	edit := frontZone()
	edit.Of = h.zone
	record(t, h.lead, edit, dayStart)
	if v := h.lead.View(dayStart, nil); len(v.Zones) != 16 || len(v.Regions) != 12 || len(v.Passes) != 64 {
		t.Errorf("got %d zones, %d regions, %d passes, want 16, 12, 64", len(v.Zones), len(v.Regions), len(v.Passes))
	}
}
