package dose

import "rootledger/shared/event"

// Warning says where an amount stands against its limits.
type Warning uint8

// The warnings. Short of near there is nothing to say: no amount is called safe.
const (
	Near Warning = iota + 1 // from nearParts on
	Past                    // above the label maximum, or the regime's
)

var warningNames = [...]string{"", "near", "past"}

// String is the warning's name, "" for neither.
func (s Warning) String() string { return warningNames[s] }

// MarshalText writes the warning's name.
func (s Warning) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// nearTenths is from where on an amount is near its limit, in tenths of it: our
// own choice, no source.
const nearTenths = 8

// Side says which limit is the smaller one.
type Side uint8

// The sides.
const (
	ByWeight Side = iota + 1 // µg/kg × weight
	ByCap                    // the absolute limit of one dose
)

var sideNames = [...]string{"", "weight", "cap"}

// String is the side's name, "" for no limit.
func (s Side) String() string { return sideNames[s] }

// MarshalText writes the side's name.
func (s Side) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// limit is the smaller of µg/kg × weight and the absolute limit, in ng; 0 for
// none: without a weight, a limit by weight is none.
func limit(perKgUG, capUG, grams int64) (ng int64, by Side) {
	if byWeight := perKgUG * grams; byWeight > 0 {
		ng, by = byWeight, ByWeight
	}
	if byCap := 1000 * capUG; byCap > 0 && (by == 0 || byCap < ng) {
		ng, by = byCap, ByCap
	}
	return ng, by
}

// LimitUG is a form's limit of one dose at a weight in g, in µg rounded down,
// and which side it is; 0 while there is none.
func (f *Form) LimitUG(grams int64) (ug int64, by Side) {
	ng, by := limit(f.PerKgUG, f.CapUG, grams)
	return ng / 1000, by
}

// Group is what is held against one limit: of one substance the plain doses and
// those with epinephrine together, against the stricter of the limits of what was
// given, unless the lead's rule holds them apart; and what was given under the
// dilute regime, in its very strength, against the regime's.
type Group struct {
	Substance   string
	Plain       bool // some of it was plain
	Epinephrine bool // some of it was with epinephrine
	Tumescent   bool
	Agent       event.Ref // one of its agents, to ask about it
	Label       event.Label

	Doses     int64
	NG        int64
	LargestNG int64 // largest dose
	LimitNG   int64 // of one dose, or of all where there is no daily one; 0 unknown
	By        Side
	DailyNG   int64    // where every agent of it has one
	Parts     int64    // share of LimitNG, per 10,000
	NextParts int64    // what one more mL of what was last given would make it
	DayParts  int64    // share of DailyNG, per 10,000
	TopParts  int64    // share of Top, per 10,000
	Top       Fraction // dose that is the greatest share of its own agent's limit, and that limit; Den 0 for none
	State     Warning

	last   int   // place of the newest dose in the order
	nextNG int64 // 1 mL of that one
}

// Sum is all that was given.
type Sum struct {
	Groups    []Group
	Parts     int64 // sum of the shares, per 10,000
	NextParts int64 // what one more mL of what was last given would make it
	Unknown   bool  // some of it has no limit
	Unweighed bool  // some of it has a limit by weight, and no weight is known
	State     Warning
	Doses     int64

	VasoconstrictorNG int64
}

// tally is what was given of one form in one way: ordinarily, or dilute.
type tally struct {
	n, ng, largest int64
	last           int // place of the newest dose in the order
	strength       uint32
}

// Summed is what was given up to now, and with a draft if there is one.
func (l *Log) Summed(draft *event.Dosed) Sum {
	l.init()
	var s Sum
	tallies, mixed := make([]tally, 2*len(l.forms)), make([]mixture, 0, 4)
	rules := make([]Rule, len(l.forms))
	for i, f := range l.forms {
		rules[i] = l.RuleOf(f.Substance)
	}
	take := func(f *event.Dosed, at int) {
		of := l.formAt(f.Agent, f.Label)
		if of < 0 {
			return
		}
		if rules[of].Dilutes(f) {
			of += len(l.forms)
		}
		t, ng := &tallies[of], NG(f.VolumeUL, f.Strength)
		t.n, t.ng, t.largest, t.last, t.strength = t.n+1, t.ng+ng, max(t.largest, ng), at, f.Strength
		mixed = mixing(mixed, f)
	}
	for i, e := range l.doses {
		take(e.Fact.(*event.Dosed), i)
	}
	if draft != nil {
		take(draft, len(l.doses))
	}
	grams := l.Grams()
	for i, f := range l.forms {
		if t := &tallies[i]; t.n > 0 {
			s.join(f, &rules[i], false, t, grams)
		}
		if t := &tallies[i+len(l.forms)]; t.n > 0 {
			s.join(f, &rules[i], true, t, grams)
		}
	}
	for _, m := range mixed {
		s.VasoconstrictorNG += VasoconstrictorNG(m.ul, m.ratio)
	}
	s.judge()
	return s
}

