package simulation

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// keeping sets limits of the time out of the body.
func keeping(p *Phone, a Action) event.Fact {
	amber := 1 + a.Arg%300
	return &event.Keeping{AmberMin: amber, RedMin: amber + 1 + a.Arg/300%60, PerHour10: a.Arg / 7 % 3 * 3000}
}

// checkTimeOut holds what left the body's outside, what came back and the limits
// to the events.
func (w *World) checkTimeOut(final []*event.Event, all []line, v session.View) {
	var left, back int64
	for _, l := range all {
		switch f := l.fact.(type) {
		case *event.Placed:
			left += int64(f.N)
		case *event.Rejected:
			left += int64(f.N)
		case *event.CameBack:
			left, back = left-int64(f.N), back+int64(f.N)
		case *event.DishDone:
			for i := range event.Sizes {
				left += int64(f.Placed[i]) + int64(f.Rejected[i])
			}
		}
	}
	if v.TimeOut.Known {
		w.sum("what left", v.TimeOut.Left, left)
		w.sum("what came back", v.TimeOut.CameBack, back)
	}
	amber, red := shortestLimits(final)
	w.sum("the first limit", v.TimeOut.AmberMin, amber)
	w.sum("the second limit", v.TimeOut.RedMin, red)
}

// shortestLimits are the smallest of those that no other edit replaces.
func shortestLimits(final []*event.Event) (amber, red int64) {
	replaced := make(map[event.Ref]bool)
	for _, e := range final {
		if f, ok := e.Fact.(*event.Keeping); ok {
			for _, ref := range f.Supersedes {
				replaced[ref] = true
			}
		}
	}
	for _, e := range final {
		f, ok := e.Fact.(*event.Keeping)
		if !ok || replaced[e.Ref()] {
			continue
		}
		if amber == 0 {
			amber, red = f.AmberMin, f.RedMin
		}
		amber, red = min(amber, f.AmberMin), min(red, f.RedMin)
	}
	if amber == 0 {
		return 240, 360
	}
	return amber, red
}
