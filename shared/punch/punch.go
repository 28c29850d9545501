// Package punch answers: what does a punch set-up do, and which one is on? It
// keeps the set-ups of a session and what was chosen in each pass.
package punch

import "rootledger/shared/event"

// piNum / piDen is π within 2 parts in 10^16, a convergent of its continued
// fraction. Products below stay under 2^63: the largest is that of a rim speed,
// piNum × 3,000 µm × 30,000 turns a minute.
const (
	piNum = 245_850_922
	piDen = 78_256_779
)

// The usual whole cycle in ms (common practice, no source).
const (
	CommonLowMs  = 500
	CommonHighMs = 600
)

// Derived is what follows from a set-up. Whole numbers, each to the nearest.
type Derived struct {
	CycleMs      int64  `json:"cycleMs"`      // one attempt: the wait and all steps
	Common       bool   `json:"common"`       // inside the usual cycle, its ends included
	CommonLowMs  int64  `json:"commonLowMs"`  // the usual cycle, from
	CommonHighMs int64  `json:"commonHighMs"` // and to
	WoundUM2     int64  `json:"woundUm2"`     // π d² / 4, µm²
	Steps        []Step `json:"steps"`
}

// Step is one step of a set-up, and when it begins.
type Step struct {
	Motion    event.Motion `json:"motion"`
	ArcDeg    int64        `json:"arcDeg"`       // 0: it does not oscillate
	RPM       int64        `json:"rpm"`          // 0: not known
	Power     int64        `json:"powerPercent"` // 0: none given
	StartMs   int64        `json:"startMs"`      // after the trigger
	Ms        int64        `json:"ms"`           // how long it lasts
	RimUMPerS int64        `json:"rimUmPerS"`    // speed of the edge, µm/s; 0: not known
	StrokeUM  int64        `json:"strokeUm"`     // way of the edge in one stroke, µm; 0: none
}

// Derive works out what follows from a valid set-up:
//
//	cycle  = wait + Σ steps
//	rim    = π d rpm / 60           where rpm is given
//	stroke = π d arc / 360          of an oscillation
//	wound  = π d² / 4
//
// (mechanics and geometry).
func Derive(s *event.Setup) Derived {
	d := int64(s.DiameterUM)
	out := Derived{CycleMs: int64(s.WaitMs), CommonLowMs: CommonLowMs, CommonHighMs: CommonHighMs, WoundUM2: pi(d*d, 4),
		Steps: make([]Step, len(s.Motions))}
	for i, motion := range s.Motions {
		arc, rpm, ms := int64(s.ArcsDeg[i]), int64(s.RPM[i]), int64(s.StepsMs[i])
		out.Steps[i] = Step{Motion: motion, ArcDeg: arc, RPM: rpm, Power: int64(s.Power[i]), StartMs: out.CycleMs, Ms: ms,
			RimUMPerS: pi(d*rpm, 60), StrokeUM: Stroke(d, arc, 1)}
		out.CycleMs += ms
	}
	out.Common = out.CycleMs >= CommonLowMs && out.CycleMs <= CommonHighMs
	return out
}

// Stroke is π d arc / 360 in parts of a µm, to the nearest, of a punch of
// diameterUM µm and an arc in degrees, both within a set-up's bounds; parts <= 100.
func Stroke(diameterUM, arcDeg, parts int64) int64 { return pi(diameterUM*arcDeg*parts, 360) }

// pi is π × product / by to the nearest, product >= 0.
func pi(product, by int64) int64 {
	by *= piDen
	return (2*product*piNum + by) / (2 * by)
}