// mixture is what was given with one ratio of vasoconstrictor: each is rounded once.
type mixture struct {
	ratio uint32
	ul    int64
}

func mixing(list []mixture, f *event.Dosed) []mixture {
	if f.Ratio == 0 {
		return list
	}
	for i := range list {
		if list[i].ratio == f.Ratio {
			list[i].ul += int64(f.VolumeUL)
			return list
		}
	}
	return append(list, mixture{f.Ratio, int64(f.VolumeUL)})
}

// join adds what was given of a form in one way to the group that it is held in.
func (s *Sum) join(f *form, rule *Rule, tumescent bool, t *tally, grams int64) {
	at := s.group(f, tumescent, rule.Apart && !tumescent)
	at.Plain, at.Epinephrine = at.Plain || !f.Epinephrine, at.Epinephrine || f.Epinephrine
	perKg, most, daily := f.PerKgUG, f.CapUG, 1000*f.DailyUG
	if tumescent {
		perKg, most, daily = rule.PerKgUG, 0, 0
	}
	ng, by := limit(perKg, most, grams)
	first := at.Doses == 0
	if first || ng > 0 && (at.LimitNG == 0 || ng < at.LimitNG) {
		at.LimitNG, at.By = ng, by
	}
	if first || daily < at.DailyNG { // none where one of them has none
		at.DailyNG = daily
	}
	if first || t.last > at.last {
		at.last, at.nextNG = t.last, NG(1000, t.strength)
	}
	if ng > 0 && (at.Top.Den == 0 || more(t.largest, ng, at.Top)) {
		at.Top = Fraction{t.largest, ng}
	}
	s.Unweighed = s.Unweighed || grams == 0 && perKg > 0
	at.Doses, at.NG, at.LargestNG = at.Doses+t.n, at.NG+t.ng, max(at.LargestNG, t.largest)
	s.Doses += t.n
}

func (s *Sum) group(f *form, tumescent, apart bool) *Group {
	for i := range s.Groups {
		if g := &s.Groups[i]; g.Substance == f.Substance && g.Tumescent == tumescent && (!apart || g.Epinephrine == f.Epinephrine) {
			return g
		}
	}
	s.Groups = append(s.Groups, Group{Substance: f.Substance, Tumescent: tumescent, Agent: f.Ref, Label: f.Label})
	return &s.Groups[len(s.Groups)-1]
}

// Held says whether a dose is held in the same group as those of an agent are: by
// the rule of group.
func (l *Log) Held(f *event.Dosed, agent event.Ref, label event.Label, dilute bool) bool {
	of, with := l.formOf(f.Agent, f.Label), l.formOf(agent, label)
	if of == nil || with == nil || of.Substance != with.Substance {
		return false
	}
	rule := l.RuleOf(of.Substance)
	return rule.Dilutes(f) == dilute && (dilute || !rule.Apart || of.Epinephrine == with.Epinephrine)
}

// judge works out shares and states. Where every agent of a group has a daily
// limit, each dose is held against its limit and the sum against the daily one.
func (s *Sum) judge() {
	var all []Fraction
	var newest *Group
	for i := range s.Groups {
		g := &s.Groups[i]
		if newest == nil || g.last > newest.last {
			newest = g
		}
		if g.LimitNG == 0 {
			s.Unknown = true
			continue
		}
		of := Fraction{g.NG, g.LimitNG}
		all = append(all, of)
		g.Parts, g.NextParts = parts([]Fraction{of}), parts([]Fraction{{g.NG + g.nextNG, g.LimitNG}})
		if g.DailyNG > 0 {
			day, top := []Fraction{{g.NG, g.DailyNG}}, []Fraction{g.Top}
			g.DayParts, g.TopParts, g.State = parts(day), parts(top), max(stateOf(day), stateOf(top))
		} else {
			g.State = stateOf([]Fraction{of})
		}
	}
	s.Parts, s.NextParts = parts(all), 0
	if len(s.Groups) > 1 {
		s.State = stateOf(all)
	}
	for i := range s.Groups {
		s.State = max(s.State, s.Groups[i].State)
	}
	if newest != nil && newest.LimitNG > 0 {
		s.NextParts = parts(append(all, Fraction{newest.nextNG, newest.LimitNG}))
	}
}

func stateOf(sum []Fraction) Warning {
	switch {
	case compare(sum, 1, 1) > 0:
		return Past
	case compare(sum, nearTenths, 10) >= 0:
		return Near
	}
	return 0
}
