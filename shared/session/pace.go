package session

import (
	"slices"

	"rootledger/shared/event"
	"rootledger/shared/pace"
)

// Pace is how fast each station is, and till when it has work.
type Pace struct {
	Stations   []StationPace `json:"stations"`   // extraction, sorting, sites, placing: those that count today
	Bottleneck event.Station `json:"bottleneck"` // 0 when it can't be told
}

// StationPace is one station's pace over the last 30 minutes, pauses left out.
// Times in ms since 1970 by the session's clock.
type StationPace struct {
	Station  event.Station `json:"station"`
	State    pace.State    `json:"state"`
	Paused   bool          `json:"paused"`
	Events   int64         `json:"events"` // attempts, grafts or sites in the window
	Bulk     int64         `json:"bulk"`   // of them, from entries of more than nine: spread over their time
	ActiveMs int64         `json:"activeMs"`

	PerHour10 int64 `json:"perHour10"` // per hour × 10; 0 unless running
	Low10     int64 `json:"low10"`     // 95 % interval, if they came one by one
	High10    int64 `json:"high10"`

	Left        int64 `json:"left"` // what remains, in its own events
	LeftKnown   bool  `json:"leftKnown"`
	Done        bool  `json:"done"`
	FinishKnown bool  `json:"finishKnown"`
	FinishMs    int64 `json:"finishMs"`
	EarliestMs  int64 `json:"earliestMs"`
	LatestMs    int64 `json:"latestMs"`

	Before   int64        `json:"before"`   // events in the 30 minutes before these
	Verdict  pace.Verdict `json:"verdict"`  // these against those
	PParts   int64        `json:"pParts"`   // two-sided p, in parts of 10,000
	Compared bool         `json:"compared"` // both are long enough
}

// tellPace hands an entry to the pace, when it is work that was just done: an
// opening count and a late entry say nothing of the time when it was. What
// counters count is told by their advances.
func (s *State) tellPace(en *entry, sign int64) {
	e := en.counts()
	if en.event.Fact.Kind() == event.KindOpeningCount || e.Late {
		return
	}
	one := pace.Entry{Ref: e.Ref()}
	switch f := e.Fact.(type) {
	case *event.Attempt:
		if s.attempts.Mode(f.Pass) == event.Each {
			one.Station, one.N = event.Extraction, int64(f.N)
		}
	case *event.Sorted:
		one.Station, one.N = event.Sorting, int64(f.N)
	case *event.Split:
		if f.From == event.Bench {
			one.Station, one.N = event.Sorting, int64(f.N)
		}
	case *event.Rejected:
		if f.From == event.Bench {
			one.Station, one.N = event.Sorting, int64(f.N)
		}
	case *event.Sites:
		one.Station, one.N = event.SiteMaking, int64(f.N)
	case *event.Placed:
		one.Station, one.N = event.Placing, int64(f.N)
	case *event.DishDone:
		one.Station = event.Placing
		for _, n := range f.Placed {
			one.N += int64(n)
		}
	}
	if one.N > 0 {
		one.AtMs = s.atMs(en.event)
		s.paces.Add(one, sign)
	}
}

// tellAdvances hands on what counters counted since the last time: what went
// goes first, so that an entry is never in twice.
func (s *State) tellAdvances() {
	advances := s.attempts.Advances()
	for i, sign := range [2]int64{-1, 1} {
		for _, a := range advances {
			n := [2]int64{a.Was, a.Now}[i]
			if sign < 0 && a.First || sign > 0 && a.Gone {
				continue
			}
			s.derive(a.Pass, a.Event, n, sign)
			if en := s.find(a.Event.Ref()); en.event.Fact.Kind() != event.KindOpeningCount && !en.event.Late {
				s.paces.Add(pace.Entry{Station: event.Extraction, Ref: a.Event.Ref(), AtMs: s.atMs(en.event), N: n}, sign)
			}
		}
	}
}

// redate gives a phone's entries their times anew after a clock note about it.
func (s *State) redate(id event.ReplicaID) {
	s.tellAdvances()
	s.out.untimed, s.punches.stale, s.trials.stale = true, true, true
	s.paces.Redate(id, func(ref event.Ref) int64 { return s.atMs(s.find(ref).event) })
}

func (s *State) pace(f *fold, nowMs int64) Pace {
	s.tellAdvances()
	const stations = event.Placing - event.Extraction + 1
	v := Pace{Stations: make([]StationPace, 0, stations)}
	finishes := make([]pace.Finish, 0, stations)
	for station := event.Extraction; station <= event.Placing; station++ {
		if !f.counts(station) {
			continue
		}
		day := s.dayOf(station, nowMs)
		read := s.paces.Read(station, nowMs, day)
		trend := s.paces.Trend(station, nowMs, day)
		one := StationPace{Station: station, State: read.State, Paused: read.Paused, Events: read.Events, Bulk: read.Bulk, ActiveMs: read.ActiveMs,
			PerHour10: read.PerHour10, Low10: read.Low10, High10: read.High10,
			Before: trend.Before.Events, Verdict: trend.Verdict, PParts: trend.PParts, Compared: trend.Tested}
		if one.Left, one.LeftKnown = f.left(station); one.LeftKnown {
			finish := read.Finish(nowMs, one.Left)
			one.Done, one.FinishKnown, one.FinishMs, one.EarliestMs, one.LatestMs = finish.Done, finish.Known, finish.AtMs, finish.EarliestMs, finish.LatestMs
			if station != event.SiteMaking {
				finishes = append(finishes, finish)
			}
		}
		v.Stations = append(v.Stations, one)
	}
	v.Bottleneck = pace.Bottleneck(finishes...)
	return v
}

// dayOf is what else is known of a station's day.
func (s *State) dayOf(station event.Station, nowMs int64) pace.Day {
	day := pace.Day{Pauses: s.pausesOf(station, nowMs)}
	if o := s.opening(); o != nil {
		day.OpeningMs = s.atMs(o)
	}
	return day
}

// left is what a station has still to do; not known without a budget, of sites
// without a plan.
func (f *fold) left(station event.Station) (n int64, known bool) {
	g := f.figures
	switch station {
	case event.Extraction:
		n = g.Attempts
	case event.Sorting:
		n = max(0, f.bench) + g.OnTheWay + g.ToTake
	case event.SiteMaking:
		for _, z := range f.zones {
			n += z.Need.Total()
		}
		for _, done := range f.zoneDone {
			n -= done.Sites.Total()
		}
		return max(0, n), len(f.zones) > 0
	case event.Placing:
		n = max(0, f.tallies.Grafts-f.stocks.Placed().Total())
	}
	return n, f.tallies.BudgetKnown
}

// pausesOf lists the declared pauses of a station and of the room; one that has
// not ended lasts until now.
func (s *State) pausesOf(station event.Station, nowMs int64) []pace.Span {
	var out []pace.Span
	var open [2]int64 // since when the station and the room pause, 0 for not
	for _, p := range s.team().Pauses() {
		if !p.Room && p.Station != station {
			continue
		}
		at := &open[0]
		if p.Room {
			at = &open[1]
		}
		ms := s.atMs(s.find(p.Ref).event)
		switch {
		case p.Begins && *at == 0:
			*at = ms
		case !p.Begins && *at != 0:
			out = append(out, pace.Span{FromMs: *at, ToMs: ms})
			*at = 0
		}
	}
	for _, from := range open {
		if from != 0 {
			out = append(out, pace.Span{FromMs: from, ToMs: max(nowMs, from) + 1})
		}
	}
	return slices.Clip(out)
}
