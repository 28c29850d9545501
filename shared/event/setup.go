package event

import "slices"

// Motion is how a punch moves in one step of a set-up.
type Motion uint8

// The motions.
const (
	Rotation    Motion = iota + 1 // round and round
	Oscillation                   // to and fro by an arc
	Vibration                     // along or across, without an arc
)

var motionNames = [...]string{"", "rotation", "oscillation", "vibration"}

// String is the motion's name.
func (m Motion) String() string { return nameOf(motionNames[:], uint8(m)) }

// MarshalText writes the motion's name.
func (m Motion) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// ParseMotion finds a motion by name.
func ParseMotion(name string) (Motion, bool) {
	i, ok := parseName(motionNames[:], name)
	return Motion(i), ok
}

// Bounds of a set-up: wide enough for every device, narrow enough to stop a
// slip of the keys. None is a clinical limit.
const (
	minDiameterUM = 200
	MaxSteps      = 8      // steps of one set-up
	MaxStepMs     = 5_000  // ms of one step, and of the wait before the first
	maxArcDeg     = 3_600  // degrees of one stroke: ten turns
	maxRPM        = 30_000 // turns a minute
	maxPower      = 100    // per cent
)

// Setup is one punch set-up: a diameter, an edge, a wait, and what the punch
// does then, step by step. It never changes; one that is made anew Replaces the
// one before, which is then no longer offered. A void takes it from the choice;
// what was counted with it still counts.
//
// The lists are as long as Motions, one entry a step: the arc of a stroke in
// degrees, needed for an oscillation and 0 otherwise (it may pass 360); turns a
// minute, 0 if unknown and for a vibration; power in per cent, 0 if none is
// given; and how long the step lasts in ms.
type Setup struct {
	Name       string   `json:"name"`
	DiameterUM uint32   `json:"diameterUm"`
	Edge       string   `json:"edge,omitempty"` // the clinic's own word
	WaitMs     uint32   `json:"waitMs"`
	Motions    []Motion `json:"motions"`
	ArcsDeg    []uint32 `json:"arcsDeg"`
	RPM        []uint32 `json:"rpm"`
	Power      []uint32 `json:"powerPercent"`
	StepsMs    []uint32 `json:"stepsMs"`
	Replaces   Ref      `json:"replaces,omitzero"`
}

// Kind is KindSetup.
func (*Setup) Kind() Kind { return KindSetup }

func (s *Setup) fields(f *fields) {
	text(f, 1, &s.Name)
	number(f, 2, &s.DiameterUM)
	text(f, 3, &s.Edge)
	number(f, 4, &s.WaitMs)
	numbers(f, 5, &s.Motions)
	numbers(f, 6, &s.ArcsDeg)
	numbers(f, 7, &s.RPM)
	numbers(f, 8, &s.Power)
	numbers(f, 9, &s.StepsMs)
	ref(f, 10, &s.Replaces, KindSetup)
}

// Validate holds the punch to 200..3,000 µm, the wait to at most MaxStepMs, and
// the steps to 1..MaxSteps of 1..MaxStepMs each.
func (s *Setup) Validate() error {
	n := len(s.Motions)
	if n == 0 || n > MaxSteps {
		return invalid("setup-steps").WithInt("got", int64(n)).WithInt("max", MaxSteps)
	}
	for _, list := range [...][]uint32{s.ArcsDeg, s.RPM, s.Power, s.StepsMs} {
		if len(list) != n {
			return invalid("setup-uneven")
		}
	}
	if s.WaitMs > MaxStepMs {
		return invalid("setup-wait").WithInt("got", int64(s.WaitMs)).WithInt("max", MaxStepMs)
	}
	for i := range s.Motions {
		if err := s.checkStep(i); err != nil {
			return err
		}
	}
	return first(checkText("name of the set-up", s.Name, 1, maxName), checkText("edge", s.Edge, 0, MaxLabel),
		checkRange("punch diameter in µm", s.DiameterUM, minDiameterUM, maxDiameterUM))
}

// checkStep holds one step to its bounds, and to what its motion can have.
func (s *Setup) checkStep(i int) error {
	motion, arc, rpm := s.Motions[i], s.ArcsDeg[i], s.RPM[i]
	step := int64(i + 1)
	switch {
	case motion < Rotation || motion > Vibration:
		return invalid("motion-unknown").WithInt("step", step)
	case s.StepsMs[i] == 0 || s.StepsMs[i] > MaxStepMs:
		return invalid("step-ms").WithInt("step", step).WithInt("got", int64(s.StepsMs[i])).WithInt("max", MaxStepMs)
	case motion == Oscillation && (arc == 0 || arc > maxArcDeg), motion != Oscillation && arc != 0:
		return invalid("step-arc").WithInt("step", step).WithInt("got", int64(arc)).WithInt("max", maxArcDeg)
	case rpm > maxRPM, motion == Vibration && rpm != 0:
		return invalid("step-rpm").WithInt("step", step).WithInt("got", int64(rpm)).WithInt("max", maxRPM)
	case s.Power[i] > maxPower:
		return invalid("step-power").WithInt("step", step).WithInt("got", int64(s.Power[i]))
	}
	return nil
}

// SetupChosen says that from now on a set-up is on in a pass; the newest choice
// that stands counts. In a trial, Turn is which turn of it begins, from 1.
type SetupChosen struct {
	Pass  Ref    `json:"pass"`
	Setup Ref    `json:"setup"`
	Trial Ref    `json:"trial,omitzero"`
	Turn  uint32 `json:"turn,omitempty"`
}

// Kind is KindSetupChosen.
func (*SetupChosen) Kind() Kind { return KindSetupChosen }

func (c *SetupChosen) fields(f *fields) {
	ref(f, 1, &c.Pass, KindPassBegun)
	ref(f, 2, &c.Setup, KindSetup)
	ref(f, 3, &c.Trial, KindTrial)
	number(f, 4, &c.Turn)
}

// MaxTurns is how many turns one trial may take: each an attempt or more of the
// longest day.
const MaxTurns = 5_000

// Validate needs a pass and a set-up, and a turn of 1..MaxTurns just where there
// is a trial.
func (c *SetupChosen) Validate() error {
	if c.Trial.IsZero() != (c.Turn == 0) || c.Turn > MaxTurns {
		return invalid("turn-range").WithInt("got", int64(c.Turn)).WithInt("max", MaxTurns)
	}
	return first(checkNeeded("pass", c.Pass), checkNeeded("setup", c.Setup))
}

// hasTwice says whether a list names one event twice.
func hasTwice(list []Ref) bool {
	for i, one := range list {
		if slices.Contains(list[:i], one) {
			return true
		}
	}
	return false
}
