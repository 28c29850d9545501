package event

// Bounds of what is entered about anaesthetic. They stop what can not be; what
// is only unlikely is asked about, not refused.
const (
	MaxGrams         = 400_000   // of body weight
	MaxStrength      = 100_000   // % × 1000
	MaxVolumeUL      = 5_000_000 // µL of one entry: 5 L
	MaxRatio         = 10_000_000
	maxPerKg         = 1_000_000  // µg/kg
	maxCapUG         = 10_000_000 // µg: 10 g
	maxSite          = 80         // characters
	MaxStrengthsSold = 12
)

// Label names an anaesthetic whose limits are those of its US label. These are
// always there.
type Label uint8

// The labels.
const (
	Lidocaine Label = iota + 1
	LidocaineEpinephrine
	Bupivacaine
	BupivacaineEpinephrine
)

// Labels is how many there are.
const Labels = 4

var labelNames = [...]string{"", "lidocaine", "lidocaine with epinephrine", "bupivacaine", "bupivacaine with epinephrine"}

// String is the label's name.
func (l Label) String() string { return nameOf(labelNames[:], uint8(l)) }

// MarshalText writes the label's name.
func (l Label) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// ParseLabel finds a label by name.
func ParseLabel(name string) (Label, bool) {
	l, ok := parseName(labelNames[:], name)
	return Label(l), ok
}

// Agent is a configured anaesthetic, made when Of is zero, else an edit of the
// agent that Of made. Substance is its generic name in small letters; the plain
// form and the one with epinephrine share it. Limits in µg/kg and µg, 0 for none:
// of one dose, and of a day where there is such a limit. Strengths are those it
// is sold in, in % × 1000. Source says who states the limits.
type Agent struct {
	Of          Ref      `json:"of,omitzero"`
	Substance   string   `json:"substance"`
	Epinephrine bool     `json:"epinephrine,omitempty"`
	PerKgUG     uint32   `json:"perKgUg"`
	CapUG       uint32   `json:"capUg"`
	DailyUG     uint32   `json:"dailyUg"`
	Strengths   []uint32 `json:"strengths,omitempty"`
	Source      string   `json:"source"`
	Supersedes  []Ref    `json:"supersedes,omitempty"`
}

// Kind is KindAgent.
func (*Agent) Kind() Kind { return KindAgent }

func (a *Agent) fields(f *fields) {
	ref(f, 1, &a.Of, KindAgent)
	text(f, 2, &a.Substance)
	flag(f, 3, &a.Epinephrine)
	number(f, 4, &a.PerKgUG)
	number(f, 5, &a.CapUG)
	number(f, 6, &a.DailyUG)
	numbers(f, 7, &a.Strengths)
	text(f, 8, &a.Source)
	refs(f, 9, &a.Supersedes)
}

// Validate needs a name in small letters, a limit by weight or of one dose, a
// daily limit not below that of one dose, and a source.
func (a *Agent) Validate() error {
	if a.PerKgUG == 0 && a.CapUG == 0 {
		return invalid("agent-limits")
	}
	if a.DailyUG != 0 && a.DailyUG < a.CapUG {
		return invalid("agent-daily")
	}
	if len(a.Strengths) > MaxStrengthsSold {
		return invalid("agent-strengths").WithInt("max", MaxStrengthsSold)
	}
	for _, s := range a.Strengths {
		if err := checkRange("strength", s, 1, MaxStrength); err != nil {
			return err
		}
	}
	return first(checkSubstance(a.Substance), checkRange("limit by weight", a.PerKgUG, 0, maxPerKg),
		checkRange("limit", a.CapUG, 0, maxCapUG), checkRange("daily limit", a.DailyUG, 0, maxCapUG),
		checkLines("source", a.Source, 1, maxText), checkSupersedes(a.Supersedes))
}

// checkSubstance holds a generic name to small letters, so that one substance
// has one name.
func checkSubstance(s string) error {
	for _, c := range []byte(s) {
		if c >= 'A' && c <= 'Z' {
			return invalid("substance-case")
		}
	}
	if s != "" && (s[0] == ' ' || s[len(s)-1] == ' ') {
		return invalid("substance-case")
	}
	return checkText("substance", s, 1, maxName)
}

