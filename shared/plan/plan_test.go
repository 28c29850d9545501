package plan

import (
	"crypto/sha256"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// made is an event of one replica, as the plan needs it.
func made(replica byte, seq uint64, stamp event.Stamp, fact event.Fact) *event.Event {
	e := &event.Event{Replica: event.ReplicaID{replica}, Seq: seq, Stamp: stamp, Fact: fact}
	e.Hash = sha256.Sum256(event.Encode(e))
	return e
}

func zone(of event.Ref, name string, area, density uint32, supersedes ...event.Ref) *event.Zone {
	return &event.Zone{Of: of, Name: name, AreaMM2: area, Density10: density, Mix: [event.Sizes]uint16{1000}, Supersedes: supersedes}
}

func planOf(events ...*event.Event) *Plan {
	p := new(Plan)
	for _, e := range events {
		p.Add(e, 1)
	}
	return p
}

// Wanted numbers: computed from the definitions.
func TestNeed(t *testing.T) {
	tests := []struct {
		name          string
		area, density uint32 // mm², tenths of grafts per cm²
		want          int64
	}{
		{"12 cm² at 35", 1200, 350, 420},
		{"40 cm² at 40", 4000, 400, 1600},
		{"45 cm² at 30", 4500, 300, 1350},
		{"60 cm² at 20", 6000, 200, 1200},
		{"exactly one", 100, 10, 1},
		{"a little more than one", 101, 10, 2},
		{"a thousandth is one", 1, 1, 1},
		{"the largest zone", 200_000, 3_000, 600_000},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Need(zone(event.Ref{}, "x", tt.area, tt.density)); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
		})
	}
}

func TestNeedOfAllZones(t *testing.T) {
	p := planOf(made(1, 1, 1, zone(event.Ref{}, "hairline", 1200, 350)), made(1, 2, 2, zone(event.Ref{}, "front", 4000, 400)),
		made(1, 3, 3, zone(event.Ref{}, "mid", 4500, 300)), made(1, 4, 4, zone(event.Ref{}, "crown", 6000, 200)))
	var got [4]int64
	total := int64(0)
	for i, z := range p.Zones() {
		got[i] = z.Need.Total()
		total += got[i]
	}
	if want := [4]int64{420, 1600, 1350, 1200}; got != want || total != 4570 {
		t.Errorf("got %v, total %d, want %v, 4570", got, total, want)
	}
}

