package session

import (
	"rootledger/shared/event"
	"rootledger/shared/flow"
	"rootledger/shared/holding"
	"rootledger/shared/pace"
)

// TimeOut is how long grafts were, and are, out of the body, and how long they
// may be. Times go by entries: holding says what late ones do.
type TimeOut struct {
	Known    bool  `json:"known"`    // extraction and placing are both counted today
	Came     int64 `json:"came"`     // grafts out, and pieces gained by splits
	Opening  int64 `json:"opening"`  // of those, out before counting began: by the time that was entered
	Placed   int64 `json:"placed"`   // place taps
	Rejected int64 `json:"rejected"` // at the bench and at placing
	CameBack int64 `json:"cameBack"`
	Left     int64 `json:"left"` // N: placed + rejected − came back

	MeanKnown bool  `json:"meanKnown"` // some left, no more than came, and as a whole after it
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
	flow    flow.Tally
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
	if !s.out.untimed {
		s.tellFlow(en, sign)
	}
	var moves outMoves
	s.movesOut(&moves, e)
	for i := range moves.list[:moves.n] {
		one := &moves.list[i]
		switch one.Move {
		case holding.Came, holding.Derived:
			s.out.opening += before * one.N
		case holding.Less:
			s.out.opening -= before * one.N
		}
		if !s.out.untimed {
			one.AtMs = s.atMs(en.event)
			s.out.tally.Add(*one, sign)
		}
	}
}

// outMoves is the moves of one entry, without their time.
type outMoves struct {
	list [3]holding.Entry
	n    int
}

func (m *outMoves) add(move holding.Move, n int64, of int) {
	if n != 0 {
		m.list[m.n] = holding.Entry{Move: move, N: n, Of: of}
		m.n++
	}
}

// movesOut is what an entry says of grafts that come and go.
func (s *State) movesOut(m *outMoves, e *event.Event) {
	switch f := plain(e.Fact).(type) {
	case *event.Attempt:
		pass, mode := s.attempts.Number(f.Pass)
		out, exception := f.Outcome == event.Intact || f.Outcome == event.Partial, mode == event.ByException
		if out != exception { // by exception what is out is derived already
			move := holding.Came
			if exception {
				move = holding.Less
			}
			m.add(move, int64(f.N), pass)
		}
	case *event.Fired:
		if pass, mode := s.attempts.Number(f.Pass); mode == event.ByException && e.Fact.Kind() == event.KindOpeningCount {
			m.add(holding.Derived, int64(f.N), pass)
		}
	case *event.Retrieved:
		m.add(holding.Came, int64(f.N), 0)
	case *event.Settled:
		if pass, mode := s.attempts.Number(f.At); mode == event.ByException && f.What == event.Pending { // shots in the air were never out
			m.add(holding.Less, -f.Amount, pass)
		}
	default:
		s.heldMoves(m, e.Fact)
	}
}

// heldMoves is what an entry of sorting or placing says.
func (s *State) heldMoves(m *outMoves, fact event.Fact) {
	var dish event.Ref
	move, n := holding.OutOfDish, int64(0)
	switch f := fact.(type) {
	case *event.Sorted:
		move, n, dish = holding.IntoDish, int64(f.N), f.Dish
	case *event.Split:
		move, n, dish = holding.IntoDish, int64(f.N)*int64(len(f.Pieces)-1), f.Dish
		m.add(holding.Came, n, 0)
		if f.From == event.Bench {
			n += int64(f.N)
		}
	case *event.Rejected:
		m.add(holding.Rejected, int64(f.N), 0)
		if f.From == event.Holding {
			n, dish = int64(f.N), f.Dish
		}
	case *event.Placed:
		n, dish = int64(f.N), f.Dish
		m.add(holding.Placed, n, 0)
	case *event.CameBack:
		move, n, dish = holding.BackIntoDish, int64(f.N), f.Dish
		m.add(holding.CameBack, n, 0)
	case *event.DishDone:
		dish = f.Dish
		placed, rejected := int64(0), int64(0)
		for i := range event.Sizes {
			placed, rejected, n = placed+int64(f.Placed[i]), rejected+int64(f.Rejected[i]), n+int64(f.Returned[i])
		}
		m.add(holding.Placed, placed, 0)
		m.add(holding.Rejected, rejected, 0)
		n += placed + rejected
	}
	if d := s.stocks.Dish(dish); d != nil {
		m.add(move, n, d.Number)
	}
}

// derive hands on what an advance of a counter says of a pass by exception.
func (s *State) derive(pass event.Ref, e *event.Event, n, sign int64) {
	if number, mode := s.attempts.Number(pass); mode == event.ByException && !s.out.untimed {
		s.out.tally.Add(holding.Entry{Move: holding.Derived, AtMs: s.atMs(e), N: n, Of: number}, sign)
		s.out.flow.Add(s.atMs(e), flow.Stocks{Bench: n}, sign)
	}
}

// retime tells all entries anew after a clock note: each may have another time.
func (s *State) retime() {
	if !s.out.untimed {
		return
	}
	s.out.untimed, s.out.opening = false, 0
	s.out.tally.Clear()
	s.out.flow.Clear()
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
			out = holding.Placing{Running: one.PerHour10 > 0, Begun: one.State != pace.NotBegun, Events: one.Events, ActiveMs: one.ActiveMs}
			if out.Begun {
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
