package simulation

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// deeds are what an action does.
var deeds = map[string]func(w *World, a Action){
	"sort": tapping(func(p *Phone, a Action) event.Fact {
		return &event.Sorted{Size: p.size(a), N: p.n(a), Dish: p.dish(a)}
	}),
	"place": tapping(place),
	"punch": tapping(punch),
	"read":  tapping(read),
	"fire":  tapping(fire),
	"reject": tapping(func(p *Phone, a Action) event.Fact {
		if a.Arg%4 == 0 {
			return &event.Rejected{From: event.Holding, Size: event.Size(a.Arg / 4 % 5), Reason: event.ReasonLost, N: 1, Dish: p.dish(a)}
		}
		return &event.Rejected{From: event.Bench, Reason: event.ReasonDried, N: 1}
	}),
	"split": tapping(func(p *Phone, a Action) event.Fact {
		return &event.Split{From: event.Stock(1 + a.Arg%2), Size: 3, Pieces: []event.Size{1, 2}, N: 1, Dish: p.dish(a)}
	}),
	"undo":           tapping(func(p *Phone, a Action) event.Fact { return p.undo(a, false) }),
	"undo another's": leading(func(p *Phone, a Action) event.Fact { return p.undo(a, true) }),
	"restore":        leading(restore),
	"budget": leading(func(p *Phone, a Action) event.Fact {
		return &event.Budget{Grafts: uint32(1000 + a.Arg%2000), Reason: "as drawn"}
	}),
	"keeping": leading(keeping),
	"zone":    leading(zone),
	"region":  leading(region),
	"pass": tapping(func(p *Phone, a Action) event.Fact {
		return &event.PassBegun{Mode: event.Mode(1 + a.Arg%3), DiameterUM: 900}
	}),
	"hand over": tapping(func(p *Phone, a Action) event.Fact { return &event.HandedOver{Person: p.name + "'"} }),
	"pause":     tapping(func(p *Phone, a Action) event.Fact { return &event.Paused{Room: a.Arg%2 == 0, Reason: "tea"} }),
	"note":      tapping(func(p *Phone, a Action) event.Fact { return &event.Note{Text: "a note"} }),
	"end":       leading(func(p *Phone, a Action) event.Fact { return &event.Ended{} }),
}

func init() {
	for name, do := range faultDeeds {
		deeds[name] = do
	}
}

// tapping has a phone tap what fact says; nil for nothing.
func tapping(fact func(p *Phone, a Action) event.Fact) func(*World, Action) {
	return func(w *World, a Action) {
		if p := w.phoneOf(a); p.alive() {
			p.tapIf(fact(p, a))
		}
	}
}

// leading is tapping for the lead: the office's phone, or a copy of it.
func leading(fact func(p *Phone, a Action) event.Fact) func(*World, Action) {
	return func(w *World, a Action) {
		var leads []*Phone
		for _, p := range w.phones {
			if p.office && p.alive() {
				leads = append(leads, p)
			}
		}
		if len(leads) > 0 {
			p := leads[a.Who%len(leads)]
			p.tapIf(fact(p, a))
		}
	}
}

func (p *Phone) tapIf(fact event.Fact) {
	if fact != nil {
		p.tap(fact)
	}
}

// phoneOf is whom an action is about: any phone, no wall.
func (w *World) phoneOf(a Action) *Phone {
	var some []*Phone
	for _, p := range w.phones {
		if !p.wall {
			some = append(some, p)
		}
	}
	return some[a.Who%len(some)]
}

func (p *Phone) size(a Action) event.Size { return event.Size(1 + a.Arg%4) }

func (p *Phone) n(a Action) uint32 { return uint32(1 + a.Arg/4%3) }

func (p *Phone) view() session.View {
	return p.engine.Replica().View(p.w.real(), nil)
}

func place(p *Phone, a Action) event.Fact {
	zones := p.view().Zones
	if len(zones) == 0 {
		return nil
	}
	at := zones[int(a.Arg)%len(zones)].Ref
	if a.Arg%7 == 0 {
		return &event.CameBack{Zone: at, Size: p.size(a), N: 1, Dish: p.dish(a)}
	}
	return &event.Placed{Zone: at, Size: p.size(a), N: p.n(a), Dish: p.dish(a)}
}

