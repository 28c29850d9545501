package donor

import (
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// Wanted numbers: computed from the definitions.
func TestMeasure(t *testing.T) {
	// 100 cm² of 80 units of 2.15 hairs: 8,000 units, 172 hairs per cm².
	full := event.Region{AreaMM2: 10_000, Density10: 800, SharePerMille: 250, HairsPerUnit100: 215}
	with := func(change func(*event.Region)) event.Region { f := full; change(&f); return f }
	tests := []struct {
		name    string
		region  event.Region
		punched int64
		want    Density
	}{
		{"nothing taken", full, 0, Density{Known: true, Native1000: 8_000_000, ResidualUnits10: 800, HairsKnown: true, ResidualHairs10: 1720}},
		{"one taken: all is rounded to the safe side", full, 1, Density{Known: true, Native1000: 8_000_000, Attempts10: 1, Share10000: 2,
			ResidualUnits10: 799, HairsKnown: true, ResidualHairs10: 1719}}, // 1.25 in 10,000; 79.99 units, 171.98 hairs
		{"as much as the share", full, 2000, Density{Known: true, Native1000: 8_000_000, Attempts10: 200, Share10000: 2500,
			ResidualUnits10: 600, HairsKnown: true, ResidualHairs10: 1290}},
		{"one more", full, 2001, Density{Known: true, Native1000: 8_000_000, Attempts10: 201, Share10000: 2502, PastShare: true,
			ResidualUnits10: 599, HairsKnown: true, ResidualHairs10: 1289}},
		{"harvested before counts, punched alone is the day's", with(func(f *event.Region) { f.Harvested = 1500 }), 501,
			Density{Known: true, Native1000: 8_000_000, Attempts10: 51, Share10000: 2502, PastShare: true, ResidualUnits10: 599, HairsKnown: true, ResidualHairs10: 1289}},
		{"today's density: 9,500 were native", with(func(f *event.Region) { f.Harvested, f.Today = 1500, true }), 500,
			Density{Known: true, Native1000: 9_500_000, Attempts10: 50, Share10000: 2106, ResidualUnits10: 750, HairsKnown: true, ResidualHairs10: 1612}},
		{"just at the floor of 105", with(func(f *event.Region) { f.HairsPerUnit100 = 210 }), 3000, Density{Known: true, Native1000: 8_000_000, Attempts10: 300,
			Share10000: 3750, PastShare: true, ResidualUnits10: 500, HairsKnown: true, ResidualHairs10: 1050}},
		{"a trace below it", with(func(f *event.Region) { f.HairsPerUnit100 = 210 }), 3001, Density{Known: true, Native1000: 8_000_000, Attempts10: 301,
			Share10000: 3752, PastShare: true, ResidualUnits10: 499, HairsKnown: true, ResidualHairs10: 1049, BelowFloor: true}},
		{"hairs per unit not known", with(func(f *event.Region) { f.HairsPerUnit100 = 0 }), 3001, Density{Known: true, Native1000: 8_000_000, Attempts10: 301,
			Share10000: 3752, PastShare: true, ResidualUnits10: 499}},
		{"more taken than grew there", full, 8001, Density{Known: true, Native1000: 8_000_000, Attempts10: 801, Share10000: 10_002, PastShare: true,
			ResidualUnits10: -1, HairsKnown: true, ResidualHairs10: -1, BelowFloor: true}},
		{"a counter that ran back", full, -7, Density{Known: true, Native1000: 8_000_000, Attempts10: 0, Share10000: -8,
			ResidualUnits10: 800, HairsKnown: true, ResidualHairs10: 1721}},
		{"a large region emptied", event.Region{AreaMM2: 200_000, Density10: 3000, SharePerMille: 1000, HairsPerUnit100: 600}, 600_000,
			Density{Known: true, Native1000: 600_000_000, Attempts10: 3000, Share10000: 10_000, HairsKnown: true, BelowFloor: true}},
		{"no area", with(func(f *event.Region) { f.AreaMM2 = 0 }), 100, Density{}},
		{"no density", with(func(f *event.Region) { f.Density10 = 0 }), 100, Density{}},
		{"no density today, some taken before", with(func(f *event.Region) { f.Density10, f.Harvested, f.Today = 0, 900, true }), 100, Density{}},
		{"no share set", with(func(f *event.Region) { f.SharePerMille = 0 }), 2000, Density{Known: true, Native1000: 8_000_000, Attempts10: 200, Share10000: 2500,
			ResidualUnits10: 600, HairsKnown: true, ResidualHairs10: 1290}},
		{"nothing", event.Region{}, 100, Density{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Measure(&tt.region, tt.punched, DefaultFloor10); got != tt.want {
				t.Errorf("got  %+v\nwant %+v", got, tt.want)
			}
		})
	}
}

func equals(f Fraction, num, den int64) bool {
	return f.Den > 0 && big.NewRat(f.Num, f.Den).Cmp(big.NewRat(num, den)) == 0
}

// Bernstein RM, Rassman WR, Dermatol Surg 1997;23:785-799 (read in the
// abstract): a scalp of 500 cm² with one unit per mm² of two hairs each has
// 50,000 units and 100,000 hairs.
func TestAWholeScalp(t *testing.T) {
	f := event.Region{AreaMM2: 50_000, Density10: 1000, SharePerMille: 250, HairsPerUnit100: 200}
	if got := Native(&f); got != 50_000*1000 {
		t.Errorf("got %d thousandths of a unit, want 50,000 units", got)
	}
	if got := ResidualHairs(&f, 0); !equals(got, 10*100_000, 500) {
		t.Errorf("got %v hairs per cm² × 10, want 100,000 on 500 cm²", got)
	}
}

// PMC6066700 (ten men, 0.9 mm punch, read in the abstract): of 154.76 hairs per
// cm² 54.85 were removed, 35.44 %. 73 units of 2.12 hairs are as many hairs,
// and of 212 cm² 5,485 such units are the same share. What stands, 99.91, is
// below the floor of Okochi M et al. 2020.
func TestAShareThatWasRemoved(t *testing.T) {
	f := event.Region{AreaMM2: 21_200, Density10: 730, SharePerMille: 250, HairsPerUnit100: 212}
	if got := ResidualHairs(&f, 0); !equals(got, 10*15_476, 100) {
		t.Errorf("got %v × 10 at first, want 154.76", got)
	}
	if got := ResidualHairs(&f, 5485); !equals(got, 10*9991, 100) {
		t.Errorf("got %v × 10 in the end, want 99.91", got)
	}
	if got := Share(&f, 5485); !equals(got, 5485, 15_476) { // 0.35442
		t.Errorf("got %v, want 5,485 of 15,476", got)
	}
	d := Measure(&f, 5485, DefaultFloor10)
	if d.Share10000 != 3545 || d.ResidualHairs10 != 999 || !d.BelowFloor || !d.PastShare {
		t.Errorf("got %+v, want 35.45 %% rounded up, 99.9 rounded down, below the floor, past the share", d)
	}
}

func TestMeasureErrsOnTheSafeSide(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := func(name string, lo, hi uint32) uint32 { return rapid.Uint32Range(lo, hi).Draw(rt, name) }
		f := event.Region{AreaMM2: n("area", 1, 200_000), Density10: n("density", 1, 3000), SharePerMille: n("share", 1, 1000),
			Harvested: n("harvested", 0, 50_000), Today: rapid.Bool().Draw(rt, "today"), HairsPerUnit100: n("hairs", 100, 600)}
		punched, floor := int64(n("punched", 0, 100_000)), int64(n("floor", 0, 5000))
		d := Measure(&f, punched, floor)
		native := big.NewRat(int64(f.AreaMM2)*int64(f.Density10), 1000)
		if f.Today {
			native.Add(native, big.NewRat(int64(f.Harvested), 1))
		}
		taken := big.NewRat(int64(f.Harvested)+punched, 1)
		times := func(a *big.Rat, num, den int64) *big.Rat { return new(big.Rat).Mul(a, big.NewRat(num, den)) }
		share := new(big.Rat).Quo(taken, native)
		units := times(new(big.Rat).Sub(native, taken), 1000, int64(f.AreaMM2))
		hairs := times(units, int64(f.HairsPerUnit100), 100)
		between := func(name string, got int64, exact *big.Rat, least, most int64) { // got − exact is above least and below most, one of them zero
			off := new(big.Rat).Sub(big.NewRat(got, 1), exact)
			if off.Cmp(big.NewRat(least, 1)) < 0 || off.Cmp(big.NewRat(most, 1)) > 0 || off.Cmp(big.NewRat(least+most, 1)) == 0 {
				rt.Fatalf("%s: got %d for %s", name, got, exact.FloatString(4))
			}
		}
		between("share", d.Share10000, times(share, 10_000, 1), 0, 1)
		between("attempts", d.Attempts10, big.NewRat(1000*punched, int64(f.AreaMM2)), 0, 1)
		between("units", d.ResidualUnits10, units, -1, 0)
		between("hairs", d.ResidualHairs10, hairs, -1, 0)
		if past := share.Cmp(big.NewRat(int64(f.SharePerMille), 1000)) > 0; d.PastShare != past || past != (punched > Capacity(&f)) {
			rt.Fatalf("past the share: got %v, %d of %d punched", d.PastShare, punched, Capacity(&f))
		}
		if below := hairs.Cmp(big.NewRat(floor, 1)) < 0; d.BelowFloor != below {
			rt.Fatalf("below the floor of %d: got %v for %s", floor, d.BelowFloor, hairs.FloatString(4))
		}
	})
}

