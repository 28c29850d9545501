package event

// Outcome is what one attempt of the punch gave (society terminology of 2013:
// Mohebi and the ISHRS FUE Research Committee, Hair Transplant Forum Int
// 2013;23(5):165-168, seen second-hand).
type Outcome uint8

// The outcomes.
const (
	Intact  Outcome = iota + 1
	Partial         // partly transected: at least one follicle cut, at least one whole
	Total           // totally transected
	Topped          // only the top came away
	Buried          // pushed under the skin; open until retrieved or declared left
	Empty           // nothing usable recovered
)

// Outcomes is how many outcomes there are.
const Outcomes = 6

var outcomeNames = [...]string{"", "intact", "partial", "total", "topped", "buried", "empty"}

// String is the outcome's name.
func (o Outcome) String() string { return nameOf(outcomeNames[:], uint8(o)) }

// MarshalText writes the outcome's name.
func (o Outcome) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// ParseOutcome finds an outcome by name.
func ParseOutcome(name string) (Outcome, bool) {
	i, ok := parseName(outcomeNames[:], name)
	return Outcome(i), ok
}

// Mode is how a pass is counted, chosen at its start.
type Mode uint8

// The modes.
const (
	Each        Mode = iota + 1 // a tap is an attempt with its outcome
	Pulled                      // readings or a foot key count attempts, taps count outcomes
	ByException                 // as Pulled, and only what is not intact is tapped
)

var modeNames = [...]string{"", "each", "pulled", "exception"}

// String is the mode's name.
func (m Mode) String() string { return nameOf(modeNames[:], uint8(m)) }

// MarshalText writes the mode's name.
func (m Mode) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// ParseMode finds a mode by name.
func ParseMode(name string) (Mode, bool) {
	i, ok := parseName(modeNames[:], name)
	return Mode(i), ok
}

// PassBegun starts one round by one operator with one punch. Operator is empty
// when it is the person who joined on this phone. Diameter in µm, 0 if unknown.
type PassBegun struct {
	Mode       Mode   `json:"mode"`
	DiameterUM uint32 `json:"diameterUm"`
	Operator   string `json:"operator,omitempty"`
}

// Kind is KindPassBegun.
func (*PassBegun) Kind() Kind { return KindPassBegun }

func (p *PassBegun) fields(f *fields) {
	number(f, 1, &p.Mode)
	number(f, 2, &p.DiameterUM)
	text(f, 3, &p.Operator)
}

// Validate holds Mode to a known one and the punch to 0 or 200..3,000 µm.
func (p *PassBegun) Validate() error {
	if p.Mode < Each || p.Mode > ByException {
		return invalid("mode-unknown").WithInt("mode", int64(p.Mode))
	}
	if p.DiameterUM != 0 {
		if err := checkRange("punch diameter", p.DiameterUM, 200, maxDiameterUM); err != nil {
			return err
		}
	}
	return checkText("operator", p.Operator, 0, maxPerson)
}

// PassEnded ends a pass: from then on what is still pending is a difference.
type PassEnded struct {
	Pass Ref `json:"pass"`
}

// Kind is KindPassEnded.
func (*PassEnded) Kind() Kind { return KindPassEnded }

func (p *PassEnded) fields(f *fields) { ref(f, 1, &p.Pass, KindPassBegun) }

// Validate needs a pass.
func (p *PassEnded) Validate() error { return checkNeeded("pass", p.Pass) }

// Fired says that the punch was fired N times, told by a foot key.
type Fired struct {
	Pass   Ref    `json:"pass"`
	Region Ref    `json:"region,omitzero"`
	N      uint32 `json:"n"`
}

// Kind is KindFired.
func (*Fired) Kind() Kind { return KindFired }

func (t *Fired) fields(f *fields) {
	ref(f, 1, &t.Pass, KindPassBegun)
	ref(f, 2, &t.Region, KindRegion)
	number(f, 3, &t.N)
}

// Validate needs a pass and N in 1..MaxFired.
func (t *Fired) Validate() error { return first(checkNeeded("pass", t.Pass), checkN(t.N, MaxFired)) }

