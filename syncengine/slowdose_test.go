package syncengine

import (
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/dose"
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// slowAgent is an agent with the smallest of the limits that stand; 0 for none,
// of a day also when one of them has none.
type slowAgent struct {
	substance             string
	with                  bool
	perKg, most, ofTheDay int64
}

// standingOf are the edits that no other of them replaces, the one with the
// greatest stamp last.
func standingOf[F event.Fact](s *slowLedger, mine func(*event.Event, F) bool, replaces func(F) []event.Ref) (out []F) {
	var edits []*event.Event
	for _, e := range s.all {
		if f, ok := e.Fact.(F); ok && s.permits(e) && mine(e, f) {
			edits = append(edits, e)
		}
	}
	stands := slices.DeleteFunc(slices.Clone(edits), func(e *event.Event) bool {
		return slices.ContainsFunc(edits, func(by *event.Event) bool { return slices.Contains(replaces(by.Fact.(F)), e.Ref()) })
	})
	slices.SortFunc(stands, func(a, b *event.Event) int {
		if later(a, b) {
			return 1
		}
		return -1
	})
	for _, e := range stands {
		out = append(out, e.Fact.(F))
	}
	return out
}

func (s *slowLedger) agentOf(f *event.Dosed) (a slowAgent) {
	switch f.Label {
	case event.Lidocaine:
		return slowAgent{"lidocaine", false, 4_500, 300_000, 0}
	case event.LidocaineEpinephrine:
		return slowAgent{"lidocaine", true, 7_000, 500_000, 0}
	case event.Bupivacaine:
		return slowAgent{"bupivacaine", false, 0, 175_000, 400_000}
	case event.BupivacaineEpinephrine:
		return slowAgent{"bupivacaine", true, 0, 225_000, 400_000}
	}
	for n, one := range standingOf(s, func(e *event.Event, g *event.Agent) bool { return g.Of == f.Agent || e.Ref() == f.Agent },
		func(g *event.Agent) []event.Ref { return g.Supersedes }) {
		a.substance, a.with = one.Substance, one.Epinephrine
		if daily := int64(one.DailyUG); n == 0 || daily < a.ofTheDay { // none is the stricter one
			a.ofTheDay = daily
		}
		for limit, have := range map[*int64]uint32{&a.perKg: one.PerKgUG, &a.most: one.CapUG} {
			if have != 0 && (*limit == 0 || int64(have) < *limit) {
				*limit = int64(have)
			}
		}
	}
	return a
}

func (s *slowLedger) grams() (least int64) {
	for _, w := range standingOf(s, func(*event.Event, *event.Weight) bool { return true }, func(w *event.Weight) []event.Ref { return w.Supersedes }) {
		if least == 0 || int64(w.Grams) < least {
			least = int64(w.Grams)
		}
	}
	return least
}

// ruled is whether a substance is held apart, and the limit and strength of its
// dilute regime.
func (s *slowLedger) ruled(substance string) (apart bool, perKg, strength int64) {
	for i, r := range standingOf(s, func(_ *event.Event, r *event.DoseRule) bool { return r.Substance == substance },
		func(r *event.DoseRule) []event.Ref { return r.Supersedes }) {
		if i == 0 {
			apart, perKg, strength = true, int64(r.PerKgUG), int64(r.Strength)
		}
		apart = apart && r.Apart
		if p, g := int64(r.PerKgUG), int64(r.Strength); p < perKg || p == perKg && g < strength {
			perKg, strength = p, g
		}
	}
	return apart, perKg, strength
}

// held is what is held against one limit.
type held struct {
	substance     string
	with, dilute  bool
	ng, largest   int64
	limit, ofADay *big.Rat // mg; nil for none
	past          bool
	more          *big.Rat // share with 1 mL more of what was given here last
	newest        *event.Event
	next          int64 // 1 mL of what was given here last, ng
}

// doses works out what was given from the whole list: by whom it is held with,
// the share of its limit, and whether it is past one, all in rationals.
func (s *slowLedger) doses() (groups []*held, all *big.Rat, past, unweighed bool) {
	all = new(big.Rat)
	grams, mg := s.grams(), func(ng int64) *big.Rat { return big.NewRat(ng, 1_000_000) }
	for _, it := range s.items {
		f, ok := it.fact.(*event.Dosed)
		if !ok {
			continue
		}
		a := s.agentOf(f)
		apart, perKg, strength := s.ruled(a.substance)
		dilute := f.Tumescent && perKg > 0 && int64(f.Strength) == strength
		var limit, ofADay *big.Rat
		if byWeight := a.perKg * grams; !dilute && byWeight > 0 {
			limit = mg(byWeight)
		}
		if byCap := mg(1000 * a.most); !dilute && a.most > 0 && (limit == nil || byCap.Cmp(limit) < 0) {
			limit = byCap
		}
		if dilute && grams > 0 {
			limit = mg(perKg * grams)
		}
		if !dilute && a.ofTheDay > 0 {
			ofADay = mg(1000 * a.ofTheDay)
		}
		ng := int64(f.VolumeUL) * int64(f.Strength) * 10
		at := slices.IndexFunc(groups, func(h *held) bool {
			return h.substance == a.substance && h.dilute == dilute && (!apart || dilute || h.with == a.with)
		})
		if at < 0 {
			groups, at = append(groups, &held{substance: a.substance, with: a.with, dilute: dilute, limit: limit, ofADay: ofADay}), len(groups)
		}
		h := groups[at]
		h.ng, h.largest = h.ng+ng, max(h.largest, ng)
		if h.newest == nil || later(it.Event, h.newest) {
			h.newest, h.next = it.Event, 10_000*int64(f.Strength)
		}
		unweighed = unweighed || grams == 0 && (dilute || a.perKg > 0)
		if limit != nil && (h.limit == nil || limit.Cmp(h.limit) < 0) {
			h.limit = limit
		}
		if ofADay == nil || h.ofADay != nil && ofADay.Cmp(h.ofADay) < 0 {
			h.ofADay = ofADay
		}
		h.past = h.past || limit != nil && mg(ng).Cmp(limit) > 0
	}
	for _, h := range groups {
		if h.ofADay == nil {
			h.past = h.limit != nil && mg(h.ng).Cmp(h.limit) > 0
		} else {
			h.past = h.limit != nil && (h.past || mg(h.ng).Cmp(h.ofADay) > 0)
		}
		if h.limit != nil {
			all.Add(all, new(big.Rat).Quo(mg(h.ng), h.limit))
			h.more = new(big.Rat).Quo(mg(h.ng+h.next), h.limit)
		}
		past = past || h.past
	}
	return groups, all, past || len(groups) > 1 && all.Cmp(big.NewRat(1, 1)) > 0, unweighed
}

func TestDosesAreWhatStands(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDay(t, rt, 90)
		events := d.events()
		slow := newSlowLedger(events)
		want, all, past, unweighed := slow.doses()
		got := d.inOrder(wallIdentity(), shuffled(d.pick, events)).View(d.ms, nil).Doses
		if len(got.Groups) != len(want) || (got.State == dose.Past) != past || got.Unweighed != unweighed {
			rt.Fatalf("got %d groups, %v, want %d, past %v, unweighed %v", len(got.Groups), got.State, len(want), past, unweighed)
		}
		if ng := slow.vasoconstrictor(); got.VasoconstrictorNG != ng {
			rt.Fatalf("got %d ng of vasoconstrictor, want %d", got.VasoconstrictorNG, ng)
		}
		for _, h := range want {
			at := slices.IndexFunc(got.Groups, func(g session.DoseGroup) bool {
				return g.Substance == h.substance && g.Tumescent == h.dilute && (g.Plain && !h.with || g.Epinephrine && h.with)
			})
			if at < 0 {
				rt.Fatalf("nothing is held as %+v: %+v", h, got.Groups)
			}
			g := got.Groups[at]
			if g.UG != (h.ng+500)/1000 || g.LargestUG != (h.largest+500)/1000 || (g.State == dose.Past) != h.past ||
				g.LimitUG != wholeUG(h.limit) || g.LimitUG > 0 && g.DailyUG != wholeUG(h.ofADay) || g.NextParts != partsOf(h.more) {
				rt.Fatalf("got %+v, want %+v", g, h)
			}
		}
		if parts := partsOf(all); got.Parts != parts {
			rt.Fatalf("all: got %d parts, want %d", got.Parts, parts)
		}
	})
}

