package dose

import (
	"testing"

	"rootledger/shared/event"
)

// entered is a log of facts, a second apart, and their references.
type entered struct {
	Log
	n    uint64
	refs []event.Ref
}

func enter(facts ...event.Fact) *entered {
	l := new(entered)
	for _, f := range facts {
		l.says(f)
	}
	return l
}

func (l *entered) says(f event.Fact) *event.Event {
	l.n++
	e := &event.Event{Replica: event.ReplicaID{1}, Seq: l.n, Stamp: event.StampAt(int64(1000 * l.n)), Fact: f}
	l.Add(e, 1)
	l.refs = append(l.refs, e.Ref())
	return e
}

func kg(n float64) *event.Weight { return &event.Weight{Grams: uint32(1000 * n)} }

// ml is a dose of a label in mL and %.
func ml(label event.Label, ml, percent float64) *event.Dosed {
	return &event.Dosed{Label: label, VolumeUL: uint32(1000*ml + 0.5), Strength: uint32(1000*percent + 0.5)}
}

func dilute(volume, percent float64) *event.Dosed {
	d := ml(event.LidocaineEpinephrine, volume, percent)
	d.Tumescent, d.Ratio = true, 1_000_000
	return d
}

// regime is the lead's choice of a dilute regime of 28 mg/kg at 1 g/L.
func regime() *event.DoseRule {
	return &event.DoseRule{Substance: "lidocaine", PerKgUG: 28_000, Strength: 100, Source: "a", Reason: "b"}
}

func TestMilligrams(t *testing.T) {
	for _, c := range []struct {
		ml, percent float64
		mg          int64
	}{{12, 2, 240}, {1.8, 2, 36}, {10, 0.25, 25}, {500, 0.1, 500}} {
		d := ml(event.Lidocaine, c.ml, c.percent)
		if got := NG(d.VolumeUL, d.Strength); got != c.mg*1_000_000 {
			t.Errorf("%v mL of %v %%: got %d ng, want %d mg", c.ml, c.percent, got, c.mg)
		}
	}
}

func TestVasoconstrictor(t *testing.T) {
	for _, c := range []struct {
		ul    int64
		ratio uint32
		want  int64
	}{
		{20_000, 200_000, 100_000}, // 20 mL of 1:200,000 hold 100 µg
		{100, 1_000, 100_000},      // as does 0.1 mL of 1:1,000
		{1_800, 100_000, 18_000},
		{5, 0, 0},
		{1, 3_000_000, 0},
		{1, 2_000_000, 1}, // half a ng
	} {
		if got := VasoconstrictorNG(c.ul, c.ratio); got != c.want {
			t.Errorf("%d µL of 1:%d: got %d ng, want %d", c.ul, c.ratio, got, c.want)
		}
	}
}

// The smaller of the two limits, and the cap alone without a weight.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		label event.Label
		kg    float64
		ug    int64
		by    Side
	}{
		{event.Lidocaine, 45, 202_500, ByWeight}, {event.Lidocaine, 66, 297_000, ByWeight},
		{event.Lidocaine, 67, 300_000, ByCap}, {event.Lidocaine, 0, 300_000, ByCap},
		{event.LidocaineEpinephrine, 71, 497_000, ByWeight}, {event.LidocaineEpinephrine, 72, 500_000, ByCap},
		{event.Bupivacaine, 40, 175_000, ByCap}, {event.BupivacaineEpinephrine, 120, 225_000, ByCap},
	} {
		l := enter()
		if c.kg > 0 {
			l.says(kg(c.kg))
		}
		f, _ := l.FormOf(event.Ref{}, c.label)
		if ug, by := f.LimitUG(l.Grams()); ug != c.ug || by != c.by {
			t.Errorf("%v at %v kg: got %d µg by %v, want %d by %v", c.label, c.kg, ug, by, c.ug, c.by)
		}
	}
}

// share is what a test says of one group.
type share struct {
	substance string
	mg, limit int64
	parts     int64
	state     Warning
}

