// Package dose answers: how much anaesthetic was given, and what share of the
// smaller limit is that? It is a log and a caution. It advises nothing, and it
// never says that a dose is safe.
//
// Amounts are in ng inside, so that µL × strength and µg/kg × g are whole
// numbers; what leaves is in µg.
package dose

import "rootledger/shared/event"

// Log is the anaesthetic of one session. The zero value has nothing given, and
// the agents of the US labels.
type Log struct {
	forms   []*form // those of labels, then configured ones by reference
	doses   []*event.Event
	weights event.Register[*event.Weight]
	rules   []ruled
}

// form is one agent, plain or with epinephrine.
type form struct {
	Form
	edits event.Register[*event.Agent]
}

type ruled struct {
	substance string
	edits     event.Register[*event.DoseRule]
}

// Form is one agent as it counts now: of a label, or configured. While edits
// that do not know of each other stand, the smallest of each limit counts, and a
// daily one only if all have one; all else is that of the newest.
type Form struct {
	Ref         event.Ref   // of a configured agent
	Label       event.Label // else
	Substance   string
	Epinephrine bool
	PerKgUG     int64 // µg/kg, 0 for no limit by weight
	CapUG       int64 // µg of one dose, 0 for no limit
	DailyUG     int64 // µg a day, 0 for no limit
	Strengths   []uint32
	Source      string // "" for a label: its words are in pwa/words
	Standing    int64  // edits; above 1 the lead must choose
}

// labels are the limits of the US labels for healthy adults, and the strengths
// that they are sold in (strengths from memory). Lidocaine plain 4.5 mg/kg and
// 300 mg, with epinephrine 7 mg/kg and 500 mg; bupivacaine 175 mg, with
// epinephrine 225 mg, 400 mg a day.
func labels() []*form {
	lidocaine, bupivacaine := []uint32{500, 1_000, 1_500, 2_000}, []uint32{250, 500, 750}
	return []*form{
		{Form: Form{Label: event.Lidocaine, Substance: "lidocaine", PerKgUG: 4_500, CapUG: 300_000, Strengths: lidocaine}},
		{Form: Form{Label: event.LidocaineEpinephrine, Substance: "lidocaine", Epinephrine: true, PerKgUG: 7_000, CapUG: 500_000, Strengths: lidocaine}},
		{Form: Form{Label: event.Bupivacaine, Substance: "bupivacaine", CapUG: 175_000, DailyUG: 400_000, Strengths: bupivacaine}},
		{Form: Form{Label: event.BupivacaineEpinephrine, Substance: "bupivacaine", Epinephrine: true, CapUG: 225_000, DailyUG: 400_000, Strengths: bupivacaine}},
	}
}

// NG is a volume in µL of a strength in % × 1000, in ng: 1 % is 10 mg/mL (label:
// 2 % is 20 mg/mL).
func NG(volumeUL, strength uint32) int64 { return 10 * int64(volumeUL) * int64(strength) }

// VasoconstrictorNG is how much a volume in µL of 1:ratio holds, in ng, to the
// nearest: 1:200,000 is 1 g in 200,000 mL, which is 5 µg/mL. 0 for none.
func VasoconstrictorNG(volumeUL int64, ratio uint32) int64 {
	if ratio == 0 {
		return 0
	}
	return (2_000_000*volumeUL + int64(ratio)) / (2 * int64(ratio))
}

func (l *Log) init() {
	if l.forms == nil {
		l.forms = labels()
	}
}

// Add takes an event in (sign 1) or out again (sign -1); it ignores kinds that
// say nothing of anaesthetic. Edits are never taken out.
func (l *Log) Add(e *event.Event, sign int64) {
	l.init()
	switch f := e.Fact.(type) {
	case *event.Agent:
		l.configure(e, f)
	case *event.Weight:
		l.weights.Add(e, f, f.Supersedes)
	case *event.DoseRule:
		l.registerOf(f.Substance).Add(e, f, f.Supersedes)
	case *event.Dosed:
		l.doses = event.Turned(l.doses, e, sign)
	}
}

func (l *Log) configure(e *event.Event, f *event.Agent) {
	id := f.Of
	if id.IsZero() {
		id = e.Ref()
	}
	at := l.formOf(id, 0)
	if at == nil {
		at = &form{Form: Form{Ref: id}}
		l.forms = append(l.forms, at)
		for i := len(l.forms) - 1; i > event.Labels && event.CompareRef(l.forms[i-1].Ref, id) > 0; i-- {
			l.forms[i-1], l.forms[i] = at, l.forms[i-1]
		}
	}
	at.edits.Add(e, f, f.Supersedes)
	newest := at.edits.Newest().Value
	at.Form = Form{Ref: id, Substance: newest.Substance, Epinephrine: newest.Epinephrine, Strengths: newest.Strengths, Source: newest.Source}
	at.DailyUG = int64(newest.DailyUG)
	at.edits.Standing(func(_ event.Ref, _ event.Stamp, f *event.Agent) {
		at.Standing++
		at.PerKgUG, at.CapUG = stricter(at.PerKgUG, f.PerKgUG), stricter(at.CapUG, f.CapUG)
		at.DailyUG = min(at.DailyUG, int64(f.DailyUG)) // without one the limit of a dose holds for the day, which is stricter
	})
}

// stricter is the smaller of two limits, 0 being none.
func stricter(a int64, b uint32) int64 {
	if a == 0 || b != 0 && int64(b) < a {
		return int64(b)
	}
	return a
}

// formAt is where the form of a dose stands, -1 for one that is not here.
func (l *Log) formAt(agent event.Ref, label event.Label) int {
	for i, f := range l.forms {
		if f.Label == label && f.Ref == agent {
			return i
		}
	}
	return -1
}

