package published

import (
	"rootledger/shared/event"
	"rootledger/shared/punch"
	"rootledger/shared/session"
	"rootledger/shared/stats"
)

var (
	_ = claim("fisher-tea", fisher)
	_ = claim("fisher-nurses", fisher)
	_ = claim("fisher-a", fisher)
	_ = claim("beta-b-over-a", betaOver)
	_ = claim("rim-speed", rimSpeed)
	_ = claim("stroke-path", strokePath)
	_ = claim("cycle-common", cycleCommon)
)

func fisher(p *probe) {
	var in struct{ Table [2][2]int64 }
	var want struct {
		Right *float64 // one-sided, where the source prints it
		Two   float64  `json:"two_sided"`
	}
	p.read(&in, &want)
	a, b := in.Table[0], in.Table[1]
	two, right := stats.Fisher(a[0], a[0]+a[1], b[0], b[0]+b[1])
	p.near("two-sided", two, want.Two)
	if want.Right != nil {
		p.near("right", right, *want.Right)
	}
}

func betaOver(p *probe) {
	var in struct{ A, B [2]int64 }
	var want struct {
		P float64 `json:"p_b_gt_a"`
	}
	p.read(&in, &want)
	p.near("P(B > A)", stats.Larger(stats.Beta{A: in.A[0], B: in.A[1]}, stats.Beta{A: in.B[0], B: in.B[1]}), want.P)
}

// derived is what follows from a set-up of some steps.
func derived(p *probe, mm float64, wait uint32, motion event.Motion, arc, rpm uint32, stepsMs ...uint32) punch.Derived {
	p.Helper()
	f := &event.Setup{Name: "A", DiameterUM: uint32(mm*1000 + 0.5), WaitMs: wait, StepsMs: stepsMs}
	for range stepsMs {
		f.Motions, f.ArcsDeg, f.RPM, f.Power = append(f.Motions, motion), append(f.ArcsDeg, arc), append(f.RPM, rpm), append(f.Power, 0)
	}
	draft, err := session.DraftSetup(f)
	if err != nil {
		p.Fatal(err)
	}
	return draft.Derived
}

func rimSpeed(p *probe) {
	var in struct {
		MM  float64
		RPM uint32
	}
	var want struct {
		Speed float64 `json:"mm_per_s"`
	}
	p.read(&in, &want)
	got := derived(p, in.MM, 0, event.Rotation, 0, in.RPM, 200)
	p.near("mm/s", float64(got.Steps[0].RimUMPerS)/1000, want.Speed)
}

func strokePath(p *probe) {
	var in struct {
		MM  float64
		Arc uint32 `json:"arc_deg"`
	}
	var want struct{ MM float64 }
	p.read(&in, &want)
	um := int64(in.MM*1000 + 0.5)
	p.near("mm", float64(punch.Stroke(um, int64(in.Arc), 10))/10_000, want.MM)
	p.same("µm of the View", derived(p, in.MM, 0, event.Oscillation, in.Arc, 0, 200).Steps[0].StrokeUM, int64(want.MM*1000+0.5))
}

func cycleCommon(p *probe) {
	var in struct {
		Wait  uint32   `json:"wait_ms"`
		Steps []uint32 `json:"steps_ms"`
	}
	var want struct {
		Cycle  int64 `json:"cycle_ms"`
		Common bool  `json:"inside_common_500_600"`
	}
	p.read(&in, &want)
	got := derived(p, 0.9, in.Wait, event.Rotation, 0, 0, in.Steps...)
	p.same("ms", got.CycleMs, want.Cycle)
	p.holds("inside the usual cycle", got.Common, want.Common)
}
