package event_test

import (
	"testing"

	"rootledger/shared/event"
)

// done is a good end of a dish, changed.
func done(change func(*event.DishDone)) *event.DishDone {
	d := &event.DishDone{Dish: refTo(6), Zone: refTo(3), Placed: [event.Sizes]uint32{1}}
	change(d)
	return d
}

var dishChecks = []check{
	{"mixed", &event.Dish{Label: "1"}, ""},
	{"of one size", &event.Dish{Label: "12-b", Size: 4}, ""},
	{"no label", &event.Dish{Size: 1}, "dish-label"},
	{"long label", &event.Dish{Label: ofLen(17)}, "dish-label"},
	{"label that begins with a dash", &event.Dish{Label: "-1"}, "dish-label"},
	{"size of five", &event.Dish{Label: "1", Size: 5}, "size-range"},

	{"all placed", done(func(*event.DishDone) {}), ""},
	{"nothing in it", &event.DishDone{Dish: refTo(6)}, ""},
	{"all came back", &event.DishDone{Dish: refTo(6), Returned: [event.Sizes]uint32{0, 500}}, ""},
	{"some rejected", done(func(d *event.DishDone) { d.Rejected, d.Reason = [event.Sizes]uint32{0, 0, 0, 2}, event.ReasonDried }), ""},
	{"no dish", done(func(d *event.DishDone) { d.Dish = event.Ref{} }), "ref-needed"},
	{"placed in no zone", done(func(d *event.DishDone) { d.Zone = event.Ref{} }), "ref-needed"},
	{"rejected without a reason", done(func(d *event.DishDone) { d.Rejected[0] = 1 }), "reason-unknown"},
	{"unknown reason", done(func(d *event.DishDone) { d.Reason = 8 }), "reason-unknown"},
	{"too many placed", done(func(d *event.DishDone) { d.Placed[3] = 501 }), "number-range"},
	{"absurdly many returned", done(func(d *event.DishDone) { d.Returned[0] = absurd }), "number-range"},

	{"any", &event.DishClosed{Dish: refTo(6)}, ""},
	{"no dish", &event.DishClosed{}, "ref-needed"},

	{"the bench", &event.Recount{Of: event.Bench}, ""},
	{"the holding", &event.Recount{Of: event.Holding, N: 20_000}, ""},
	{"twos of a dish", &event.Recount{Of: event.Holding, Dish: refTo(6), Size: 2, N: 1}, ""},
	{"open sites", &event.Recount{Of: event.OpenSites, Zone: refTo(3), Size: 1, N: 12}, ""},
	{"nothing", &event.Recount{N: 3}, "stock-unknown"},
	{"unknown stock", &event.Recount{Of: 4}, "stock-unknown"},
	{"open sites of no zone", &event.Recount{Of: event.OpenSites}, "ref-needed"},
	{"the bench of a zone", &event.Recount{Of: event.Bench, Zone: refTo(3)}, "recount-of"},
	{"a dish on the bench", &event.Recount{Of: event.Bench, Dish: refTo(6)}, "recount-of"},
	{"a size on the bench", &event.Recount{Of: event.Bench, Size: 1}, "recount-of"},
	{"size of five", &event.Recount{Of: event.Holding, Size: 5}, "size-range"},
	{"too many", &event.Recount{Of: event.Holding, N: 20_001}, "number-range"},
}

// settled is a good settlement of a difference, changed.
func settled(what event.Identity, change func(*event.Settled)) *event.Settled {
	s := &event.Settled{What: what, Amount: -1, Reason: "a"}
	change(s)
	return s
}