func TestBySize(t *testing.T) {
	tests := []struct {
		name string
		need int64
		mix  [event.Sizes]uint16
		want event.BySize
	}{
		{"half and half of an odd need", 421, [event.Sizes]uint16{500, 500, 0, 0}, event.BySize{211, 210, 0, 0}},
		{"half and half, larger sizes", 421, [event.Sizes]uint16{0, 0, 500, 500}, event.BySize{0, 0, 211, 210}},
		{"no remainder", 420, [event.Sizes]uint16{300, 500, 200, 0}, event.BySize{126, 210, 84, 0}},
		{"the largest remainder, not the first", 10, [event.Sizes]uint16{120, 260, 620, 0}, event.BySize{1, 3, 6, 0}},
		{"two left over", 11, [event.Sizes]uint16{250, 250, 250, 250}, event.BySize{3, 3, 3, 2}},
		{"a mix of 99.9 %", 1000, [event.Sizes]uint16{333, 333, 333, 0}, event.BySize{334, 333, 333, 0}},
		{"a mix of 100.1 %", 1000, [event.Sizes]uint16{334, 334, 333, 0}, event.BySize{334, 333, 333, 0}},
		{"99.9 % of one size", 421, [event.Sizes]uint16{0, 999, 0, 0}, event.BySize{0, 421, 0, 0}},
		{"no need", 0, [event.Sizes]uint16{500, 500, 0, 0}, event.BySize{}},
		{"no mix", 10, [event.Sizes]uint16{}, event.BySize{}},
		{"one graft", 1, [event.Sizes]uint16{100, 200, 300, 400}, event.BySize{0, 0, 0, 1}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := BySize(tt.need, tt.mix); got != tt.want {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func TestBySizeAlwaysAddsUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		need := rapid.Int64Range(0, 600_000).Draw(rt, "need")
		var mix [event.Sizes]uint16
		left := rapid.IntRange(999, 1001).Draw(rt, "sum")
		for i := range mix[:3] {
			mix[i] = uint16(rapid.IntRange(0, left).Draw(rt, "share"))
			left -= int(mix[i])
		}
		mix[3] = uint16(left)
		sum := int64(mix[0]) + int64(mix[1]) + int64(mix[2]) + int64(mix[3])
		got := BySize(need, mix)
		if got.Total() != need {
			rt.Fatalf("got %v, total %d, want %d", got, got.Total(), need)
		}
		for i, m := range mix {
			if off := got[i]*sum - need*int64(m); off <= -sum || off >= sum {
				rt.Fatalf("size %d of %v: got %d, want within one of %d/%d", i+1, mix, got[i], need*int64(m), sum)
			}
			if m == 0 && got[i] != 0 {
				rt.Fatalf("size %d of %v: got %d, want 0", i+1, mix, got[i])
			}
		}
	})
}

func TestEditsMadeApart(t *testing.T) {
	first := made(1, 1, 1, zone(event.Ref{}, "Front", 4000, 400)) // 1600
	of := first.Ref()
	wide := made(1, 2, 5, zone(of, "Front", 6000, 200, of))   // 1200
	dense := made(2, 1, 6, zone(of, "Fringe", 2500, 500, of)) // 1250: no figure mixes the area of one with the density of the other
	even := made(3, 1, 6, zone(of, "Edge", 1200, 1000, of))   // 1200 as well
	last := made(2, 2, 9, zone(of, "Top", 5000, 300, wide.Ref(), dense.Ref(), even.Ref()))
	tests := []struct {
		name    string
		events  []*event.Event
		zone    string
		need    int64
		area    uint32
		between int
	}{
		{"as made", []*event.Event{first}, "Front", 1600, 4000, 1},
		{"one edit", []*event.Event{first, wide}, "Front", 1200, 6000, 1},
		{"two apart: the smaller need, the newer name", []*event.Event{first, wide, dense}, "Fringe", 1200, 6000, 2},
		{"the other way round", []*event.Event{first, dense, wide}, "Fringe", 1200, 6000, 2},
		{"equal needs and stamps", []*event.Event{first, dense, even, wide}, "Edge", 1200, 6000, 3},
		{"equal needs and stamps, turned", []*event.Event{first, wide, even, dense}, "Edge", 1200, 6000, 3},
		{"decided", []*event.Event{first, wide, dense, even, last}, "Top", 1500, 5000, 1},
		{"decided first", []*event.Event{first, last, even, wide, dense}, "Top", 1500, 5000, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			zones := planOf(tt.events...).Zones()
			if len(zones) != 1 {
				t.Fatalf("got %d zones, want 1", len(zones))
			}
			z := zones[0]
			if z.Ref != of || z.Name != tt.zone || z.Need.Total() != tt.need || z.Edit.AreaMM2 != tt.area || len(z.Standing) != tt.between {
				t.Errorf("got %s %d of %d mm², %d between, want %s %d of %d mm², %d", z.Name, z.Need.Total(), z.Edit.AreaMM2, len(z.Standing),
					tt.zone, tt.need, tt.area, tt.between)
			}
			if len(z.Heads) != tt.between {
				t.Errorf("got %d heads, want %d", len(z.Heads), tt.between)
			}
		})
	}
}

func TestZonesAreListedByReference(t *testing.T) {
	a, b, c := made(1, 1, 9, zone(event.Ref{}, "a", 100, 10)), made(1, 2, 3, zone(event.Ref{}, "b", 100, 10)), made(2, 1, 1, zone(event.Ref{}, "c", 100, 10))
	for _, order := range [][]*event.Event{{a, b, c}, {c, b, a}, {b, c, a}} {
		got := ""
		for _, z := range planOf(order...).Zones() {
			got += z.Name
		}
		if got != "abc" {
			t.Errorf("got %s, want abc", got)
		}
	}
	p := planOf(made(1, 1, 1, &event.Note{Text: "no zone"}))
	if got := p.Zones(); len(got) != 0 {
		t.Errorf("other kinds: got %v", got)
	}
}

func TestMix(t *testing.T) {
	tests := []struct {
		of   event.BySize
		want [event.Sizes]uint16
	}{
		{event.BySize{}, [event.Sizes]uint16{}},
		{event.BySize{7, 0, 0, 0}, [event.Sizes]uint16{1000}},
		{event.BySize{1, 1, 1, 0}, [event.Sizes]uint16{334, 333, 333}},
		{event.BySize{20, 20, 100_000, 0}, [event.Sizes]uint16{0, 0, 1000}},
	}
	for _, tt := range tests {
		if got := Mix(tt.of); got != tt.want {
			t.Errorf("%v: got %v, want %v", tt.of, got, tt.want)
		}
	}
}
