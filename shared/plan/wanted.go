package plan

import "rootledger/shared/event"

// Bounds of what Wanted takes: those of a region's density and hairs per unit.
const (
	maxHairs10  = 18_000 // 300 units of 6 hairs per cm², in tenths
	maxShare    = 1_000  // all of the native hairs, in per mille
	maxGraft100 = 600    // 6 hairs per graft, in hundredths
)

// Wanted is the grafts that bring a share of the native density to an area:
//
//	area × native hairs/cm² × share wanted / hairs per graft, rounded up
//
// (Chang SC, Hair Transplant Forum Int 2001;11, seen second-hand), from mm²,
// hairs per cm² × 10, per mille and hairs per graft × 100. known is false when
// one of them is missing (zero or below) or beyond what a head can have.
func Wanted(areaMM2, hairs10, sharePerMille, hairsPerGraft100 int64) (grafts int64, known bool) {
	for _, one := range [][2]int64{{areaMM2, event.MaxAreaMM2}, {hairs10, maxHairs10}, {sharePerMille, maxShare}, {hairsPerGraft100, maxGraft100}} {
		if one[0] < 1 || one[0] > one[1] {
			return 0, false
		}
	}
	num, den := areaMM2*hairs10*sharePerMille, 10_000*hairsPerGraft100
	return (num + den - 1) / den, true
}
