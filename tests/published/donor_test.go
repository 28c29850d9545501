package published

import (
	"rootledger/shared/donor"
	"rootledger/shared/event"
)

var (
	_ = claim("donor-capacity", donorCapacity)
	_ = claim("donor-bernstein", donorScalp)
	_ = claim("donor-share-removed", donorShareRemoved)
)

func ratio(f donor.Fraction) float64 { return float64(f.Num) / float64(f.Den) }

func donorCapacity(p *probe) {
	var in struct {
		Area    float64 `json:"area_cm2"`
		Density float64
		Share   float64
	}
	var want struct{ Capacity int64 }
	p.read(&in, &want)
	p.same("capacity", donor.Capacity(&event.Region{AreaMM2: uint32(p.whole("area", 100*in.Area)),
		Density10: uint32(p.whole("density", 10*in.Density)), SharePerMille: uint32(p.whole("share", 1000*in.Share))}), want.Capacity)
}

func donorScalp(p *probe) {
	var in struct {
		Area  float64 `json:"scalp_cm2"`
		Units float64 `json:"fu_per_mm2"`
		Hairs float64 `json:"hairs_per_fu"`
	}
	var want struct{ FU, Hairs int64 }
	p.read(&in, &want)
	scalp := event.Region{AreaMM2: uint32(p.whole("area", 100*in.Area)), Density10: uint32(p.whole("density", 1000*in.Units)),
		HairsPerUnit100: uint32(p.whole("hairs", 100*in.Hairs))}
	p.same("thousandths of a unit", donor.Native(&scalp), 1000*want.FU)
	p.same("hairs", p.whole("hairs", ratio(donor.ResidualHairs(&scalp, 0))/10*in.Area), want.Hairs)
}

// A density of hairs becomes one of units of 2.12 hairs, of which both the
// native and the removed hairs make a whole number on 212 cm².
func donorShareRemoved(p *probe) {
	const hairsPerUnit, area = 2.12, 212
	var in struct {
		Start   float64 `json:"start_hairs_cm2"`
		Removed float64 `json:"removed_hairs_cm2"`
	}
	var want struct {
		Share, Residual float64
		Below           bool `json:"below_floor_105"`
	}
	p.read(&in, &want)
	region := event.Region{AreaMM2: 100 * area, Density10: uint32(p.whole("density", 10*in.Start/hairsPerUnit)),
		SharePerMille: 1000, HairsPerUnit100: 100 * hairsPerUnit}
	punched := p.whole("units", in.Removed*area/hairsPerUnit)
	p.near("share", ratio(donor.Share(&region, punched)), want.Share)
	p.near("residual", ratio(donor.ResidualHairs(&region, punched))/10, want.Residual)
	p.holds("below the floor", donor.Measure(&region, punched, donor.DefaultFloor10).BelowFloor, want.Below)
	p.same("floor", donor.DefaultFloor10, 1050)
}
