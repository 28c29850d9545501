package session

import (
	"rootledger/shared/dose"
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Doses is the anaesthetic of a session: a log and a caution. It advises
// nothing and calls no amount safe. Parts are shares of a limit per 10,000.
type Doses struct {
	Agents []DoseAgent `json:"agents"` // those of labels, then configured ones
	Groups []DoseGroup `json:"groups"` // what was given, by what is held against one limit
	Rules  []DoseRule  `json:"rules"`
	Last   []Dose      `json:"last"` // newest first, at most lastDoses
	Count  int64       `json:"count"`

	WeightKnown bool   `json:"weightKnown"`
	Grams       int64  `json:"grams"` // of several that stand the smallest
	WeightBy    string `json:"weightBy"`
	WeightMs    int64  `json:"weightMs"`
	WeightAsked bool   `json:"weightAsked"` // whoever entered it was asked, and confirmed it
	Weights     int64  `json:"weights"`     // how many stand, 1 where all are the same; above 1 it must be entered again

	Parts     int64        `json:"parts"`     // sum of the shares
	NextParts int64        `json:"nextParts"` // what one more mL of what was given last would make it
	State     dose.Warning `json:"state"`
	Unknown   bool         `json:"unknown"`   // some of it has no limit while no weight is known
	Unweighed bool         `json:"unweighed"` // some of it has a limit by weight, and no weight is known

	VasoconstrictorNG int64    `json:"vasoconstrictorNg"`
	Cautions          []string `json:"cautions"` // keys of what must be said beside these figures
}

// DoseAgent is one agent, its limits, and the one that counts at this weight.
type DoseAgent struct {
	Ref         event.Ref   `json:"ref"`   // of a configured agent
	Label       event.Label `json:"label"` // else
	Substance   string      `json:"substance"`
	Epinephrine bool        `json:"epinephrine"`
	PerKgUG     int64       `json:"perKgUg"` // µg/kg, 0 for none, as the next two
	CapUG       int64       `json:"capUg"`
	DailyUG     int64       `json:"dailyUg"`
	LimitUG     int64       `json:"limitUg"` // the smaller of the first two; 0 while there is none
	By          dose.Side   `json:"by"`
	Strengths   []uint32    `json:"strengths"` // % × 1000
	Source      string      `json:"source"`    // "" for a label, whose source is in the words
	Standing    int64       `json:"standing"`  // edits; above 1 the lead must choose
}

// DoseGroup is what is held against one limit.
type DoseGroup struct {
	Ref         event.Ref    `json:"ref"` // one of its agents
	Label       event.Label  `json:"label"`
	Asked       event.Size   `json:"asked"` // how a question names it, beside its Ref
	Substance   string       `json:"substance"`
	Plain       bool         `json:"plain"`
	Epinephrine bool         `json:"epinephrine"`
	Tumescent   bool         `json:"tumescent"`
	Doses       int64        `json:"doses"`
	UG          int64        `json:"ug"`
	LargestUG   int64        `json:"largestUg"`
	LimitUG     int64        `json:"limitUg"` // 0 while there is none
	By          dose.Side    `json:"by"`
	DailyUG     int64        `json:"dailyUg"`
	Parts       int64        `json:"parts"`
	NextParts   int64        `json:"nextParts"`
	State       dose.Warning `json:"state"`
	DayParts    int64        `json:"dayParts"`   // share of the daily limit; 0 where there is none, as the next three
	TopParts    int64        `json:"topParts"`   // of the dose that is the greatest share of its own agent's limit
	TopUG       int64        `json:"topUg"`      // that dose
	TopLimitUG  int64        `json:"topLimitUg"` // and that limit
}

// DoseRule is what the lead said of one substance.
type DoseRule struct {
	Substance string `json:"substance"`
	Apart     bool   `json:"apart"`
	PerKgUG   int64  `json:"perKgUg"` // of the dilute regime, 0 for none
	Strength  uint32 `json:"strength"`
	Source    string `json:"source"`
	Reason    string `json:"reason"`
	Person    string `json:"person"`
	AtMs      int64  `json:"atMs"`
	Standing  int64  `json:"standing"`
}

// Dose is one dose that stands.
type Dose struct {
	Ref         event.Ref `json:"ref"`
	Substance   string    `json:"substance"`
	Epinephrine bool      `json:"epinephrine"`
	VolumeUL    int64     `json:"volumeUl"`
	Strength    uint32    `json:"strength"`
	UG          int64     `json:"ug"`
	Ratio       uint32    `json:"ratio"` // 1:ratio of vasoconstrictor, 0 for none
	Site        string    `json:"site"`
	Tumescent   bool      `json:"tumescent"`
	Earlier     bool      `json:"earlier"` // given before it was entered
	Asked       bool      `json:"asked"`   // whoever entered it was asked, and confirmed it
	AtMs        int64     `json:"atMs"`
	Person      string    `json:"person"`
}

const (
	// lastDoses is how many doses a screen shows; the sheet has all.
	lastDoses = 12

	// MaxAgents and MaxRules bound the sections: more than any clinic has.
	MaxAgents = 24
	maxRules  = 24
)

// doses is worked out anew only after something about anaesthetic changed, or
// who held a phone, or when it was: most taps have no part in it.
func (s *State) doseView() Doses {
	if s.dosed == nil {
		v := s.dosesNow()
		s.dosed = &v
	}
	return *s.dosed
}

// touchDoses forgets the doses as they were when an event may change them.
func (s *State) touchDoses(e *event.Event) {
	switch e.Fact.(type) {
	case *event.Dosed, *event.Weight, *event.Agent, *event.DoseRule, *event.Joined, *event.HandedOver, *event.ClockNote:
		s.dosed = nil
	}
}

func (s *State) dosesNow() Doses {
	sum, grams := s.doses.Summed(nil), s.doses.Grams()
	v := Doses{Agents: []DoseAgent{}, Groups: groupsOf(sum), Rules: []DoseRule{}, Last: []Dose{}, Count: sum.Doses, Parts: sum.Parts,
		NextParts: sum.NextParts, State: sum.State, Unknown: sum.Unknown, Unweighed: sum.Unweighed, VasoconstrictorNG: sum.VasoconstrictorNG}
	for _, f := range s.doses.Forms() {
		if len(v.Agents) < MaxAgents {
			ug, by := f.LimitUG(grams)
			v.Agents = append(v.Agents, DoseAgent{f.Ref, f.Label, f.Substance, f.Epinephrine, f.PerKgUG, f.CapUG, f.DailyUG, ug, by,
				f.Strengths, f.Source, f.Standing})
		}
	}
	for _, r := range s.doses.Rules() {
		if len(v.Rules) < maxRules {
			atMs := r.Stamp.Ms()
			if e := s.Find(r.Ref); e != nil {
				atMs = s.atMs(e)
			}
			v.Rules = append(v.Rules, DoseRule{r.Substance, r.Apart, r.PerKgUG, r.Strength, r.Source, r.Reason,
				s.team().Person(r.Ref.Replica, r.Stamp), atMs, r.Standing})
		}
	}
	given := s.doses.Doses()
	for i := len(given) - 1; i >= 0 && len(v.Last) < lastDoses; i-- {
		v.Last = append(v.Last, s.DoseOf(given[i]))
	}
	if of, standing := s.doses.Weight(); standing > 0 {
		v.WeightKnown, v.Grams, v.WeightAsked, v.Weights = true, grams, of.Value.Asked, int64(standing)
		v.WeightBy, v.WeightMs = s.team().Person(of.Ref.Replica, of.Stamp), of.Stamp.Ms()
		if e := s.Find(of.Ref); e != nil {
			v.WeightMs = s.atMs(e)
		}
	}
	v.Cautions = v.cautions()
	return v
}

func groupsOf(sum dose.Sum) []DoseGroup {
	out := make([]DoseGroup, 0, len(sum.Groups))
	for _, g := range sum.Groups {
		one := DoseGroup{g.Agent, g.Label, groupAsked(&g), g.Substance, g.Plain, g.Epinephrine, g.Tumescent, g.Doses, toUG(g.NG), toUG(g.LargestNG),
			g.LimitNG / 1000, g.By, g.DailyNG / 1000, g.Parts, g.NextParts, g.State, g.DayParts, g.TopParts, 0, 0}
		if g.DailyNG > 0 {
			one.TopUG, one.TopLimitUG = toUG(g.Top.Num), g.Top.Den/1000
		}
		out = append(out, one)
	}
	return out
}

// toUG is ng in µg, halves up.
func toUG(ng int64) int64 { return (ng + 500) / 1000 }

// DoseOf is one dose as a list shows it.
func (s *State) DoseOf(e *event.Event) Dose {
	f := e.Fact.(*event.Dosed)
	form, _ := s.doses.FormOf(f.Agent, f.Label)
	return Dose{e.Ref(), form.Substance, form.Epinephrine, int64(f.VolumeUL), f.Strength, toUG(dose.NG(f.VolumeUL, f.Strength)), f.Ratio, f.Site,
		f.Tumescent, f.Earlier, f.Asked, s.atMs(e), s.team().Person(e.Replica, e.Stamp)}
}

var cautionKeys = [...]string{"past", "near", "no-weight", "unknown", "weights", "agents", "rules", "pooled", "apart", "dilute"}

// cautions are the keys of what must be said beside the figures, the most
// pressing first.
func (v *Doses) cautions() []string {
	var pooled, agents, rules, dilute bool
	for _, g := range v.Groups {
		pooled, dilute = pooled || g.Plain && g.Epinephrine && !g.Tumescent, dilute || g.Tumescent
	}
	for _, a := range v.Agents {
		agents = agents || a.Standing > 1
	}
	var apart bool
	for _, r := range v.Rules {
		rules, apart = rules || r.Standing > 1, apart || r.Apart
	}
	out := []string{}
	for i, holds := range [...]bool{v.State == dose.Past, v.State == dose.Near, !v.WeightKnown, v.Unknown, v.Weights > 1,
		agents, rules, pooled, apart, dilute} {
		if holds {
			out = append(out, cautionKeys[i])
		}
	}
	return out
}

// Weighed is what a dose or a weight that is not kept yet would do: why it is
// asked about, how much it is, and what would be given with it.
type Weighed struct {
	Doubts    []dose.Doubt `json:"doubts"`
	UG        int64        `json:"ug"`
	Groups    []DoseGroup  `json:"groups"`
	Parts     int64        `json:"parts"`
	NextParts int64        `json:"nextParts"`
	State     dose.Warning `json:"state"`
	Unknown   bool         `json:"unknown"`
	Unweighed bool         `json:"unweighed"`

	VasoconstrictorNG int64 `json:"vasoconstrictorNg"` // of this dose
}

// Weigh looks at a dose or a weight before it is kept. It refuses what Record
// would refuse whether or not it was asked about.
func (s *State) Weigh(by event.ReplicaID, fact event.Fact) (Weighed, error) {
	if err := fact.Validate(); err != nil {
		return Weighed{}, err
	}
	switch f := fact.(type) {
	case *event.Dosed:
		asked := *f
		asked.Asked = true
		if err := s.Check(by, &asked); err != nil {
			return Weighed{}, err
		}
		sum := s.doses.Summed(f)
		return Weighed{s.doses.Doubts(f), toUG(dose.NG(f.VolumeUL, f.Strength)), groupsOf(sum), sum.Parts, sum.NextParts, sum.State, sum.Unknown, sum.Unweighed,
			dose.VasoconstrictorNG(int64(f.VolumeUL), f.Ratio)}, nil
	case *event.Weight:
		return Weighed{Doubts: s.doses.WeightDoubts(f)}, nil
	}
	return Weighed{}, fault.New(fault.Invalid, "weigh-what")
}

// checkDoses refuses what nobody was asked about although there is a doubt, and
// agents and rules beyond what is listed.
func (s *State) checkDoses(fact event.Fact) error {
	switch f := fact.(type) {
	case *event.Dosed:
		if !f.Asked && len(s.doses.Doubts(f)) > 0 {
			return fault.New(fault.Conflict, "dose-unasked")
		}
	case *event.Weight:
		if !f.Asked && len(s.doses.WeightDoubts(f)) > 0 {
			return fault.New(fault.Conflict, "dose-unasked")
		}
	case *event.Agent:
		if f.Of.IsZero() && len(s.doses.Forms()) >= MaxAgents {
			return fault.New(fault.TooMuch, "too-many").With("field", "agents").WithInt("max", MaxAgents)
		}
	case *event.DoseRule:
		if s.doses.RuleHeads(f.Substance) == nil && len(s.doses.Rules()) >= maxRules {
			return fault.New(fault.TooMuch, "too-many").With("field", "rules").WithInt("max", maxRules)
		}
	}
	return nil
}

// pastDose is what was given past a limit, of several the one that is furthest
// past it: in mg, what was given rounded up and its limit down; or, when no agent
// alone is, all together in per cent.
func pastDose(v *Doses) (worst Ask, ok bool) {
	if v.State != dose.Past {
		return Ask{}, false
	}
	for _, g := range v.Groups {
		have, want := g.UG, g.LimitUG
		switch {
		case g.DailyUG > 0 && g.UG > g.DailyUG:
			want = g.DailyUG
		case g.DailyUG > 0:
			have, want = g.TopUG, g.TopLimitUG
		}
		if one := (Ask{What: AskPastDose, Limit: true, Zone: g.Substance, Have: (have + 999) / 1000, Want: want / 1000}); g.State == dose.Past &&
			(!ok || one.Have*worst.Want > worst.Have*one.Want) {
			worst, ok = one, true
		}
	}
	if !ok {
		worst = Ask{What: AskPastDoses, Limit: true, Have: (v.Parts + 99) / 100, Want: 100}
	}
	return worst, true
}
