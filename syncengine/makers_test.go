package syncengine

import (
	"slices"

	"rootledger/shared/event"
)

// maker proposes one valid fact for a member of a day, or nil when what it
// would name is not there yet.
type maker func(*day, *member) event.Fact

var leadFacts = []maker{
	makeBudget, makeBudget, makeYield, makeFloor, makeZone, editZone, editZone, makeRegion, editRegion,
	makeVoid, makeVoid, makeRestore, makeOpened, makeEnded, makePause,
	makeSettled, makeSettled, makeRefiled, makeRecount,
	makeSetup, makeTrial, makeConcluded, makeChosen,
	makeWatch, makeLooked,
	makeKeeping, makeVoid, makeGranted, makeReclaimed,
}

var extractionFacts = []maker{
	makePass, makePassEnd, makeFired, makeFired, makeReading, makeReading, makeReading,
	makeAttempt, makeAttempt, makeAttempt, makeRetrieved, makeVoid, makeRestore,
	makeOpening, makeRefiled, makeRefiled,
	makeSetup, makeSetup, makeTrial, makeChosen, makeChosen, makeAttempt,
	makeLooked, makeAttempt,
}

var sortingFacts = []maker{
	makeSorted, makeSorted, makeRejected, makeSplit, makeVoid, makeRestore,
	makeDish, makeOpening, makeRefiled, makeRecount,
	makeInspected,
}

var placingFacts = []maker{
	makeSites, makeSites, makeClosed, makePlaced, makePlaced, makeCameBack, makeRejected, makeVoid, makeRestore,
	makeDishDone, makeDishClosed, makeRefiled, makeRecount,
}

var deskFacts = []maker{
	makeJoined, makeLeft, makeHandOver, makePause, makeResumed, makeNote, makeClockNote,
	makeDish, makeRecount,
}

func makeClockNote(d *day, _ *member) event.Fact {
	of := d.crew[d.pick(len(d.crew))]
	return &event.ClockNote{Replica: of.Me().Replica, Start: of.Me().Start, SinceMs: uint64(d.ms - dayStart), RoomMs: uint64(d.ms), AheadMs: of.skewMs}
}

func makeGranted(d *day, _ *member) event.Fact {
	return &event.Granted{To: d.crew[d.pick(len(d.crew))].Me().Replica, N: d.n()}
}

func makeReclaimed(d *day, by *member) event.Fact {
	from := d.crew[d.pick(len(d.crew))].Me().Replica
	left := by.State().Share(from).Unspent()
	if left == 0 || by.State().Station(by.Me().Replica) != event.Lead {
		return nil
	}
	return &event.Reclaimed{From: from, N: uint32(1 + d.pick(int(left)))}
}

func (d *day) n() uint32        { return uint32(1 + d.pick(20)) }
func (d *day) size() event.Size { return event.Size(1 + d.pick(event.Sizes)) }

func makeOpened(d *day, m *member) event.Fact {
	if m.View(dayStart, nil).Session.OpenedMs > 0 {
		return &event.Note{Text: "open already"}
	}
	sets := [][]event.Station{
		{event.Extraction, event.Sorting, event.SiteMaking, event.Placing},
		{event.Extraction, event.Sorting, event.Placing}, {event.Extraction}, {event.Sorting, event.Placing},
	}
	o := &event.Opened{Case: "C-1", Room: "2", Stations: sets[d.pick(len(sets))]}
	if d.pick(4) == 0 {
		o.Practice = event.Practice{StartMs: dayStart, RealMs: dayStart, Speed: 60}
	}
	return o
}

func makeEnded(d *day, _ *member) event.Fact {
	if d.pick(3) > 0 {
		return nil
	}
	return &event.Ended{}
}

func makeJoined(d *day, m *member) event.Fact {
	stations := []event.Station{m.station, m.station, event.Placing, event.Desk}
	return &event.Joined{Person: personNames[d.pick(len(personNames))], Station: stations[d.pick(len(stations))]}
}

func makeLeft(*day, *member) event.Fact { return &event.Left{} }

func makeHandOver(d *day, _ *member) event.Fact {
	f := &event.HandedOver{Person: personNames[d.pick(len(personNames))]}
	if d.pick(3) == 0 {
		f.Checks = []event.Ref{{Seq: 1 + uint64(d.pick(9))}} // of whatever, or of nothing
	}
	return f
}