func sharesOf(s Sum) (out []share) {
	for _, g := range s.Groups {
		out = append(out, share{g.Substance, g.NG / 1_000_000, g.LimitNG / 1_000_000, g.Parts, g.State})
	}
	return out
}

func TestShares(t *testing.T) {
	const plain, with, bupi, bupiWith = event.Lidocaine, event.LidocaineEpinephrine, event.Bupivacaine, event.BupivacaineEpinephrine
	apart := &event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "a"}
	for _, c := range []struct {
		name  string
		facts []event.Fact
		want  []share
		all   int64
		state Warning
	}{
		{"nothing", nil, nil, 0, 0},
		{"at the limit is not past it", []event.Fact{kg(60), ml(plain, 13.5, 2)}, []share{{"lidocaine", 270, 270, 10_000, Near}}, 10_000, Near},
		{"a µL past it", []event.Fact{kg(60), ml(plain, 13.501, 2)}, []share{{"lidocaine", 270, 270, 10_001, Past}}, 10_001, Past},
		{"four fifths are near", []event.Fact{ml(plain, 12, 2)}, []share{{"lidocaine", 240, 300, 8_000, Near}}, 8_000, Near},
		{"less says nothing", []event.Fact{ml(plain, 11.999, 2)}, []share{{"lidocaine", 239, 300, 7_999, 0}}, 7_999, 0},
		{"pooled against the stricter", []event.Fact{kg(80), ml(with, 15, 2), ml(plain, 1, 2)},
			[]share{{"lidocaine", 320, 300, 10_667, Past}}, 10_667, Past},
		{"held apart", []event.Fact{kg(80), apart, ml(with, 15, 2), ml(plain, 3, 2)},
			[]share{{"lidocaine", 60, 300, 2_000, 0}, {"lidocaine", 300, 500, 6_000, 0}}, 8_000, Near},
		{"two agents", []event.Fact{kg(80), ml(with, 10, 2), ml(bupiWith, 20, 0.5)},
			[]share{{"lidocaine", 200, 500, 4_000, 0}, {"bupivacaine", 100, 225, 4_444, 0}}, 8_444, Near},
		{"two agents past", []event.Fact{kg(80), ml(with, 15, 2), ml(bupiWith, 20, 0.5)},
			[]share{{"lidocaine", 300, 500, 6_000, 0}, {"bupivacaine", 100, 225, 4_444, 0}}, 10_444, Past},
		{"two agents at the limit", []event.Fact{ml(plain, 7.5, 2), ml(bupi, 17.5, 0.5)},
			[]share{{"lidocaine", 150, 300, 5_000, 0}, {"bupivacaine", 87, 175, 5_000, 0}}, 10_000, Near},
		{"a day holds more than a dose", []event.Fact{ml(bupi, 27, 0.5), ml(bupi, 27, 0.5)},
			[]share{{"bupivacaine", 270, 175, 15_429, 0}}, 15_429, 0},
		{"a dose is past", []event.Fact{ml(bupi, 35.2, 0.5)}, []share{{"bupivacaine", 176, 175, 10_057, Past}}, 10_057, Past},
		{"a day is past", []event.Fact{ml(bupi, 27, 0.5), ml(bupi, 27, 0.5), ml(bupi, 27, 0.5)},
			[]share{{"bupivacaine", 405, 175, 23_143, Past}}, 23_143, Past},
		{"a dose is held to its own agent's limit", []event.Fact{ml(bupiWith, 40, 0.5), ml(bupi, 2, 0.5)},
			[]share{{"bupivacaine", 210, 175, 12_000, Near}}, 12_000, Near},
		{"dilute with a regime", []event.Fact{kg(70), regime(), dilute(980, 0.1)}, []share{{"lidocaine", 980, 1960, 5_000, 0}}, 5_000, 0},
		{"dilute and ordinary", []event.Fact{kg(70), regime(), dilute(980, 0.1), ml(plain, 6, 2)},
			[]share{{"lidocaine", 120, 300, 4_000, 0}, {"lidocaine", 980, 1960, 5_000, 0}}, 9_000, Near},
		{"of another strength than the regime's is ordinary", []event.Fact{kg(70), regime(), dilute(40, 1)}, []share{{"lidocaine", 400, 490, 8_163, Near}}, 8_163, Near},
		{"dilute without a regime is ordinary", []event.Fact{kg(70), dilute(400, 0.1)}, []share{{"lidocaine", 400, 490, 8_163, Near}}, 8_163, Near},
		{"dilute without a weight has no limit", []event.Fact{regime(), dilute(400, 0.1)}, []share{{"lidocaine", 400, 0, 0, 0}}, 0, 0},
	} {
		got := enter(c.facts...).Summed(nil)
		if len(got.Groups) != len(c.want) || got.Parts != c.all || got.State != c.state {
			t.Errorf("%s: got %+v, %d, %v, want %v, %d, %v", c.name, sharesOf(got), got.Parts, got.State, c.want, c.all, c.state)
			continue
		}
		for i, g := range sharesOf(got) {
			if g != c.want[i] {
				t.Errorf("%s: got %+v, want %+v", c.name, g, c.want[i])
			}
		}
	}
}

