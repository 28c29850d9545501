package session

import (
	"slices"

	"rootledger/shared/budget"
	"rootledger/shared/event"
	"rootledger/shared/holding"
)

// tooLong asks to pause extraction when grafts are out for too long, or one that
// is taken now would be: for the red limit when red, else for the amber one. Of
// the two reasons it is the one further past its limits, of equal ones the graft
// that is out already. Where nothing is being taken there is nothing to pause.
func tooLong(v *View, red bool) (Ask, bool) {
	o, taking := &v.TimeOut, v.taking()
	ahead := holding.Within
	if taking {
		ahead = o.Forecast
	}
	level := max(o.Oldest, ahead)
	if level == holding.Within || (level == holding.Red) != red {
		return Ask{}, false
	}
	one := Ask{What: AskPauseAhead, Limit: red, Have: o.ForecastMin, Want: o.AmberMin}
	if o.Oldest == level {
		one.What, one.Have = AskPauseOld, o.OldestMin
		if !taking {
			one.What = AskOld
		}
	}
	if red {
		one.Want = o.RedMin
	}
	return one, true
}

// follows says whether another graft may be taken: one is left to take, and the
// donor allows it.
func (h *Headline) follows() bool {
	return !(h.BudgetKnown && h.ToTake == 0 || h.Stops != budget.StopsUnknown && h.StopAt == 0)
}

// taking says whether grafts may still be taken now: something is left to take,
// not every pass has ended, and extraction is not paused already.
func (v *View) taking() bool {
	if len(v.Passes) > 0 && !slices.ContainsFunc(v.Passes, func(p Pass) bool { return !p.Ended }) {
		return false
	}
	if !v.Headline.follows() {
		return false
	}
	for i := range v.Pace.Stations {
		if p := &v.Pace.Stations[i]; p.Station == event.Extraction {
			return !p.Paused
		}
	}
	return false
}