func makePause(d *day, _ *member) event.Fact {
	return &event.Paused{Room: d.pick(2) == 0, Reason: "tea"}
}

func makeResumed(d *day, _ *member) event.Fact { return &event.Resumed{Room: d.pick(2) == 0} }

func makeNote(*day, *member) event.Fact { return &event.Note{Text: "Zeile — 二行\nthird"} }

func makeBudget(d *day, _ *member) event.Fact {
	return &event.Budget{Grafts: uint32(d.pick(3000)), Reason: "as drawn"}
}

func makeYield(d *day, _ *member) event.Fact {
	return &event.Yield{PerMille: uint32(700 + d.pick(301))}
}

func makeFloor(d *day, _ *member) event.Fact {
	return &event.Floor{HairsPerCM2x10: uint32(d.pick(2000))}
}

func makeKeeping(d *day, _ *member) event.Fact {
	f := &event.Keeping{AmberMin: int64(1 + d.pick(60)), RedMin: int64(61 + d.pick(60)), PerHour10: int64(d.pick(3)) * 1500,
		Solution: []string{"", "saline"}[d.pick(2)], TemperatureKnown: d.pick(2) == 0}
	if d.pick(2) == 0 {
		f.PlacingMs = dayStart + int64(d.pick(600))*1000
	}
	if f.TemperatureKnown {
		f.Temperature10 = int64(d.pick(60) - 5)
	}
	return f
}

func makeZone(d *day, _ *member) event.Fact {
	if len(d.zones) >= 4 {
		return nil
	}
	mixes := [][event.Sizes]uint16{{300, 500, 200, 0}, {333, 333, 333, 0}, {334, 334, 333, 0}, {1000, 0, 0, 0}}
	names := []string{"Front", "Mid", "Crown"}
	return &event.Zone{Name: names[d.pick(3)], AreaMM2: uint32(100 + d.pick(5000)),
		Density10: uint32(100 + d.pick(400)), Mix: mixes[d.pick(len(mixes))]}
}

func editZone(d *day, m *member) event.Fact {
	of := d.known(m, d.zones)
	if of.IsZero() {
		return makeZone(d, m)
	}
	return &event.Zone{Of: of, Name: []string{"Front", "Hairline"}[d.pick(2)], AreaMM2: uint32(100 + d.pick(5000)),
		Density10: 350, Mix: [event.Sizes]uint16{250, 250, 250, 250}}
}

func makeRegion(d *day, _ *member) event.Fact {
	if len(d.regions) >= 3 {
		return nil
	}
	return d.regionFact(event.Ref{})
}

func editRegion(d *day, m *member) event.Fact {
	of := d.known(m, d.regions)
	if of.IsZero() {
		return makeRegion(d, m)
	}
	return d.regionFact(of)
}

// regionFact names a region after its code.
func (d *day) regionFact(of event.Ref) event.Fact {
	code := []string{"L", "R", "OC"}[d.pick(3)]
	return &event.Region{Of: of, Code: code, Name: "region " + code, AreaMM2: uint32(500 + d.pick(4000)), Density10: 800,
		Today: d.pick(2) == 0, SharePerMille: uint32(100 + d.pick(200)), Harvested: uint32(d.pick(200)), HairsPerUnit100: 220}
}

func makePass(d *day, _ *member) event.Fact {
	if len(d.passes) >= 6 {
		return nil
	}
	return &event.PassBegun{Mode: event.Mode(1 + d.pick(3)), DiameterUM: 900, Operator: []string{"", "Tam"}[d.pick(2)]}
}

func makePassEnd(d *day, m *member) event.Fact {
	if pass := d.known(m, d.passes); !pass.IsZero() && d.pick(2) == 0 {
		return &event.PassEnded{Pass: pass}
	}
	return nil
}

// place picks a pass that m knows, and a region or none.
func (d *day) place(m *member) (pass, region event.Ref, ok bool) {
	pass = d.known(m, d.passes)
	if d.pick(3) > 0 {
		region = d.known(m, d.regions)
	}
	return pass, region, !pass.IsZero()
}

func makeFired(d *day, m *member) event.Fact {
	pass, region, ok := d.place(m)
	if !ok {
		return makePass(d, m)
	}
	return &event.Fired{Pass: pass, Region: region, N: d.n()}
}

