package dose

import (
	"slices"

	"rootledger/shared/event"
)

// Doubt is why an entry is asked about before it is kept: a slip of unit or of
// ten, or a dose past a limit. N and Of are the numbers of its sentence.
type Doubt struct {
	What string `json:"what"`
	N    int64  `json:"n"`
	Of   int64  `json:"of"`
}

// From where on an entry is asked about. None is a clinical limit.
const (
	// mostOnce is the most that one entry has outside a dilute regime, in µL:
	// more than a syringe holds may be mg (common practice, no source).
	mostOnce = 50_000

	// slipTimes is how many times the mean dose so far a dose is, or that is the
	// dose, that may have its point in the wrong place; less than ten, for doses
	// differ.
	slipTimes = 8

	// Ratios of vasoconstrictor on labels run from 1:50,000 to 1:200,000, in
	// dilute solutions to 1:2,000,000 (from memory).
	strongestRatio, weakestRatio, weakestDilute = 50_000, 400_000, 2_000_000

	// Weights of adults, in g; outside it may be of another unit, or ten times off.
	leastGrams, mostGrams = 40_000, 130_000

	// milligramsPerPound100 is the international pound of 1959, in mg × 100.
	milligramsPerPound100 = 45_359_237
)

// Doubts are why a dose is asked about, most telling first; none for one of an
// agent that is not here.
func (l *Log) Doubts(f *event.Dosed) []Doubt {
	l.init()
	of := l.formOf(f.Agent, f.Label)
	if of == nil {
		return nil
	}
	var out []Doubt
	add := func(what string, n, of int64) { out = append(out, Doubt{what, n, of}) }
	rule := l.RuleOf(of.Substance)
	ng := NG(f.VolumeUL, f.Strength)
	switch {
	case f.Tumescent && rule.PerKgUG == 0:
		add("no-regime", 0, 0)
	case f.Tumescent && f.Strength != rule.Strength:
		add("solution", int64(f.Strength), int64(rule.Strength))
	case !f.Tumescent && len(of.Strengths) > 0 && !slices.Contains(of.Strengths, f.Strength):
		add("strength", int64(f.Strength), 0)
	}
	if !f.Tumescent && f.VolumeUL > mostOnce {
		add("unit", int64(f.VolumeUL), 100*int64(f.VolumeUL)/int64(f.Strength)) // were it mg, as µL
	}
	perKg := of.PerKgUG
	if rule.Dilutes(f) {
		perKg = rule.PerKgUG
	}
	if perKg > 0 && l.Grams() == 0 {
		add("no-weight", 0, 0)
	}
	if n, sum := l.before(f); n > 0 && (ng*n >= slipTimes*sum || slipTimes*ng*n <= sum) {
		add("tenfold", ng/1000, sum/n/1000)
	}
	l.ratioDoubts(of, f, add)
	l.limitDoubts(of, f, rule, add)
	return out
}

// before is what was given of the same form in the same way.
func (l *Log) before(f *event.Dosed) (n, ng int64) {
	for _, e := range l.doses {
		if g := e.Fact.(*event.Dosed); g.Agent == f.Agent && g.Label == f.Label && g.Tumescent == f.Tumescent {
			n, ng = n+1, ng+NG(g.VolumeUL, g.Strength)
		}
	}
	return n, ng
}

func (l *Log) ratioDoubts(of *form, f *event.Dosed, add func(string, int64, int64)) {
	weakest := uint32(weakestRatio)
	if f.Tumescent {
		weakest = weakestDilute
	}
	switch {
	case f.Ratio == 0 && of.Epinephrine:
		add("no-ratio", 0, 0)
	case f.Ratio != 0 && (f.Ratio < strongestRatio || f.Ratio > weakest):
		add("ratio", int64(f.Ratio), 0)
	}
	if f.Ratio != 0 && !of.Epinephrine && !f.Tumescent && slices.ContainsFunc(l.forms, func(o *form) bool {
		return o.Substance == of.Substance && o.Epinephrine
	}) {
		add("plain", int64(f.Ratio), 0)
	}
}

// limitDoubts says when a dose alone is past a limit, else which limit is passed
// with it: its group's, or that of all together.
func (l *Log) limitDoubts(of *form, f *event.Dosed, rule Rule, add func(string, int64, int64)) {
	ng, most := NG(f.VolumeUL, f.Strength), int64(0)
	if rule.Dilutes(f) {
		most, _ = limit(rule.PerKgUG, 0, l.Grams())
	} else {
		most, _ = limit(of.PerKgUG, of.CapUG, l.Grams())
	}
	if most > 0 && ng > most {
		add("alone", ng/1000, most/1000)
		return
	}
	with := l.Summed(f)
	if with.State != Past {
		return
	}
	for i := range with.Groups {
		if g := &with.Groups[i]; g.last == len(l.doses) && g.State == Past {
			what, of := g.passed()
			add(what, up(of.Num), of.Den/1000)
			return
		}
	}
	add("past-sum", with.Parts, 10_000)
}

// up is ng in µg, rounded up: what is past a limit reads so.
func up(ng int64) int64 { return (ng + 999) / 1000 }

// passed is what is past which limit in a group that is, and its doubt.
func (g *Group) passed() (what string, of Fraction) {
	switch {
	case g.Tumescent:
		return "past-regime", Fraction{g.NG, g.LimitNG}
	case g.DailyNG == 0:
		return "past", Fraction{g.NG, g.LimitNG}
	case g.NG > g.DailyNG:
		return "past-day", Fraction{g.NG, g.DailyNG}
	}
	return "past-dose", g.Top
}

// WeightDoubts are why a weight is asked about.
func (l *Log) WeightDoubts(w *event.Weight) []Doubt {
	var out []Doubt
	grams, before := int64(w.Grams), l.Grams()
	switch {
	case grams < leastGrams:
		out = append(out, Doubt{"weight-small", grams, 0})
	case grams > mostGrams:
		out = append(out, Doubt{"weight-large", grams, grams * milligramsPerPound100 / 100_000_000})
	}
	if before > 0 && (10*grams > 11*before || 10*grams < 9*before) {
		out = append(out, Doubt{"weight-changed", grams, before})
	}
	return out
}
