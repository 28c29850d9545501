package session

import (
	"rootledger/shared/event"
	"rootledger/shared/holding"
	"rootledger/shared/pace"
)

// TimeOut is how long grafts were, and are, out of the body, and how long they
// may be. Everything is a lower bound: holding says why.
type TimeOut struct {
	Known    bool  `json:"known"`    // extraction and placing are both counted today
	Came     int64 `json:"came"`     // grafts out, and pieces gained by splits
	Opening  int64 `json:"opening"`  // of those, out before counting began: by the time that was entered
	Placed   int64 `json:"placed"`   // place taps
	Rejected int64 `json:"rejected"` // at the bench and at placing
	CameBack int64 `json:"cameBack"`
	Left     int64 `json:"left"` // N: placed + rejected − came back

	MeanKnown bool  `json:"meanKnown"` // some left, and no more than came
	MeanMs    int64 `json:"meanMs"`    // of those that left
	LongestMs int64 `json:"longestMs"` // first-in-first-out

	Waiting   int64         `json:"waiting"`   // grafts still out
	WaitedMin int64         `json:"waitedMin"` // their mean so far, whole minutes
	OldestMs  int64         `json:"oldestMs"`  // since when the oldest is out, first-in-first-out, ms since 1970; 0 when none waits
	OldestMin int64         `json:"oldestMin"` // how long that is, whole minutes
	Oldest    holding.Level `json:"oldest"`    // how that stands to the limits

	Basis       holding.Basis `json:"basis"`       // of the forecast
	Ahead       int64         `json:"ahead"`       // grafts of bench and holding before one that is taken now
	ForecastMin int64         `json:"forecastMin"` // how long that one will be out, minutes
	Forecast    holding.Level `json:"forecast"`

	AmberMin         int64  `json:"amberMin"`
	RedMin           int64  `json:"redMin"`
	PlacingMs        int64  `json:"placingMs"` // planned start of placing, ms since 1970; 0 for none
	PerHour10        int64  `json:"perHour10"` // planned rate of placing, grafts an hour × 10; 0 for none
	Solution         string `json:"solution"`
	Temperature10    int64  `json:"temperature10"` // tenths of a degree Celsius
	TemperatureKnown bool   `json:"temperatureKnown"`
	Standing         int64  `json:"standing"` // edits that stand; above 1 the lead must choose
}

// outOfBody is what the session knows of the time out of the body.
type outOfBody struct {
	tally   holding.Tally
	opening int64 // grafts that were out before counting began
	untimed bool  // a clock changed: all entries are told anew at the next read
}

// tellOut hands an entry to the holding, out of order or not: a late count lies
// where it was entered. What counters derive is told by their advances.
func (s *State) tellOut(en *entry, sign int64) {
	e := en.counts()
	if f, ok := e.Fact.(*event.Keeping); ok {
		s.out.tally.Limit(e, f)
		return
	}
	before := int64(0)
	if en.event.Fact.Kind() == event.KindOpeningCount {
		before = sign
	}
	for _, one := range s.movesOut(e) {
		if one.N == 0 {
			continue
		}
		if one.Move == holding.Came || one.Move == holding.Derived {
			s.out.opening += before * one.N
		}
		if !s.out.untimed {
			one.AtMs = s.atMs(en.event)
			s.out.tally.Add(one, sign)
		}
	}
}

// outMoves is as many moves as one entry can be.
type outMoves [3]holding.Entry

// movesOut is what an entry says of grafts that come and go, without its time.
func (s *State) movesOut(e *event.Event) (out outMoves) {
	switch f := plain(e.Fact).(type) {
	case *event.Attempt:
		out[0] = s.attemptOut(f)
	case *event.Fired:
		if e.Fact.Kind() == event.KindOpeningCount && s.attempts.Mode(f.Pass) == event.ByException {
			out[0] = holding.Entry{Move: holding.Derived, N: int64(f.N), Pass: f.Pass}
		}
	case *event.Retrieved:
		out[0] = holding.Entry{Move: holding.Came, N: int64(f.N)}
	case *event.Settled:
		if f.What == event.Pending && s.attempts.Mode(f.At) == event.ByException { // shots in the air were never out
			out[0] = holding.Entry{Move: holding.Less, N: -f.Amount, Pass: f.At}
		}
	case *event.Sorted:
		out[1] = s.dishMove(holding.IntoDish, f.Dish, int64(f.N))
	case *event.Split:
		gained := int64(f.N) * int64(len(f.Pieces)-1)
		out[0] = holding.Entry{Move: holding.Came, N: gained}
		if f.From == event.Bench {
			gained += int64(f.N)
		}
		out[1] = s.dishMove(holding.IntoDish, f.Dish, gained)
	case *event.Rejected:
		out[0] = holding.Entry{Move: holding.Rejected, N: int64(f.N)}
		if f.From == event.Holding {
			out[1] = s.dishMove(holding.OutOfDish, f.Dish, int64(f.N))
		}
	case *event.Placed:
		out[0] = holding.Entry{Move: holding.Placed, N: int64(f.N)}
		out[1] = s.dishMove(holding.OutOfDish, f.Dish, int64(f.N))
	case *event.CameBack:
		out[0] = holding.Entry{Move: holding.CameBack, N: int64(f.N)}
		out[1] = s.dishMove(holding.BackIntoDish, f.Dish, int64(f.N))
	case *event.DishDone:
		out[0].Move, out[1].Move = holding.Placed, holding.Rejected
		returned := int64(0)
		for i := range event.Sizes {
			out[0].N, out[1].N = out[0].N+int64(f.Placed[i]), out[1].N+int64(f.Rejected[i])
			returned += int64(f.Returned[i])
		}
		out[2] = s.dishMove(holding.OutOfDish, f.Dish, out[0].N+out[1].N+returned)
	}
	return out
}