// partsOf is a share per 10,000, halves up; 0 for none.
func partsOf(share *big.Rat) int64 {
	if share == nil {
		return 0
	}
	n := new(big.Rat).Add(new(big.Rat).Mul(share, big.NewRat(10_000, 1)), big.NewRat(1, 2))
	return new(big.Int).Div(n.Num(), n.Denom()).Int64()
}

// wholeUG is mg in µg, rounded down; 0 for none.
func wholeUG(mg *big.Rat) int64 {
	if mg == nil {
		return 0
	}
	return new(big.Int).Div(new(big.Int).Mul(mg.Num(), big.NewInt(1000)), mg.Denom()).Int64()
}

// vasoconstrictor is how much of it was given, in ng: each ratio is rounded once.
func (s *slowLedger) vasoconstrictor() (ng int64) {
	volumes := map[uint32]int64{}
	for _, it := range s.items {
		if f, ok := it.fact.(*event.Dosed); ok && f.Ratio > 0 {
			volumes[f.Ratio] += int64(f.VolumeUL)
		}
	}
	for ratio, ul := range volumes {
		n := new(big.Rat).Add(big.NewRat(1_000_000*ul, int64(ratio)), big.NewRat(1, 2))
		ng += new(big.Int).Div(n.Num(), n.Denom()).Int64()
	}
	return ng
}

// countDoses notes what the doses of a day hold.
func countDoses(seen map[string]int, v session.Doses) {
	seen["weights apart"] += int(max(0, v.Weights-1))
	for _, g := range v.Groups {
		if g.Label == 0 {
			seen["dose of a configured agent"]++
		}
		if g.Tumescent {
			seen["dilute dose"]++
		}
		if g.State == dose.Past {
			seen["past a dose's limit"]++
		}
	}
}