func makeReading(d *day, m *member) event.Fact {
	pass, region, ok := d.place(m)
	if !ok {
		return makePass(d, m)
	}
	which, step := d.pick(2), uint32(d.pick(40))
	f := &event.Reading{Pass: pass, Region: region, Counter: []string{"a", "b"}[which], Direction: event.Direction(1 + which)}
	up := which == 0
	if d.pick(6) == 0 {
		up = !up // a slip, or a counter that was turned back
	}
	if up {
		d.counters[which] += step
	} else {
		d.counters[which] -= min(step, d.counters[which])
	}
	f.Value = d.counters[which]
	return f
}

func makeAttempt(d *day, m *member) event.Fact {
	pass, region, ok := d.place(m)
	if !ok {
		return makePass(d, m)
	}
	return d.withSetup(m, &event.Attempt{Pass: pass, Region: region, Outcome: event.Outcome(1 + d.pick(event.Outcomes)), N: d.n()})
}

func makeRetrieved(d *day, m *member) event.Fact {
	pass, region, ok := d.place(m)
	if !ok {
		return nil
	}
	return &event.Retrieved{From: []event.Outcome{event.Topped, event.Buried}[d.pick(2)], Pass: pass, Region: region, N: d.n()}
}

func makeSorted(d *day, m *member) event.Fact {
	return &event.Sorted{Size: d.size(), N: d.n(), Dish: d.dish(m)}
}

func makeRejected(d *day, m *member) event.Fact {
	return &event.Rejected{From: event.Stock(1 + d.pick(2)), Size: event.Size(d.pick(event.Sizes + 1)),
		Reason: event.Reason(1 + d.pick(event.Reasons)), N: d.n(), Dish: d.dish(m)}
}

func makeSplit(d *day, m *member) event.Fact {
	pieces := [][]event.Size{{1, 1}, {1, 2}, {1, 1, 1}, {2, 2}, {1, 1, 1, 1, 2, 4}}
	i := d.pick(len(pieces))
	return &event.Split{From: event.Stock(1 + d.pick(2)), Size: []event.Size{2, 3, 3, 4, 4}[i], Pieces: pieces[i], N: d.n(), Dish: d.dish(m)}
}

func makeSites(d *day, m *member) event.Fact {
	zone := d.known(m, d.zones)
	if zone.IsZero() {
		return makeZone(d, m)
	}
	return &event.Sites{Zone: zone, Size: d.size(), N: d.n()}
}

func makeClosed(d *day, m *member) event.Fact {
	zone := d.known(m, d.zones)
	if zone.IsZero() {
		return nil
	}
	return &event.SitesClosed{Zone: zone, Size: d.size(), N: d.n()}
}

func makePlaced(d *day, m *member) event.Fact {
	zone := d.known(m, d.zones)
	if zone.IsZero() {
		return makeZone(d, m)
	}
	return &event.Placed{Zone: zone, Size: d.size(), N: d.n(), Dish: d.dish(m)}
}

func makeCameBack(d *day, m *member) event.Fact {
	zone := d.known(m, d.zones)
	if zone.IsZero() {
		return nil
	}
	return &event.CameBack{Zone: zone, Size: d.size(), N: d.n(), Dish: d.dish(m)}
}

// reach are the entries that m may undo or bring back: its own, a lead any.
func (d *day) reach(m *member, undone bool) []event.Ref {
	lead := m.State().Station(m.Me().Replica) == event.Lead
	return slices.DeleteFunc(slices.Clone(d.entries), func(ref event.Ref) bool {
		return !lead && ref.Replica != m.Me().Replica || m.State().Undone(ref) != undone
	})
}

func makeVoid(d *day, m *member) event.Fact {
	target := d.known(m, d.reach(m, false))
	if target.IsZero() {
		return nil
	}
	return &event.Void{Target: target, Reason: []string{"", "slip"}[d.pick(2)]}
}

func makeRestore(d *day, m *member) event.Fact {
	target := d.known(m, d.reach(m, true))
	if target.IsZero() {
		return nil
	}
	voids := m.State().Voids(target)
	slices.SortFunc(voids, event.CompareRef)
	return &event.Restore{Target: target, Voids: voids[:1+d.pick(len(voids))]}
}
