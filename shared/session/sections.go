package session

import (
	"bytes"
	"cmp"
	"slices"

	"rootledger/shared/attempt"
	"rootledger/shared/budget"
	"rootledger/shared/donor"
	"rootledger/shared/event"
	"rootledger/shared/mix"
	"rootledger/shared/stock"
	"rootledger/shared/team"
)

// Practice is the clock of a practice session; ok is false in a real one.
func (s *State) Practice() (p event.Practice, ok bool) {
	if o := s.opening(); o != nil {
		p = o.Fact.(*event.Opened).Practice
	}
	return p, p.Speed > 0
}

func (s *State) sessionView() Session {
	v := Session{Events: int64(s.events), Waiting: int64(s.waiting), Splits: s.splits()}
	if o := s.opening(); o != nil {
		f := o.Fact.(*event.Opened)
		v.Case, v.Room, v.Stations = f.Case, f.Room, f.Stations
		v.Practice, v.OpenedMs = f.Practice.Speed > 0, s.atMs(o)
	}
	if e := firstOf(s.ended); e != nil {
		v.EndedMs = s.atMs(e)
	}
	return v
}

// atMs is At without whether it is a guess.
func (s *State) atMs(e *event.Event) int64 {
	ms, _ := s.At(e)
	return ms
}

func (f *fold) headline() Headline {
	g := f.figures
	v := Headline{
		BudgetKnown: f.tallies.BudgetKnown, Budget: f.tallies.Grafts, ToTake: g.ToTake,
		Usable: g.Usable, OnTheWay: g.OnTheWay, Attempts: g.Attempts,
		RangeKnown: g.RangeKnown, Low: g.Low, High: g.High, HighOpen: g.HighOpen,
		DonorKnown: f.tallies.DonorKnown, DonorLeft: f.tallies.DonorLeft,
		Stops: g.Stops, StopAt: g.StopAt, Carried: "sorted",
	}
	switch {
	case f.tallies.Placed >= g.Usable:
		v.Carried = "placed"
	case !f.tallies.CountsSorting:
		v.Carried = "bench"
	}
	return v
}

func (f *fold) ledger() Ledger {
	c, g := f.stocks, f.figures
	v := Ledger{
		Attempts: f.attempts, Out: f.attempts.Out(), BuriedOpen: f.buried,
		Judged: c.Judged(), Kept: c.Kept(), Bench: f.bench, Sorted: c.Sorted,
		Holding: c.Holding(), HoldingUnsized: c.Unsized(), HoldingTotal: c.HoldingTotal(),
		Placed: c.Placed(), PlacedTotal: c.Placed().Total(),
		RejectedBench: c.RejectedBench, RejectedPlacing: c.RejectedPlacing.Total() + c.RejectedUnsized,
		Gained: c.Gained, KeptShare: g.Kept, Yield: g.Yield, PlannedPerMille: f.tallies.YieldPerMille,
		NeedTotal: f.need, CapacityTotal: f.capacity,
		CapacityGrafts: f.limit.CapacityGrafts, PunchedNowhere: f.nowhere,
		BudgetsStanding: int64(f.budgets), YieldsStanding: int64(f.yields),
	}
	v.OutcomesTotal = f.attempts.OutcomeTotal()
	for i, z := range f.zoneDone {
		v.OpenSites += f.openSites(z).Total()
		for size, need := range f.zones[i].Need {
			v.ToSort[size] += need
		}
	}
	for size := range v.ToSort {
		v.ToSort[size] = max(0, v.ToSort[size]-v.Placed[size]-v.Holding[size])
	}
	v.BudgetLimitedBy, v.BudgetMax, v.Shortfall = f.limit.By, f.limit.Grafts, f.limit.Shortfall
	v.BudgetAboveLimit = f.limit.By != budget.StopsUnknown && f.tallies.BudgetKnown && f.tallies.Grafts > f.limit.Grafts
	v.FloorHairs10, v.FloorsStanding = f.floor10, int64(f.floors)
	return v
}

// openSites is a zone's open sites, none where sites are not counted.
func (f *fold) openSites(z stock.ZoneCounts) event.BySize {
	if !f.counts(event.SiteMaking) {
		return event.BySize{}
	}
	return z.OpenSites()
}

