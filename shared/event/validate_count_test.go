package event_test

import "rootledger/shared/event"

func zone(name string, area, density uint32, mix ...uint16) *event.Zone {
	return &event.Zone{Name: name, AreaMM2: area, Density10: density, Mix: [event.Sizes]uint16(mix)}
}

// keeping is one that is good, changed.
func keeping(change func(*event.Keeping)) *event.Keeping {
	k := &event.Keeping{AmberMin: 240, RedMin: 360}
	change(k)
	return k
}

// region is a good region, changed.
func region(change func(*event.Region)) *event.Region {
	r := &event.Region{Code: "O", Name: "Occipital", AreaMM2: 1, Density10: 1, SharePerMille: 1}
	change(r)
	return r
}

var planChecks = []check{
	{"nothing", &event.Budget{}, ""},
	{"most", &event.Budget{Grafts: 20_000, Reason: wide(500), Supersedes: refsTo(64)}, ""},
	{"too many grafts", &event.Budget{Grafts: 20_001}, "number-range"},
	{"absurdly many grafts", &event.Budget{Grafts: absurd}, "number-range"},
	{"long reason", &event.Budget{Grafts: 1, Reason: ofLen(501)}, "text-length"},
	{"reason with a tab", &event.Budget{Grafts: 1, Reason: withTab}, "text-control"},
	{"too many edits", &event.Budget{Grafts: 1, Supersedes: refsTo(65)}, "edits-many"},

	{"least", zone("A", 1, 1, 1000, 0, 0, 0), ""},
	{"most", &event.Zone{Of: refTo(9), Name: wide(24), AreaMM2: 200_000, Density10: 3000,
		Mix: [event.Sizes]uint16{0, 0, 0, 1000}, Supersedes: refsTo(64)}, ""},
	{"mix of 999", zone("A", 1, 1, 333, 333, 333, 0), ""},
	{"mix of 1001", zone("A", 1, 1, 334, 333, 334, 0), ""},
	{"mix of 998", zone("A", 1, 1, 332, 333, 333, 0), "mix-sum"},
	{"mix of 1002", zone("A", 1, 1, 334, 334, 334, 0), "mix-sum"},
	{"mix of 1050", zone("A", 1, 1, 500, 300, 200, 50), "mix-sum"},
	{"mix of nothing", zone("A", 1, 1, 0, 0, 0, 0), "mix-sum"},
	{"absurd mix", zone("A", 1, 1, 65_535, 65_535, 65_535, 65_535), "mix-sum"},
	{"mix that would wrap at 16 bits", zone("A", 1, 1, 65_535, 1001, 0, 0), "mix-sum"},
	{"no name", zone("", 1, 1, 1000, 0, 0, 0), "text-length"},
	{"long name", zone(ofLen(25), 1, 1, 1000, 0, 0, 0), "text-length"},
	{"name with a tab", zone("A\t", 1, 1, 1000, 0, 0, 0), "text-control"},
	{"no area", zone("A", 0, 1, 1000, 0, 0, 0), "number-range"},
	{"large area", zone("A", 200_001, 1, 1000, 0, 0, 0), "number-range"},
	{"no density", zone("A", 1, 0, 1000, 0, 0, 0), "number-range"},
	{"high density", zone("A", 1, 3001, 1000, 0, 0, 0), "number-range"},
	{"too many edits", &event.Zone{Name: "A", AreaMM2: 1, Density10: 1,
		Mix: [event.Sizes]uint16{1000}, Supersedes: refsTo(65)}, "edits-many"},

	{"least", region(func(*event.Region) {}), ""},
	{"most", &event.Region{Of: refTo(9), Code: "ZZ", Name: wide(24), AreaMM2: 200_000, Density10: 3000, Today: true,
		SharePerMille: 1000, Harvested: 50_000, HairsPerUnit100: 600, Supersedes: refsTo(64)}, ""},
	{"one hair per unit", region(func(r *event.Region) { r.HairsPerUnit100 = 100 }), ""},
	{"no code", region(func(r *event.Region) { r.Code = "" }), "region-code"},
	{"code in lower case", region(func(r *event.Region) { r.Code = "o" }), "region-code"},
	{"second letter in lower case", region(func(r *event.Region) { r.Code = "Oc" }), "region-code"},
	{"code of three", region(func(r *event.Region) { r.Code = "OCC" }), "region-code"},
	{"code with a digit", region(func(r *event.Region) { r.Code = "O1" }), "region-code"},
	{"code of one wide letter", region(func(r *event.Region) { r.Code = "Ö" }), "region-code"},
	{"no name", region(func(r *event.Region) { r.Name = "" }), "text-length"},
	{"long name", region(func(r *event.Region) { r.Name = ofLen(25) }), "text-length"},
	{"name with a tab", region(func(r *event.Region) { r.Name = "\t" }), "text-control"},
	{"no area", region(func(r *event.Region) { r.AreaMM2 = 0 }), "number-range"},
	{"large area", region(func(r *event.Region) { r.AreaMM2 = 200_001 }), "number-range"},
	{"no density", region(func(r *event.Region) { r.Density10 = 0 }), "number-range"},
	{"high density", region(func(r *event.Region) { r.Density10 = 3001 }), "number-range"},
	{"no share", region(func(r *event.Region) { r.SharePerMille = 0 }), "number-range"},
	{"share above all", region(func(r *event.Region) { r.SharePerMille = 1001 }), "number-range"},
	{"too many harvested", region(func(r *event.Region) { r.Harvested = 50_001 }), "number-range"},
	{"less than a hair per unit", region(func(r *event.Region) { r.HairsPerUnit100 = 99 }), "number-range"},
	{"too many hairs per unit", region(func(r *event.Region) { r.HairsPerUnit100 = 601 }), "number-range"},
	{"too many edits", region(func(r *event.Region) { r.Supersedes = refsTo(65) }), "edits-many"},

	{"least", &event.Yield{PerMille: 1}, ""},
	{"most", &event.Yield{PerMille: 1000, Supersedes: refsTo(64)}, ""},
	{"none", &event.Yield{}, "number-range"},
	{"above all", &event.Yield{PerMille: 1001}, "number-range"},
	{"too many edits", &event.Yield{PerMille: 1, Supersedes: refsTo(65)}, "edits-many"},

	{"no floor", &event.Floor{}, ""},
	{"most", &event.Floor{HairsPerCM2x10: 5000, Supersedes: refsTo(64)}, ""},
	{"above all", &event.Floor{HairsPerCM2x10: 5001}, "number-range"},
	{"too many edits", &event.Floor{HairsPerCM2x10: 1, Supersedes: refsTo(65)}, "edits-many"},

	{"least", keeping(func(k *event.Keeping) { k.AmberMin, k.RedMin = 1, 2 }), ""},
	{"most", &event.Keeping{AmberMin: 2879, RedMin: 2880, PlacingMs: event.MaxMs, PerHour10: 50_000, Solution: wide(60),
		Temperature10: 450, TemperatureKnown: true, Supersedes: refsTo(64)}, ""},
	{"just below freezing", keeping(func(k *event.Keeping) { k.Temperature10, k.TemperatureKnown = -50, true }), ""},
	{"at no degrees", keeping(func(k *event.Keeping) { k.TemperatureKnown = true }), ""},
	{"nothing set", &event.Keeping{}, "keeping-range"},
	{"amber at red", keeping(func(k *event.Keeping) { k.AmberMin = k.RedMin }), "keeping-limits"},
	{"amber below nothing", keeping(func(k *event.Keeping) { k.AmberMin = -1 }), "keeping-range"},
	{"no amber", keeping(func(k *event.Keeping) { k.AmberMin = 0 }), "keeping-range"},
	{"red after two days", keeping(func(k *event.Keeping) { k.RedMin = 2881 }), "keeping-range"},
	{"placing before all time", keeping(func(k *event.Keeping) { k.PlacingMs = -1 }), "number-range"},
	{"placing after all time", keeping(func(k *event.Keeping) { k.PlacingMs = event.MaxMs + 1 }), "number-range"},
	{"a rate below nothing", keeping(func(k *event.Keeping) { k.PerHour10 = -1 }), "number-range"},
	{"an absurd rate", keeping(func(k *event.Keeping) { k.PerHour10 = 50_001 }), "number-range"},
	{"a long solution", keeping(func(k *event.Keeping) { k.Solution = ofLen(61) }), "text-length"},
	{"a solution of two lines", keeping(func(k *event.Keeping) { k.Solution = "a\nb" }), "text-control"},
	{"frozen", keeping(func(k *event.Keeping) { k.Temperature10, k.TemperatureKnown = -51, true }), "number-range"},
	{"hot", keeping(func(k *event.Keeping) { k.Temperature10, k.TemperatureKnown = 451, true }), "number-range"},
	{"a temperature that is not known", keeping(func(k *event.Keeping) { k.Temperature10 = 40 }), "keeping-temperature"},
	{"too many edits", keeping(func(k *event.Keeping) { k.Supersedes = refsTo(65) }), "edits-many"},
}

