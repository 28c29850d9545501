package donor

import (
	"cmp"

	"rootledger/shared/event"
)

// DefaultFloor10 is the floor until the lead sets one: 105 hairs per cm², × 10
// (Okochi M, Fukushima T, Okochi H et al., J Plast Surg Hand Surg 2020, of 103
// men: read in the abstract).
const DefaultFloor10 = 1050

// Floor10 is the residual density that no region should fall below, in hairs
// per cm² × 10; of several standing edits the largest.
func (d *Donor) Floor10() int64 {
	standing := d.FloorsStanding()
	if len(standing) == 0 {
		return DefaultFloor10
	}
	return int64(standing[0].Value.HairsPerCM2x10)
}

// FloorsStanding lists the standing floor edits, the largest first: the one
// that counts, for it warns first.
func (d *Donor) FloorsStanding() []event.Edit[*event.Floor] {
	return d.floor.Sorted(func(a, b *event.Floor) int { return cmp.Compare(b.HairsPerCM2x10, a.HairsPerCM2x10) })
}

// FloorHeads are the standing floor edits, what a new one supersedes.
func (d *Donor) FloorHeads() []event.Ref { return d.floor.Heads() }

// Fraction is an exact rational, Den > 0; with Den 0 it is unknown.
type Fraction struct{ Num, Den int64 }

// Native is the units that grew in a region before any harvest, exact, in
// thousandths of a unit: area × density, and those harvested where only
// today's density is known. 0 when area or density is.
func Native(f *event.Region) int64 {
	thousandths := int64(f.AreaMM2) * int64(f.Density10)
	if f.Today && thousandths > 0 {
		thousandths += 1000 * int64(f.Harvested)
	}
	return thousandths
}

// Share is how much of the native units is taken: harvested before + punched
// in this session, of all that grew there.
func Share(f *event.Region, punched int64) Fraction {
	return Fraction{1000 * (int64(f.Harvested) + punched), Native(f)}
}

// ResidualUnits is what stands after punched attempts, in units per cm² × 10.
func ResidualUnits(f *event.Region, punched int64) Fraction {
	native := Native(f)
	if native == 0 {
		return Fraction{}
	}
	return Fraction{native - 1000*(int64(f.Harvested)+punched), int64(f.AreaMM2)}
}

// ResidualHairs is the same in hairs per cm² × 10, unknown where the hairs per
// unit are.
func ResidualHairs(f *event.Region, punched int64) Fraction {
	units := ResidualUnits(f, punched)
	if units.Den == 0 || f.HairsPerUnit100 == 0 {
		return Fraction{}
	}
	return Fraction{units.Num * int64(f.HairsPerUnit100), 100 * units.Den}
}

// Density is what a region has given and what stands there. Each figure is
// rounded to the side that warns earlier. Without an area or a density nothing
// is Known and without the hairs per unit no hairs are: 0 and false. One attempt takes one unit. A residual below zero says that
// more was taken than the region's area and density have: a finding.
type Density struct {
	Known           bool
	Native1000      int64 // units that grew there, in thousandths, exact
	Attempts10      int64 // punched in this session per cm² × 10, rounded up
	Share10000      int64 // harvested before + punched, parts in 10,000 of the native units, rounded up
	PastShare       bool  // more was taken than the lead's share, exactly
	ResidualUnits10 int64 // units per cm² × 10, rounded down
	HairsKnown      bool
	ResidualHairs10 int64 // hairs per cm² × 10, rounded down
	BelowFloor      bool  // fewer hairs stand than the floor, exactly
}

// Measure works one region's figures out, from the edit that counts, the
// attempts punched there, and the floor in hairs per cm² × 10.
func Measure(f *event.Region, punched, floor10 int64) Density {
	share := Share(f, punched)
	if share.Den == 0 {
		return Density{}
	}
	units, hairs := ResidualUnits(f, punched), ResidualHairs(f, punched)
	d := Density{
		Known: true, Native1000: share.Den,
		Attempts10:      ceilDiv(1000*punched, int64(f.AreaMM2)),
		Share10000:      ceilDiv(10_000*share.Num, share.Den),
		PastShare:       f.SharePerMille > 0 && 1000*share.Num > share.Den*int64(f.SharePerMille),
		ResidualUnits10: floorDiv(units.Num, units.Den),
	}
	if hairs.Den > 0 {
		d.HairsKnown, d.ResidualHairs10 = true, floorDiv(hairs.Num, hairs.Den)
		d.BelowFloor = d.ResidualHairs10 < floor10 // the floor is whole tenths, so rounding down decides nothing
	}
	return d
}

// floorDiv is a / b rounded down, b > 0; a may be below zero.
// MeasureAll is Measure of a region while edits that do not know of each other
// stand: of each figure the one that warns first.
func MeasureAll(r Region, punched, floor10 int64) Density {
	worst := Measure(r.Edit, punched, floor10)
	for _, edit := range r.Standing {
		d := Measure(edit.Value, punched, floor10)
		if d.Known && (!worst.Known || d.ResidualUnits10 < worst.ResidualUnits10) {
			worst.Known, worst.Native1000, worst.ResidualUnits10 = true, d.Native1000, d.ResidualUnits10
		}
		if d.HairsKnown && (!worst.HairsKnown || d.ResidualHairs10 < worst.ResidualHairs10) {
			worst.HairsKnown, worst.ResidualHairs10 = true, d.ResidualHairs10
		}
		worst.Attempts10, worst.Share10000 = max(worst.Attempts10, d.Attempts10), max(worst.Share10000, d.Share10000)
		worst.BelowFloor, worst.PastShare = worst.BelowFloor || d.BelowFloor, worst.PastShare || d.PastShare
	}
	return worst
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// ceilDiv is a / b rounded up, b > 0; a may be below zero.
func ceilDiv(a, b int64) int64 { return -floorDiv(-a, b) }