func (f *fold) zoneViews() []Zone {
	out := make([]Zone, 0, len(f.zones))
	for i, z := range f.zones {
		done := f.zoneDone[i]
		placed := done.Placed()
		out = append(out, Zone{Ref: z.Ref, Name: z.Name, AreaMM2: int64(z.Edit.AreaMM2), Density10: int64(z.Edit.Density10),
			Mix: z.Edit.Mix, Need: z.Need, Sites: done.Sites, Open: f.openSites(done), Placed: done.Placed(),
			NeedTotal: z.Need.Total(), SitesTotal: done.Sites.Total(), OpenTotal: f.openSites(done).Total(), PlacedTotal: done.Placed().Total(),
			ToPlace: max(0, z.Need.Total()-done.Placed().Total()), ToMake: max(0, z.Need.Total()-done.Sites.Total()), Between: int64(len(z.Standing)),
			Hairs: mix.Hairs(placed), PerGraft100: mix.HairsPerGraft(placed).Hundredths()})
	}
	return out
}

func (f *fold) regionViews() []Region {
	out := make([]Region, 0, len(f.regions))
	for i, r := range f.regions {
		d := donor.MeasureAll(r, f.punched[i], f.floor10)
		out = append(out, Region{Ref: r.Ref, Code: r.Code, Name: r.Name,
			AreaMM2: int64(r.Edit.AreaMM2), Density10: int64(r.Edit.Density10), Today: r.Edit.Today, SharePerMille: int64(r.Edit.SharePerMille),
			Harvested: int64(r.Edit.Harvested), HairsPerUnit100: int64(r.Edit.HairsPerUnit100), Capacity: r.Capacity,
			Punched: f.punched[i], Left: r.Capacity - f.punched[i], Between: int64(len(r.Standing)),
			PerCM2x10: d.Attempts10, ShareTaken: d.Share10000, ResidualUnits10: d.ResidualUnits10, HairsKnown: d.HairsKnown,
			ResidualHairs10: d.ResidualHairs10, BelowFloor: d.BelowFloor, PastShare: d.PastShare})
	}
	return out
}

func (s *State) passViews(f *fold) []Pass {
	out := make([]Pass, 0, len(f.passes))
	for _, p := range f.passes {
		operator := p.Begun.Operator
		if operator == "" {
			operator = s.team().Person(p.By, p.Stamp)
		}
		out = append(out, Pass{Ref: p.Ref, Mode: p.Begun.Mode, DiameterUM: int64(p.Begun.DiameterUM), Operator: operator,
			BegunMs: p.Stamp.Ms(), Ended: p.Ended, Counts: p.Total, Told: p.Told, Counter: p.Counter, Outside: p.Outside})
	}
	return out
}

// taken lists what each pass took from each region.
func (f *fold) taken() []Taken {
	out := []Taken{}
	for _, p := range f.passes {
		for _, r := range p.ByRegion {
			if r.Counts == (attempt.Counts{}) {
				continue // all that was there was undone or moved: whether it ever was depends on the order
			}
			out = append(out, Taken{r.Region, p.Ref, r.Counts.Punched, r.Counts.Out()})
		}
	}
	return out
}

func (f *fold) mix() Mix {
	c, placed := f.stocks, f.stocks.Placed()
	v := Mix{Sorted: c.SortedSoFar(), HairsPlaced: mix.Hairs(placed), PlacedGraft100: mix.HairsPerGraft(placed).Hundredths()}
	v.SortedTotal = v.Sorted.Total()
	v.Hairs, v.PerGraft100 = mix.Hairs(v.Sorted), mix.HairsPerGraft(v.Sorted).Hundredths()
	v.Remaining = f.figures.BenchUsable + f.figures.OnTheWay + f.figures.ToTake
	for _, z := range f.zones {
		for i, n := range z.Need {
			v.Need[i] += n
		}
	}
	if o := mix.Expect(v.Sorted, v.Remaining, v.Need); o.Known && len(f.zones) > 0 && f.tallies.BudgetKnown {
		v.Known, v.Expected, v.Over = true, o.Expected, o.Over
		v.Splits, v.SplitsTotal, v.Covered, v.After = o.Splits.Count, o.Splits.Total, o.Splits.Covered, o.Splits.After
	}
	return v
}

// dishViews lists the dishes that are open, or that should be empty and are not.
func (s *State) dishViews(nowMs int64) []Dish {
	out, limits := []Dish{}, s.out.tally.Limits()
	for _, d := range s.stocks.Dishes() {
		if d.Closed() && d.In == (event.BySize{}) && d.Unsized == 0 {
			continue
		}
		one := Dish{Ref: d.Ref, Label: d.Opened.Label, Size: d.Opened.Size, OpenedMs: d.Stamp.Ms(),
			Closed: d.Closed(), In: d.In, Total: d.Total()}
		if one.Total > 0 {
			one.SinceMs, one.HeldMin, one.Held = s.outFor(d.Number, limits, nowMs)
		}
		out = append(out, one)
	}
	return out
}

