package published

import (
	"math"

	"rootledger/shared/budget"
	"rootledger/shared/event"
	"rootledger/shared/plan"
)

var (
	_ = claim("plan-zones", planZones)
	_ = claim("plan-shortfall", planShortfall)
)

// whole is a float of a check in the whole units that the figures take.
func (p *probe) whole(what string, f float64) int64 {
	p.Helper()
	n := math.Round(f)
	if math.Abs(f-n) > 1e-6 {
		p.Fatalf("%s: %s of %v has no whole number", p.ID, what, f)
	}
	return int64(n)
}

func planZones(p *probe) {
	var in struct{ Zones [][2]float64 } // cm², grafts per cm²
	var want struct {
		Need  []int64
		Total int64
	}
	p.read(&in, &want)
	p.same("zones", int64(len(in.Zones)), int64(len(want.Need)))
	var total int64
	for i, zone := range in.Zones {
		need := plan.Need(&event.Zone{AreaMM2: uint32(p.whole("area", 100*zone[0])), Density10: uint32(p.whole("density", 10*zone[1]))})
		p.same("need", need, want.Need[i])
		total += need
	}
	p.same("total", total, want.Total)
}

func planShortfall(p *probe) {
	var in struct {
		Need     int64
		Capacity int64   `json:"donor_capacity"`
		Yield    float64 `json:"planned_yield"`
	}
	var want struct {
		Budget    int64 `json:"budget_max"`
		Shortfall int64
		By        string `json:"limited_by"`
	}
	p.read(&in, &want)
	got := budget.LimitOf(in.Need, true, in.Capacity, true, p.whole("yield", 1000*in.Yield))
	p.same("budget", got.Grafts, want.Budget)
	p.same("shortfall", got.Shortfall, want.Shortfall)
	p.holds("limited by "+want.By, got.By.String() == want.By, true)
}