func (l *Log) formOf(agent event.Ref, label event.Label) *form {
	if at := l.formAt(agent, label); at >= 0 {
		return l.forms[at]
	}
	return nil
}

func (l *Log) registerOf(substance string) *event.Register[*event.DoseRule] {
	at := l.ruleAt(substance)
	if at < 0 {
		at, l.rules = len(l.rules), append(l.rules, ruled{substance: substance})
	}
	return &l.rules[at].edits
}

// Doses lists every dose that stands, in order. The list is the log's own.
func (l *Log) Doses() []*event.Event { return l.doses }

// Forms lists the agents: those of labels, then configured ones by reference.
func (l *Log) Forms() []Form {
	l.init()
	out := make([]Form, 0, len(l.forms))
	for _, f := range l.forms {
		out = append(out, f.Form)
	}
	return out
}

// FormOf is the agent of a dose; false for one that is not here.
func (l *Log) FormOf(agent event.Ref, label event.Label) (Form, bool) {
	l.init()
	if f := l.formOf(agent, label); f != nil {
		return f.Form, true
	}
	return Form{}, false
}

// Weight is the weight that counts in g, of several that stand the smallest, for
// the limits are strictest there, and how many stand; 1 where all are the same, for
// then there is nothing to choose. 0 for none.
func (l *Log) Weight() (of event.Edit[*event.Weight], standing int) {
	most := uint32(0)
	l.weights.Standing(func(ref event.Ref, stamp event.Stamp, w *event.Weight) {
		standing++
		most = max(most, w.Grams)
		have := of.Value
		if have == nil || w.Grams < have.Grams || w.Grams == have.Grams && event.CompareRef(ref, of.Ref) < 0 {
			of = event.Edit[*event.Weight]{Ref: ref, Stamp: stamp, Value: w}
		}
	})
	if standing > 0 && of.Value.Grams == most {
		standing = 1
	}
	return of, standing
}

// Grams is the weight that counts, 0 while none was entered.
func (l *Log) Grams() int64 {
	if of, n := l.Weight(); n > 0 {
		return int64(of.Value.Grams)
	}
	return 0
}

// WeightHeads are the standing weights, what a new one supersedes.
func (l *Log) WeightHeads() []event.Ref { return l.weights.Heads() }

// RuleHeads are the standing rules of a substance, what a new one supersedes.
func (l *Log) RuleHeads(substance string) []event.Ref {
	if at := l.ruleAt(substance); at >= 0 {
		return l.rules[at].edits.Heads()
	}
	return nil
}

func (l *Log) ruleAt(substance string) int {
	for i := range l.rules {
		if l.rules[i].substance == substance {
			return i
		}
	}
	return -1
}

// AgentHeads are the standing edits of a configured agent.
func (l *Log) AgentHeads(agent event.Ref) []event.Ref {
	if f := l.formOf(agent, 0); f != nil {
		return f.edits.Heads()
	}
	return nil
}

// Rule is what counts of the lead's rules about one substance. Of several that
// stand the safe side counts: held apart only if all say so, a dilute regime only
// if all have one, and then the smallest limit.
type Rule struct {
	Substance string
	Apart     bool
	PerKgUG   int64 // of the dilute regime, 0 for none
	Strength  uint32
	Source    string
	Reason    string
	Ref       event.Ref // the newest that stands
	Stamp     event.Stamp
	Standing  int64 // 1 where all say the same, whoever set them and why
}

// Dilutes says whether a dose counts to the dilute regime: a dilute one of exactly
// its strength. Others are held against the label.
func (r *Rule) Dilutes(f *event.Dosed) bool {
	return f.Tumescent && r.PerKgUG > 0 && f.Strength == r.Strength
}

// RuleOf is the rule of a substance; Standing is 0 when there is none.
func (l *Log) RuleOf(substance string) Rule {
	if at := l.ruleAt(substance); at >= 0 {
		return ruleOf(substance, &l.rules[at].edits)
	}
	return Rule{Substance: substance}
}

func ruleOf(substance string, edits *event.Register[*event.DoseRule]) Rule {
	newest := edits.Newest()
	f := newest.Value
	r := Rule{substance, true, int64(f.PerKgUG), f.Strength, f.Source, f.Reason, newest.Ref, newest.Stamp, 0}
	agree := true
	from := newest.Ref // of equal regimes the source with the smallest reference
	edits.Standing(func(ref event.Ref, _ event.Stamp, f *event.DoseRule) {
		r.Standing++
		r.Apart = r.Apart && f.Apart
		agree = agree && f.Apart == newest.Value.Apart && f.PerKgUG == newest.Value.PerKgUG && f.Strength == newest.Value.Strength &&
			f.Source == newest.Value.Source
		p, s := int64(f.PerKgUG), f.Strength
		if p < r.PerKgUG || p == r.PerKgUG && (s < r.Strength || s == r.Strength && event.CompareRef(ref, from) < 0) {
			r.PerKgUG, r.Strength, r.Source, from = p, s, f.Source, ref
		}
	})
	if agree {
		r.Standing = 1
	}
	return r
}

// Rules lists the rules that stand, by substance.
func (l *Log) Rules() []Rule {
	var out []Rule
	for i := range l.rules {
		out = append(out, ruleOf(l.rules[i].substance, &l.rules[i].edits))
		for at := len(out) - 1; at > 0 && out[at-1].Substance > out[at].Substance; at-- {
			out[at-1], out[at] = out[at], out[at-1]
		}
	}
	return out
}