// phoneViews are the phones by station, then by name.
func (s *State) phoneViews(nowMs int64, links Links) []Phone {
	practice, _ := s.Practice()
	members := byPlace(s.team().Members(), links)
	out := make([]Phone, 0, len(members))
	for _, m := range members {
		p := Phone{Replica: m.Replica, Person: m.Person, Station: m.Station, Left: m.Left, NothingUnsent: true, ClockAheadMs: s.clocks.Off(m.Replica), Own: m.Own}
		if links != nil {
			link := links[m.Replica]
			p.HeardMs, p.NothingUnsent = link.HeardMs, link.NothingUnsent
			p.Away = nowMs-link.HeardMs > AwayAfterMs(practice.Speed)
		}
		if share := s.shares.Of(m.Replica); share.Known || share.Spent > 0 {
			p.ShareKnown, p.ShareLeft = share.Known, share.Left()
		}
		if m.before && (links == nil || p.Away) {
			p.Left = true // the phone goes on under another id; a copy of it that is heard does not
		}
		out = append(out, p)
	}
	return out
}

// placed is a member, and whether its phone counts under another id now.
type placed struct {
	*team.Member
	before bool
}

// byPlace puts members in order by station, then by name, then by id. Of a
// phone's ids the one heard last is the one it counts under; of equals the one
// with the newest event.
func byPlace(members []team.Member, links Links) []placed {
	out := make([]placed, len(members)) // members are large, and come by id
	for i := range members {
		out[i].Member = &members[i]
	}
	event.Sort(out, func(a, b *placed) int { return bytes.Compare(a.Phone[:], b.Phone[:]) })
	for i := 1; i < len(out); i++ {
		now, next := &out[i-1], &out[i]
		if now.Phone != next.Phone {
			continue
		}
		heard, before := links[next.Replica].HeardMs, links[now.Replica].HeardMs
		if heard > before || heard == before && next.Newest > now.Newest {
			now.before = true
		} else {
			next.before = true
			*now, *next = *next, *now // the one that counts stands last, for the next of its phone
		}
	}
	event.Sort(out, func(a, b *placed) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Person, b.Person), bytes.Compare(a.Replica[:], b.Replica[:]))
	})
	return out
}

func (s *State) own(me event.ReplicaID, phones []Phone) Own {
	v := Own{Tally: s.team().Own(me), Last: s.LastEntries(me, lastEntries)}
	for i := range phones {
		if phones[i].Replica == me {
			p := &phones[i]
			v.Person, v.Station, v.ClockAheadMs, v.ShareKnown, v.ShareLeft = p.Person, p.Station, p.ClockAheadMs, p.ShareKnown, p.ShareLeft
		}
	}
	v.Rejects = v.Tally.RejectedBench + v.Tally.RejectedPlacing
	switch v.Station {
	case event.Extraction:
		var taps int64
		for _, n := range v.Tally.Outcomes {
			taps += n
		}
		v.Count = max(taps, v.Tally.Fired)
	case event.Sorting:
		v.Count = v.Tally.Sorted.Total()
	case event.SiteMaking:
		v.Count = v.Tally.Sites.Total()
	case event.Placing:
		v.Count = v.Tally.Placed.Total()
	}
	return v
}

// Pauses lists declared pauses and their ends in order.
func (s *State) Pauses() []team.Pause { return s.team().Pauses() }

// Stints lists who counted what, where, without a break.
func (s *State) Stints() []team.Stint { return s.team().Stints() }

// HandOvers lists every change of person in order.
func (s *State) HandOvers() []team.HandOver { return s.team().HandOvers() }

// Person is who held a replica at a stamp.
func (s *State) Person(id event.ReplicaID, at event.Stamp) string { return s.team().Person(id, at) }

// Standing lists every event of a kind that counts and was not undone, in the
// total order.
func (s *State) Standing(kind event.Kind) []*event.Event {
	return s.standing(func(e *event.Event) bool { return e.Fact.Kind() == kind })
}

// Late lists every count that stands and says that it happened before the newest
// recount of its stock, in the total order.
func (s *State) Late() []*event.Event {
	return s.standing(func(e *event.Event) bool { return e.Late })
}

func (s *State) standing(wanted func(*event.Event) bool) []*event.Event {
	var out []*event.Event
	for _, h := range s.histories {
		for _, en := range h.entries() {
			if en.status == counted && wanted(en.event) {
				out = append(out, en.event)
			}
		}
	}
	slices.SortFunc(out, event.Compare)
	return out
}
