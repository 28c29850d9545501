package simulation

import (
	"slices"
	"strconv"

	"rootledger/shared/event"
)

// deskDeeds are dishes, recounts, and what puts counts right.
var deskDeeds = map[string]func(w *World, a Action){
	"dish": tapping(func(p *Phone, a Action) event.Fact {
		return &event.Dish{Label: strconv.FormatInt(1+a.Arg%5, 10), Size: event.Size(a.Arg % 5)}
	}),
	"dish done": tapping(dishDone),
	"dish closed": tapping(func(p *Phone, a Action) event.Fact {
		if dish := p.dish(a); !dish.IsZero() {
			return &event.DishClosed{Dish: dish}
		}
		return nil
	}),
	"recount": tapping(func(p *Phone, a Action) event.Fact {
		return &event.Recount{Of: event.Holding, Dish: p.dish(a), Size: event.Size(a.Arg / 3 % 5), N: uint32(a.Arg / 15 % 9)}
	}),
	"recount the bench": tapping(func(p *Phone, a Action) event.Fact {
		return &event.Recount{Of: event.Bench, N: uint32(a.Arg % 9)}
	}),
	"tell late":        tellLate,
	"refile":           tapping(func(p *Phone, a Action) event.Fact { return p.refile(a, false) }),
	"refile another's": leading(func(p *Phone, a Action) event.Fact { return p.refile(a, true) }),
	"refile an old one": leading(func(p *Phone, a Action) event.Fact {
		f, _ := p.refile(a, a.Arg%2 == 0).(*event.Refiled)
		if f == nil {
			return nil
		}
		f.Sets, f.Size, f.Dish, f.Pass = event.FiledSize, p.size(a), event.Ref{}, event.Ref{}
		return f
	}),
	"settle":        leading(settle),
	"settle anyhow": tapping(settle), // which is refused for all but the lead
	"opening":       tapping(opening),
}

func init() {
	for name, do := range deskDeeds {
		deeds[name] = do
	}
}

// made lists what a phone knows of a kind, in one order on every machine.
func (p *Phone) made(kind event.Kind) []event.Ref {
	r := p.engine.Replica()
	var out []event.Ref
	for _, ref := range r.Vector() {
		r.History(ref.Replica, func(e *event.Event) {
			if e.Fact.Kind() == kind {
				out = append(out, e.Ref())
			}
		})
	}
	slices.SortFunc(out, event.CompareRef)
	return slices.Compact(out)
}

// dish is a dish that the phone knows, at times none.
func (p *Phone) dish(a Action) event.Ref {
	dishes := p.made(event.KindDish)
	if len(dishes) == 0 || a.Arg%3 == 0 {
		return event.Ref{}
	}
	return dishes[int(a.Arg/3)%len(dishes)]
}

func dishDone(p *Phone, a Action) event.Fact {
	dish, zones := p.dish(a), p.view().Zones
	if dish.IsZero() || len(zones) == 0 {
		return nil
	}
	f := &event.DishDone{Dish: dish, Zone: zones[int(a.Arg)%len(zones)].Ref}
	f.Placed[a.Arg%4], f.Returned[a.Arg/4%4] = p.n(a), p.n(a)
	if a.Arg%2 == 0 {
		f.Rejected[a.Arg/16%4], f.Reason = 1, event.ReasonDried
	}
	return f
}

// tellLate has a phone tell of grafts that it forgot.
func tellLate(w *World, a Action) {
	p := w.phoneOf(a)
	if !p.alive() {
		return
	}
	if a.Arg%2 == 0 {
		p.tapLate(&event.Sorted{Size: p.size(a), N: p.n(a), Dish: p.dish(a)}, true)
		return
	}
	if f := place(p, a); f != nil {
		p.tapLate(f, true)
	}
}

// refile moves one or two of the phone's own counts, or of others'.
func (p *Phone) refile(a Action, anothers bool) event.Fact {
	targets := p.entries(anothers)
	if len(targets) == 0 {
		return nil
	}
	at := int(a.Arg) % len(targets)
	f := &event.Refiled{Targets: targets[at:min(len(targets), at+1+int(a.Arg%2))]}
	if a.Arg%3 > 0 {
		f.Sets, f.Size = event.FiledSize, p.size(a)
	}
	if a.Arg/2%3 == 0 {
		f.Sets, f.Dish = f.Sets|event.FiledDish, p.dish(a)
	}
	if pass, _ := p.somewhere(a); f.Sets == 0 && !pass.IsZero() {
		f.Sets, f.Pass = event.FiledPass, pass
	}
	if f.Sets == 0 {
		return nil
	}
	return f
}

// settle does what a difference asks for, or declares a graft left.
func settle(p *Phone, a Action) event.Fact {
	for _, d := range p.view().Differences {
		if d.Settle != 0 && !d.RecountFirst {
			return &event.Settled{What: d.What, At: d.At, Size: d.Size, Amount: d.Settle, Reason: "looked everywhere"}
		}
	}
	return &event.Settled{What: event.LeftIn, Amount: -1 - a.Arg%3, Reason: "left"}
}

func opening(p *Phone, a Action) event.Fact {
	pass, at := p.somewhere(a)
	if a.Arg%2 == 0 || pass.IsZero() {
		return &event.OpeningCount{Of: event.KindSorted, Size: p.size(a), N: 10 * p.n(a)}
	}
	return &event.OpeningCount{Of: event.KindAttempt, Pass: pass, Region: at, Outcome: event.Outcome(1 + a.Arg%6), N: 10 * p.n(a)}
}