// One more mL is of what was given last, and in all it adds that to the sum.
func TestOneMoreMillilitre(t *testing.T) {
	s := enter(ml(event.Lidocaine, 10, 1), ml(event.Bupivacaine, 7, 0.5), ml(event.Lidocaine, 2, 2)).Summed(nil)
	if g := s.Groups[0]; g.Parts != 4_667 || g.NextParts != 5_333 {
		t.Errorf("lidocaine: got %d, then %d", g.Parts, g.NextParts)
	}
	if s.Parts != 6_667 || s.NextParts != 7_333 {
		t.Errorf("all: got %d, then %d", s.Parts, s.NextParts)
	}
}

// A dose that is taken out leaves nothing behind, and no time gives it back.
func TestUndone(t *testing.T) {
	l := enter(kg(80), ml(event.Lidocaine, 5, 2))
	wrong := l.says(ml(event.Lidocaine, 50, 2))
	if s := l.Summed(nil); s.State != Past || s.Doses != 2 {
		t.Errorf("got %+v", s)
	}
	l.Add(wrong, -1)
	l.Add(wrong, -1)
	if s := l.Summed(nil); s.State != 0 || s.Doses != 1 || s.Parts != 3_333 {
		t.Errorf("undone: got %+v", s)
	}
}

// Of weights, agents and rules that were entered apart the safe side counts.
func TestApart(t *testing.T) {
	l := enter(kg(80), kg(60), kg(70))
	if of, n := l.Weight(); n != 3 || of.Value.Grams != 60_000 {
		t.Errorf("weight: got %+v of %d", of.Value, n)
	}
	l.says(&event.Weight{Grams: 75_000, Supersedes: l.WeightHeads()})
	if of, n := l.Weight(); n != 1 || of.Value.Grams != 75_000 {
		t.Errorf("entered again: got %+v of %d", of.Value, n)
	}
	made := l.says(&event.Agent{Substance: "articaine", Epinephrine: true, PerKgUG: 7_000, CapUG: 500_000, Source: "a"})
	edit := func(perKg, most, daily uint32) *event.Agent {
		return &event.Agent{Of: made.Ref(), Substance: "articaine", Epinephrine: true, PerKgUG: perKg, CapUG: most, DailyUG: daily, Source: "b"}
	}
	l.says(edit(5_000, 0, 0))
	l.says(edit(6_000, 400_000, 900_000))
	f, ok := l.FormOf(made.Ref(), 0)
	if !ok || f.PerKgUG != 5_000 || f.CapUG != 400_000 || f.DailyUG != 0 || f.Standing != 3 {
		t.Errorf("agent: got %+v", f)
	}
	l.says(&event.Agent{Of: made.Ref(), Substance: "articaine", CapUG: 400_000, DailyUG: 800_000, Source: "b", Supersedes: l.AgentHeads(made.Ref())})
	l.says(edit(0, 400_000, 900_000))
	if f, _ := l.FormOf(made.Ref(), 0); f.DailyUG != 800_000 || f.Standing != 2 {
		t.Errorf("all with a daily limit: got %+v", f)
	}
	l.says(regime())
	other := regime()
	other.PerKgUG, other.Apart = 35_000, true
	l.says(other)
	if r := l.RuleOf("lidocaine"); r.PerKgUG != 28_000 || r.Apart || r.Standing != 2 {
		t.Errorf("rule: got %+v", r)
	}
	l.says(&event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "a"})
	if r := l.RuleOf("lidocaine"); r.PerKgUG != 0 {
		t.Errorf("one has no regime: got %+v", r)
	}
}