var extractionChecks = []check{
	{"least", &event.PassBegun{Mode: event.Each}, ""},
	{"most", &event.PassBegun{Mode: event.ByException, DiameterUM: 3000, Operator: wide(40)}, ""},
	{"thinnest punch", &event.PassBegun{Mode: event.Pulled, DiameterUM: 200}, ""},
	{"no mode", &event.PassBegun{}, "mode-unknown"},
	{"unknown mode", &event.PassBegun{Mode: 4}, "mode-unknown"},
	{"thin punch", &event.PassBegun{Mode: event.Each, DiameterUM: 199}, "number-range"},
	{"thick punch", &event.PassBegun{Mode: event.Each, DiameterUM: 3001}, "number-range"},
	{"long operator", &event.PassBegun{Mode: event.Each, Operator: ofLen(41)}, "text-length"},
	{"operator with a tab", &event.PassBegun{Mode: event.Each, Operator: "A\t"}, "text-control"},

	{"any", &event.PassEnded{Pass: refTo(1)}, ""},
	{"no pass", &event.PassEnded{}, "ref-needed"},

	{"least", &event.Fired{Pass: refTo(1), N: 1}, ""},
	{"most", &event.Fired{Pass: refTo(1), Region: refTo(2), N: 5000}, ""},
	{"no pass", &event.Fired{N: 1}, "ref-needed"},
	{"none", &event.Fired{Pass: refTo(1)}, "count-range"},
	{"too many", &event.Fired{Pass: refTo(1), N: 5001}, "count-range"},

	{"least", &event.Attempt{Pass: refTo(1), Outcome: event.Intact, N: 1}, ""},
	{"most", &event.Attempt{Pass: refTo(1), Region: refTo(2), Outcome: event.Empty, N: 500}, ""},
	{"no pass", &event.Attempt{Outcome: event.Intact, N: 1}, "ref-needed"},
	{"no outcome", &event.Attempt{Pass: refTo(1), N: 1}, "outcome-unknown"},
	{"unknown outcome", &event.Attempt{Pass: refTo(1), Outcome: 7, N: 1}, "outcome-unknown"},
	{"none", &event.Attempt{Pass: refTo(1), Outcome: event.Intact}, "count-range"},
	{"too many", &event.Attempt{Pass: refTo(1), Outcome: event.Intact, N: 501}, "count-range"},
	{"absurdly many", &event.Attempt{Pass: refTo(1), Outcome: event.Intact, N: absurd}, "count-range"},

	{"least", &event.Reading{Pass: refTo(1), Counter: "A", Direction: event.Up}, ""},
	{"most", &event.Reading{Pass: refTo(1), Region: refTo(2), Counter: wide(16), Direction: event.Down, Value: 9_999_999}, ""},
	{"no pass", &event.Reading{Counter: "A", Direction: event.Up}, "ref-needed"},
	{"no counter", &event.Reading{Pass: refTo(1), Direction: event.Up}, "text-length"},
	{"long counter", &event.Reading{Pass: refTo(1), Counter: ofLen(17), Direction: event.Up}, "text-length"},
	{"counter with a tab", &event.Reading{Pass: refTo(1), Counter: "A\t", Direction: event.Up}, "text-control"},
	{"no direction", &event.Reading{Pass: refTo(1), Counter: "A"}, "direction-unknown"},
	{"unknown direction", &event.Reading{Pass: refTo(1), Counter: "A", Direction: 3}, "direction-unknown"},
	{"eight digits", &event.Reading{Pass: refTo(1), Counter: "A", Direction: event.Up, Value: 10_000_000}, "number-range"},

	{"least", &event.Retrieved{From: event.Topped, Pass: refTo(1), N: 1}, ""},
	{"most", &event.Retrieved{From: event.Buried, Pass: refTo(1), Region: refTo(2), N: 500}, ""},
	{"from nowhere", &event.Retrieved{Pass: refTo(1), N: 1}, "retrieved-from"},
	{"from total", &event.Retrieved{From: event.Total, Pass: refTo(1), N: 1}, "retrieved-from"},
	{"from empty", &event.Retrieved{From: event.Empty, Pass: refTo(1), N: 1}, "retrieved-from"},
	{"no pass", &event.Retrieved{From: event.Buried, N: 1}, "ref-needed"},
	{"none", &event.Retrieved{From: event.Buried, Pass: refTo(1)}, "count-range"},
	{"too many", &event.Retrieved{From: event.Buried, Pass: refTo(1), N: 501}, "count-range"},
}