// Weight is the patient's body weight in grams. Asked says that whoever entered
// it was asked whether it is right.
type Weight struct {
	Grams      uint32 `json:"grams"`
	Asked      bool   `json:"asked,omitempty"`
	Supersedes []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindWeight.
func (*Weight) Kind() Kind { return KindWeight }

func (w *Weight) fields(f *fields) {
	number(f, 1, &w.Grams)
	flag(f, 2, &w.Asked)
	refs(f, 3, &w.Supersedes)
}

// Validate holds Grams to 1..MaxGrams.
func (w *Weight) Validate() error {
	if w.Grams == 0 || w.Grams > MaxGrams {
		return invalid("weight-range").WithInt("max", MaxGrams/1000)
	}
	return checkSupersedes(w.Supersedes)
}

// Dosed is anaesthetic that was given: of an agent or of a label, in µL and
// % × 1000, with a vasoconstrictor of 1:Ratio, 0 for none. Tumescent says that
// it was given under the dilute regime that the lead chose, Earlier that it was
// given before it was entered, on the same day; it counts all the same. Asked says
// that whoever entered it was asked whether it is right.
type Dosed struct {
	Agent     Ref    `json:"agent,omitzero"`
	Label     Label  `json:"label"`
	VolumeUL  uint32 `json:"volumeUl"`
	Strength  uint32 `json:"strength"`
	Ratio     uint32 `json:"ratio"`
	Site      string `json:"site,omitempty"`
	Tumescent bool   `json:"tumescent,omitempty"`
	Earlier   bool   `json:"earlier,omitempty"`
	Asked     bool   `json:"asked,omitempty"`
}

// Kind is KindDosed.
func (*Dosed) Kind() Kind { return KindDosed }

func (d *Dosed) fields(f *fields) {
	ref(f, 1, &d.Agent, KindAgent)
	number(f, 2, &d.Label)
	number(f, 3, &d.VolumeUL)
	number(f, 4, &d.Strength)
	number(f, 5, &d.Ratio)
	text(f, 6, &d.Site)
	flag(f, 7, &d.Tumescent)
	flag(f, 8, &d.Earlier)
	flag(f, 9, &d.Asked)
}

// Validate needs an agent or a label, and not both, and a volume, strength and
// ratio that can be.
func (d *Dosed) Validate() error {
	switch {
	case d.Agent.IsZero() == (d.Label == 0), d.Label > Labels:
		return invalid("dose-agent")
	case d.VolumeUL == 0 || d.VolumeUL > MaxVolumeUL:
		return invalid("dose-volume").WithInt("max", MaxVolumeUL/1000)
	case d.Strength == 0 || d.Strength > MaxStrength:
		return invalid("dose-strength").WithInt("max", MaxStrength/1000)
	}
	return first(checkRange("vasoconstrictor", d.Ratio, 0, MaxRatio), checkText("site", d.Site, 0, maxSite))
}

// DoseRule is what the lead says of one substance, as a whole: whether its plain
// doses and those with epinephrine are held apart, each to its own limit; and
// the dilute regime that was chosen, with a limit of PerKgUG µg/kg for a solution
// of Strength % × 1000 and its source, none when PerKgUG is 0.
type DoseRule struct {
	Substance  string `json:"substance"`
	Apart      bool   `json:"apart,omitempty"`
	PerKgUG    uint32 `json:"perKgUg"`
	Strength   uint32 `json:"strength"`
	Source     string `json:"source,omitempty"`
	Reason     string `json:"reason"`
	Supersedes []Ref  `json:"supersedes,omitempty"`
}

// Kind is KindDoseRule.
func (*DoseRule) Kind() Kind { return KindDoseRule }

func (r *DoseRule) fields(f *fields) {
	text(f, 1, &r.Substance)
	flag(f, 2, &r.Apart)
	number(f, 3, &r.PerKgUG)
	number(f, 4, &r.Strength)
	text(f, 5, &r.Source)
	text(f, 6, &r.Reason)
	refs(f, 7, &r.Supersedes)
}

// Validate needs a substance and a reason; a regime needs a limit, a strength
// and a source.
func (r *DoseRule) Validate() error {
	if (r.PerKgUG == 0) != (r.Strength == 0) || (r.PerKgUG == 0) != (r.Source == "") {
		return invalid("regime-part")
	}
	return first(checkSubstance(r.Substance), checkRange("limit by weight", r.PerKgUG, 0, maxPerKg),
		checkRange("strength", r.Strength, 0, MaxStrength), checkLines("source", r.Source, 0, maxText),
		checkLines("reason", r.Reason, 1, maxText), checkSupersedes(r.Supersedes))
}