func TestFloorsMadeApart(t *testing.T) {
	floor := func(hairs uint32, of ...event.Ref) *event.Floor {
		return &event.Floor{HairsPerCM2x10: hairs, Supersedes: of}
	}
	first := made(1, 1, 1, floor(1200))
	low, high := made(1, 2, 5, floor(900, first.Ref())), made(2, 1, 4, floor(1300, first.Ref()))
	none := made(1, 3, 9, floor(0, low.Ref(), high.Ref()))
	tests := []struct {
		name   string
		events []*event.Event
		want   int64
		heads  []event.Ref
	}{
		{"none set", nil, 1050, nil},
		{"other kinds", []*event.Event{made(1, 1, 1, &event.Note{Text: "no floor"})}, 1050, nil},
		{"one", []*event.Event{first}, 1200, []event.Ref{first.Ref()}},
		{"a lower one instead", []*event.Event{first, low}, 900, []event.Ref{low.Ref()}},
		{"two apart: the higher", []*event.Event{first, low, high}, 1300, []event.Ref{low.Ref(), high.Ref()}},
		{"the other way round", []*event.Event{high, low, first}, 1300, []event.Ref{low.Ref(), high.Ref()}},
		{"decided: no floor at all", []*event.Event{none, high, low, first}, 0, []event.Ref{none.Ref()}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := donorOf(tt.events...)
			if got := d.Floor10(); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
			if got := d.FloorHeads(); !slices.Equal(got, tt.heads) {
				t.Errorf("got heads %v, want %v", got, tt.heads)
			}
			if got := d.FloorsStanding(); len(got) != len(tt.heads) || len(got) > 0 && int64(got[0].Value.HairsPerCM2x10) != tt.want {
				t.Errorf("got %v standing, want %d, the one that counts first", got, len(tt.heads))
			}
		})
	}
}