var correctionChecks = []check{
	{"a region", &event.Refiled{Targets: refsTo(1), Sets: event.FiledRegion, Region: refTo(4)}, ""},
	{"no region", &event.Refiled{Targets: refsTo(200), Sets: event.FiledRegion}, ""},
	{"no dish, another size", &event.Refiled{Targets: refsTo(1), Sets: event.FiledDish | event.FiledSize, Size: 4}, ""},
	{"no targets", &event.Refiled{Sets: event.FiledRegion, Region: refTo(4)}, "refile-many"},
	{"too many targets", &event.Refiled{Targets: refsTo(201), Sets: event.FiledRegion}, "refile-many"},
	{"nothing to set", &event.Refiled{Targets: refsTo(1)}, "refile-where"},
	{"unknown field", &event.Refiled{Targets: refsTo(1), Sets: 64}, "refile-where"},
	{"no pass", &event.Refiled{Targets: refsTo(1), Sets: event.FiledPass}, "refile-where"},
	{"no zone", &event.Refiled{Targets: refsTo(1), Sets: event.FiledZone}, "refile-where"},
	{"no size", &event.Refiled{Targets: refsTo(1), Sets: event.FiledSize}, "refile-where"},
	{"size of five", &event.Refiled{Targets: refsTo(1), Sets: event.FiledSize, Size: 5}, "size-range"},
	{"a region that it does not set", &event.Refiled{Targets: refsTo(1), Sets: event.FiledDish, Region: refTo(4)}, "refile-where"},

	{"shots in the air", settled(event.Pending, func(s *event.Settled) { s.At, s.Region = refTo(5), refTo(4) }), ""},
	{"the bench", settled(event.OnBench, func(s *event.Settled) { s.Amount, s.Reason = 20_000, wide(500) }), ""},
	{"declared left", settled(event.LeftIn, func(*event.Settled) {}), ""},
	{"held of all sizes", settled(event.Held, func(*event.Settled) {}), ""},
	{"ones held", settled(event.Held, func(s *event.Settled) { s.Size = 1 }), ""},
	{"sites", settled(event.SitesOpen, func(s *event.Settled) { s.At, s.Size = refTo(3), 2 }), ""},
	{"a dish", settled(event.InDish, func(s *event.Settled) { s.At = refTo(6) }), ""},
	{"a counter", settled(event.Counter, func(s *event.Settled) { s.At = refTo(5) }), ""},
	{"derived", settled(event.Derived, func(s *event.Settled) { s.At = refTo(5) }), "settle-what"},
	{"placed", settled(event.PlacedIn, func(s *event.Settled) { s.At = refTo(3) }), "settle-what"},
	{"nothing", settled(0, func(*event.Settled) {}), "settle-what"},
	{"unknown", settled(12, func(*event.Settled) {}), "settle-what"},
	{"pending of no pass", settled(event.Pending, func(*event.Settled) {}), "settle-at"},
	{"the bench of a pass", settled(event.OnBench, func(s *event.Settled) { s.At = refTo(5) }), "settle-at"},
	{"the bench of a region", settled(event.OnBench, func(s *event.Settled) { s.Region = refTo(4) }), "settle-at"},
	{"the bench of a size", settled(event.OnBench, func(s *event.Settled) { s.Size = 1 }), "settle-at"},
	{"sites of no size", settled(event.SitesOpen, func(s *event.Settled) { s.At = refTo(3) }), "size-range"},
	{"more shots", settled(event.Pending, func(s *event.Settled) { s.At, s.Amount = refTo(5), 1 }), "settle-amount"},
	{"more buried", settled(event.LeftIn, func(s *event.Settled) { s.Amount = 1 }), "settle-amount"},
	{"by nothing", settled(event.OnBench, func(s *event.Settled) { s.Amount = 0 }), "settle-amount"},
	{"too much", settled(event.OnBench, func(s *event.Settled) { s.Amount = 20_001 }), "settle-amount"},
	{"too little", settled(event.OnBench, func(s *event.Settled) { s.Amount = -20_001 }), "settle-amount"},
	{"no reason", settled(event.OnBench, func(s *event.Settled) { s.Reason = "" }), "text-length"},

	{"attempts", &event.OpeningCount{Of: event.KindAttempt, Pass: refTo(5), Outcome: event.Intact, N: 20_000}, ""},
	{"shots", &event.OpeningCount{Of: event.KindFired, Pass: refTo(5), Region: refTo(4), N: 1}, ""},
	{"sorted", &event.OpeningCount{Of: event.KindSorted, Size: 1, N: 900}, ""},
	{"rejected", &event.OpeningCount{Of: event.KindRejected, N: 9}, ""},
	{"sites", &event.OpeningCount{Of: event.KindSites, Zone: refTo(3), Size: 1, N: 900}, ""},
	{"placed", &event.OpeningCount{Of: event.KindPlaced, Zone: refTo(3), Size: 1, N: 900}, ""},
	{"attempts of no pass", &event.OpeningCount{Of: event.KindAttempt, Outcome: event.Intact, N: 1}, "ref-needed"},
	{"sorted of no size", &event.OpeningCount{Of: event.KindSorted, N: 1}, "size-range"},
	{"placed nowhere", &event.OpeningCount{Of: event.KindPlaced, Size: 1, N: 1}, "ref-needed"},
	{"of a note", &event.OpeningCount{Of: event.KindNote, N: 1}, "opening-of"},
	{"none", &event.OpeningCount{Of: event.KindRejected}, "count-range"},
	{"too many", &event.OpeningCount{Of: event.KindRejected, N: 20_001}, "count-range"},
}

// A refile sets what it says and nothing else, of the newest by field, and
// leaves the fact it is given as it was.
func TestRefile(t *testing.T) {
	taps := &event.Placed{Zone: refTo(3), Size: 2, N: 9, Dish: refTo(6)}
	r := &event.Refiled{Targets: refsTo(1), Sets: event.FiledZone | event.FiledDish | event.FiledSize, Zone: refTo(8), Size: 1}
	same(t, "fits", r.Fits(taps), true)
	same(t, "all of it", *r.Refile(taps, r.Sets).(*event.Placed), event.Placed{Zone: refTo(8), Size: 1, N: 9})
	same(t, "the size alone", *r.Refile(taps, event.FiledSize).(*event.Placed), event.Placed{Zone: refTo(3), Size: 1, N: 9, Dish: refTo(6)})
	same(t, "the fact itself", *taps, event.Placed{Zone: refTo(3), Size: 2, N: 9, Dish: refTo(6)})
	same(t, "fits sites", r.Fits(&event.Sites{}), false)
	same(t, "fits a note", r.Fits(&event.Note{}), false)
	for _, fact := range goldenFacts {
		toRegion := &event.Refiled{Targets: refsTo(1), Sets: event.FiledRegion, Region: refTo(9)}
		group := fact.Kind() >= event.KindFired && fact.Kind() <= event.KindRetrieved
		same(t, "a region for "+fact.Kind().String(), toRegion.Fits(fact), group)
	}
}