// somewhere is a pass of some mode, and a region.
func (p *Phone) somewhere(a Action) (pass, at event.Ref) {
	v := p.view()
	if len(v.Passes) == 0 {
		return event.Ref{}, event.Ref{}
	}
	if len(v.Regions) > 0 {
		at = v.Regions[int(a.Arg)%len(v.Regions)].Ref
	}
	return v.Passes[int(a.Arg)%len(v.Passes)].Ref, at
}

func punch(p *Phone, a Action) event.Fact {
	pass, at := p.somewhere(a)
	if pass.IsZero() {
		return nil
	}
	return &event.Attempt{Pass: pass, Region: at, Outcome: event.Outcome(1 + a.Arg%6), N: p.n(a)}
}

func read(p *Phone, a Action) event.Fact {
	pass, at := p.somewhere(a)
	if pass.IsZero() {
		return nil
	}
	return &event.Reading{Pass: pass, Region: at, Counter: "punch", Direction: event.Up, Value: uint32(p.w.nowMs/100 + a.Arg%3)}
}

func fire(p *Phone, a Action) event.Fact {
	pass, at := p.somewhere(a)
	if pass.IsZero() {
		return nil
	}
	return &event.Fired{Pass: pass, Region: at, N: p.n(a)}
}

// entries are the phone's own newest counts, or those of others.
func (p *Phone) entries(anothers bool) []event.Ref {
	r := p.engine.Replica()
	var out []event.Ref
	for _, m := range p.view().Phones {
		if (m.Replica == r.Me().Replica) != anothers {
			for _, entry := range r.State().LastEntries(m.Replica, 5) {
				out = append(out, entry.Ref)
			}
		}
	}
	return out
}

// undo voids one of the phone's own counts, or one of another's; at times a
// recount, or what was settled.
func (p *Phone) undo(a Action, anothers bool) event.Fact {
	targets := p.entries(anothers)
	for _, ref := range append(p.made(event.KindRecount), p.made(event.KindSettled)...) {
		if (ref.Replica == p.engine.Replica().Me().Replica) != anothers {
			targets = append(targets, ref)
		}
	}
	if len(targets) == 0 {
		return nil
	}
	return &event.Void{Target: targets[int(a.Arg)%len(targets)], Reason: "a slip"}
}

// restore brings back something that is void.
func restore(p *Phone, a Action) event.Fact {
	r := p.engine.Replica()
	var undone []event.Ref
	for _, ref := range r.Vector() {
		r.History(ref.Replica, func(e *event.Event) {
			if r.State().Undone(e.Ref()) {
				undone = append(undone, e.Ref())
			}
		})
	}
	slices.SortFunc(undone, event.CompareRef)
	undone = slices.Compact(undone)
	if len(undone) == 0 {
		return nil
	}
	target := undone[int(a.Arg)%len(undone)]
	return &event.Restore{Target: target, Voids: r.State().Voids(target)}
}

func zone(p *Phone, a Action) event.Fact {
	f := &event.Zone{Name: "front", AreaMM2: uint32(500 + a.Arg%500), Density10: 400, Mix: [event.Sizes]uint16{500, 300, 150, 50}}
	if zones := p.view().Zones; len(zones) > 2 || len(zones) > 0 && a.Arg%2 == 0 {
		f.Of = zones[int(a.Arg)%len(zones)].Ref
	}
	return f
}

func region(p *Phone, a Action) event.Fact {
	f := &event.Region{Code: "L", Name: "left", AreaMM2: uint32(2000 + a.Arg%500), Density10: 700, SharePerMille: 300}
	if regions := p.view().Regions; len(regions) > 2 || len(regions) > 0 && a.Arg%2 == 0 {
		f.Of = regions[int(a.Arg)%len(regions)].Ref
	}
	return f
}

// plan opens the session and makes what others name.
func (p *Phone) plan() {
	p.tap(&event.Opened{Case: "S-1", Room: "A", Stations: []event.Station{event.Extraction, event.Sorting, event.Placing}})
	p.tap(&event.Budget{Grafts: 2000})
	p.tap(&event.Zone{Name: "front", AreaMM2: 800, Density10: 400, Mix: [event.Sizes]uint16{500, 300, 150, 50}})
	p.tap(&event.Region{Code: "L", Name: "left", AreaMM2: 2200, Density10: 700, SharePerMille: 300})
	for mode := event.Each; mode <= event.ByException; mode++ {
		p.tap(&event.PassBegun{Mode: mode, DiameterUM: 900})
	}
}