// Attempt says that N attempts had this outcome, with which set-up of the punch,
// and in which trial, as it was on the phone that counted: so what comes late
// needs no guess.
type Attempt struct {
	Pass    Ref     `json:"pass"`
	Region  Ref     `json:"region,omitzero"`
	Outcome Outcome `json:"outcome"`
	N       uint32  `json:"n"`
	Setup   Ref     `json:"setup,omitzero"`
	Trial   Ref     `json:"trial,omitzero"` // only beside a set-up
}

// Kind is KindAttempt.
func (*Attempt) Kind() Kind { return KindAttempt }

func (a *Attempt) fields(f *fields) {
	ref(f, 1, &a.Pass, KindPassBegun)
	ref(f, 2, &a.Region, KindRegion)
	number(f, 3, &a.Outcome)
	number(f, 4, &a.N)
	ref(f, 6, &a.Setup, KindSetup) // 5 stands for a later version in a golden file
	ref(f, 7, &a.Trial, KindTrial)
}

// Validate needs a pass, a known outcome and N in 1..MaxEntry, and a set-up
// beside a trial.
func (a *Attempt) Validate() error {
	if a.Outcome < Intact || a.Outcome > Empty {
		return invalid("outcome-unknown").WithInt("outcome", int64(a.Outcome))
	}
	if a.Setup.IsZero() && !a.Trial.IsZero() {
		return checkNeeded("setup", a.Setup)
	}
	return first(checkNeeded("pass", a.Pass), checkN(a.N, MaxEntry))
}

// Direction is which way a device's counter runs.
type Direction uint8

// The directions.
const (
	Up Direction = iota + 1
	Down
)

var directionNames = [...]string{"", "up", "down"}

// String is the direction's name.
func (d Direction) String() string { return nameOf(directionNames[:], uint8(d)) }

// MarshalText writes the direction's name.
func (d Direction) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// ParseDirection finds a direction by name.
func ParseDirection(name string) (Direction, bool) {
	i, ok := parseName(directionNames[:], name)
	return Direction(i), ok
}

// Reading is the absolute value of a device's own counter. The first one of a
// counter is its baseline; each later one closes a stretch, whose advance
// belongs to the region that this reading names.
type Reading struct {
	Pass      Ref       `json:"pass"`
	Region    Ref       `json:"region,omitzero"`
	Counter   string    `json:"counter"`
	Direction Direction `json:"direction"`
	Value     uint32    `json:"value"`
}

// Kind is KindReading.
func (*Reading) Kind() Kind { return KindReading }

func (r *Reading) fields(f *fields) {
	ref(f, 1, &r.Pass, KindPassBegun)
	ref(f, 2, &r.Region, KindRegion)
	text(f, 3, &r.Counter)
	number(f, 4, &r.Direction)
	number(f, 5, &r.Value)
}

// Validate needs a pass, a counter name, a direction, and at most seven digits.
func (r *Reading) Validate() error {
	if r.Direction != Up && r.Direction != Down {
		return invalid("direction-unknown").WithInt("direction", int64(r.Direction))
	}
	return first(checkNeeded("pass", r.Pass), checkText("counter", r.Counter, 1, MaxLabel),
		checkRange("reading", r.Value, 0, MaxCounter))
}

// Retrieved says that N buried or topped grafts came out after all: they are
// out, and no new attempt was made.
type Retrieved struct {
	From   Outcome `json:"from"` // Topped or Buried
	Pass   Ref     `json:"pass"`
	Region Ref     `json:"region,omitzero"`
	N      uint32  `json:"n"`
}

// Kind is KindRetrieved.
func (*Retrieved) Kind() Kind { return KindRetrieved }

func (t *Retrieved) fields(f *fields) {
	number(f, 1, &t.From)
	ref(f, 2, &t.Pass, KindPassBegun)
	ref(f, 3, &t.Region, KindRegion)
	number(f, 4, &t.N)
}

// Validate needs a pass, From Topped or Buried, and N in 1..MaxEntry.
func (t *Retrieved) Validate() error {
	if t.From != Topped && t.From != Buried {
		return invalid("retrieved-from")
	}
	return first(checkNeeded("pass", t.Pass), checkN(t.N, MaxEntry))
}