// attemptOut is an outcome: out, or of a pass by exception one that its counters
// took for out.
func (s *State) attemptOut(f *event.Attempt) holding.Entry {
	n, out := int64(f.N), f.Outcome == event.Intact || f.Outcome == event.Partial
	switch exception := s.attempts.Mode(f.Pass) == event.ByException; {
	case out && !exception:
		return holding.Entry{Move: holding.Came, N: n}
	case !out && exception:
		return holding.Entry{Move: holding.Less, N: n, Pass: f.Pass}
	}
	return holding.Entry{}
}

func (s *State) dishMove(move holding.Move, dish event.Ref, n int64) holding.Entry {
	d := s.stocks.Dish(dish)
	if d == nil {
		return holding.Entry{}
	}
	return holding.Entry{Move: move, N: n, Dish: d.Number}
}

// derive hands on what an advance of a counter says of a pass by exception.
func (s *State) derive(pass event.Ref, e *event.Event, n, sign int64) {
	if !s.out.untimed && s.attempts.Mode(pass) == event.ByException {
		s.out.tally.Add(holding.Entry{Move: holding.Derived, AtMs: s.atMs(e), N: n, Pass: pass}, sign)
	}
}

// retime tells all entries anew after a clock note: each may have another time.
func (s *State) retime() {
	if !s.out.untimed {
		return
	}
	s.out.untimed, s.out.opening = false, 0
	s.out.tally.Clear()
	for _, h := range s.histories {
		for _, en := range h.entries() {
			if en.status != counted || en.event.Fact.Kind() == event.KindKeeping {
				continue
			}
			s.tellOut(en, 1)
			if e := en.counts(); e.Fact.Kind() == event.KindFired || e.Fact.Kind() == event.KindReading {
				pass := event.PassOf(e.Fact)
				s.derive(pass, en.event, s.attempts.Adds(e, pass), 1)
			}
		}
	}
}

// timeOut is the section: after the pace, which hands on what counters derive.
func (s *State) timeOut(f *fold, p *Pace, nowMs int64) TimeOut {
	s.retime()
	limits := s.out.tally.Limits()
	v := TimeOut{Known: f.counts(event.Extraction) && f.counts(event.Placing),
		AmberMin: limits.AmberMin, RedMin: limits.RedMin, PlacingMs: limits.Edit.PlacingMs, PerHour10: limits.Edit.PerHour10,
		Solution: limits.Edit.Solution, Temperature10: limits.Edit.Temperature10, TemperatureKnown: limits.Edit.TemperatureKnown,
		Standing: int64(limits.Standing)}
	if !v.Known {
		return v
	}
	stock := f.bench + f.stocks.HoldingTotal()
	o := s.out.tally.Read(nowMs, stock)
	v.Came, v.Opening, v.Placed, v.Rejected, v.CameBack, v.Left = o.Came, s.out.opening, o.Placed, o.Rejected, o.CameBack, o.Left
	v.MeanKnown, v.MeanMs, v.LongestMs = o.MeanKnown, o.MeanMs, o.LongestMs
	v.Waiting, v.WaitedMin = o.Waiting, o.WaitedMs/60_000
	v.OldestMs, v.OldestMin, v.Oldest = o.OldestAtMs, o.OldestMs/60_000, limits.Of(o.OldestMs)
	var wait int64
	v.Ahead = max(0, stock)
	v.Basis, wait = limits.Forecast(nowMs, stock, s.placing(p, nowMs))
	v.ForecastMin, v.Forecast = (wait+30_000)/60_000, limits.Of(wait)
	return v
}

// placing is what the pace says of placing.
func (s *State) placing(p *Pace, nowMs int64) (out holding.Placing) {
	for i := range p.Stations {
		if one := &p.Stations[i]; one.Station == event.Placing {
			out = holding.Placing{Running: one.PerHour10 > 0, Events: one.Events, ActiveMs: one.ActiveMs, WorkedMs: one.ActiveMs}
			if one.State != pace.NotBegun && one.ActiveMs < pace.WindowMs { // else placing has gone on for half an hour at least
				out.WorkedMs = s.paces.Worked(event.Placing, nowMs, s.dayOf(event.Placing, nowMs))
			}
		}
	}
	return out
}

// outFor is since when the oldest graft lies in a dish and how long that is, in
// whole minutes, and how it stands to the limits; it has been out for longer.
func (s *State) outFor(dish int, limits *holding.Limits, nowMs int64) (sinceMs, minutes int64, level holding.Level) {
	if d := s.out.tally.Dish(dish); d.OldestAtMs > 0 {
		ms := nowMs - d.OldestAtMs
		return d.OldestAtMs, ms / 60_000, limits.Of(ms)
	}
	return 0, 0, holding.Within
}

// DishTime is how long grafts lay in one dish: since they were put into it, so
// they were out for longer.
type DishTime struct {
	Label string
	holding.Dish
}

// DishTimes lists every dish by the time it was opened.
func (s *State) DishTimes() []DishTime {
	s.retime()
	var out []DishTime
	for _, d := range s.stocks.Dishes() {
		out = append(out, DishTime{d.Opened.Label, s.out.tally.Dish(d.Number)})
	}
	return out
}