// Of equal regimes the same source counts in whichever order they came.
func TestEqualRegimesApart(t *testing.T) {
	for _, order := range [][3]int{{0, 1, 2}, {2, 1, 0}, {1, 2, 0}} {
		var l Log
		for _, i := range order {
			f := regime()
			f.Source = string(rune('a' + i))
			l.Add(&event.Event{Replica: event.ReplicaID{byte(1 + i)}, Seq: 1, Stamp: event.StampAt(1000), Fact: f}, 1)
		}
		if r := l.RuleOf("lidocaine"); r.Source != "a" || r.Standing != 3 {
			t.Errorf("%v: got %+v", order, r)
		}
	}
}

// Where there is a daily limit the day and the single doses have a share each.
func TestSharesOfADay(t *testing.T) {
	g := enter(ml(event.Bupivacaine, 28, 0.5), ml(event.BupivacaineEpinephrine, 40, 0.5)).Summed(nil).Groups[0]
	if g.DayParts != 8_500 || g.TopParts != 8_889 || g.Top != (Fraction{200_000_000, 225_000_000}) || g.State != Near {
		t.Errorf("got %+v", g)
	}
	g = enter(ml(event.Lidocaine, 5, 2)).Summed(nil).Groups[0]
	if g.DayParts != 0 || g.TopParts != 0 {
		t.Errorf("without one: got %+v", g)
	}
}

// Without a weight a share may look complete; what has no limit by it lacks none.
func TestUnweighed(t *testing.T) {
	for name, c := range map[string]struct {
		facts []event.Fact
		want  bool
	}{
		"lidocaine":           {[]event.Fact{ml(event.Lidocaine, 5, 2)}, true},
		"bupivacaine":         {[]event.Fact{ml(event.Bupivacaine, 5, 0.5)}, false},
		"weighed":             {[]event.Fact{kg(80), ml(event.Lidocaine, 5, 2)}, false},
		"dilute":              {[]event.Fact{regime(), dilute(50, 0.1)}, true},
		"nothing, and a rule": {[]event.Fact{regime()}, false},
	} {
		if got := enter(c.facts...).Summed(nil).Unweighed; got != c.want {
			t.Errorf("%s: got %v", name, got)
		}
	}
}

// What was entered apart and is the same leaves nothing to choose.
func TestTheSameApart(t *testing.T) {
	l := enter(kg(80), kg(80), regime(), regime())
	if _, n := l.Weight(); n != 1 || l.RuleOf("lidocaine").Standing != 1 {
		t.Errorf("the same: got %d weights, %+v", n, l.RuleOf("lidocaine"))
	}
	l.says(kg(81))
	l.says(&event.DoseRule{Substance: "lidocaine", Apart: true, Reason: "b", PerKgUG: 28_000, Strength: 100, Source: "a"})
	if _, n := l.Weight(); n != 3 || l.RuleOf("lidocaine").Standing != 3 {
		t.Errorf("another: got %d weights, %+v", n, l.RuleOf("lidocaine"))
	}
}
