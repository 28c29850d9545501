package donor

import (
	"crypto/sha256"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

// made is an event of one replica, as the donor needs it.
func made(replica byte, seq uint64, stamp event.Stamp, fact event.Fact) *event.Event {
	e := &event.Event{Replica: event.ReplicaID{replica}, Seq: seq, Stamp: stamp, Fact: fact}
	e.Hash = sha256.Sum256(event.Encode(e))
	return e
}

func donorOf(events ...*event.Event) *Donor {
	d := new(Donor)
	for _, e := range events {
		d.Add(e, 1)
	}
	return d
}

// Wanted numbers: computed from the definitions.
func TestCapacity(t *testing.T) {
	tests := []struct {
		name   string
		region event.Region
		want   int64
	}{
		{"203 cm² at 80, a quarter", event.Region{AreaMM2: 20_300, Density10: 800, SharePerMille: 250}, 4060},
		{"less what was taken before", event.Region{AreaMM2: 20_300, Density10: 800, SharePerMille: 250, Harvested: 1000}, 3060},
		{"today's density, nothing taken", event.Region{AreaMM2: 20_300, Density10: 800, Today: true, SharePerMille: 250}, 4060},
		{"today's density, 2,000 taken: 8,000 were native", event.Region{AreaMM2: 10_000, Density10: 600, Today: true, SharePerMille: 250, Harvested: 2000}, 0},
		{"today's density, 1,000 taken: 7,000 were native", event.Region{AreaMM2: 10_000, Density10: 600, Today: true, SharePerMille: 250, Harvested: 1000}, 750},
		{"more taken than the share allows", event.Region{AreaMM2: 10_000, Density10: 800, SharePerMille: 250, Harvested: 2500}, -500},
		{"rounded down", event.Region{AreaMM2: 1, Density10: 1999, SharePerMille: 999}, 1},
		{"less than one", event.Region{AreaMM2: 1, Density10: 999, SharePerMille: 1000}, 0},
		{"less than one, then less what was taken", event.Region{AreaMM2: 1, Density10: 999, SharePerMille: 1000, Harvested: 3}, -3},
		{"all of it", event.Region{AreaMM2: 200_000, Density10: 3000, SharePerMille: 1000}, 600_000},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Capacity(&tt.region); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
		})
	}
}

func TestLeft(t *testing.T) {
	tests := []struct {
		name                string
		capacities, punched []int64
		nowhere, want       int64
	}{
		{"no region", nil, nil, 0, 0},
		{"no region, some punched", nil, nil, 50, 0},
		{"two regions", []int64{100, 200}, []int64{30, 50}, 0, 220},
		{"one beyond its capacity takes nothing from the other", []int64{100, 200}, []int64{130, 50}, 0, 150},
		{"a capacity below zero", []int64{-500, 200}, []int64{0, 50}, 0, 150},
		{"attempts that name no region", []int64{100, 200}, []int64{30, 50}, 60, 160},
		{"more of those than is left", []int64{100, 200}, []int64{30, 50}, 600, 0},
		{"a counter that ran back", []int64{100}, []int64{-5}, 0, 105},
		{"nowhere below zero", []int64{100}, []int64{40}, -5, 65},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Left(tt.capacities, tt.punched, tt.nowhere); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
		})
	}
}

func region(of event.Ref, code, name string, share uint32, supersedes ...event.Ref) *event.Region {
	return &event.Region{Of: of, Code: code, Name: name, AreaMM2: 10_000, Density10: 800, SharePerMille: share, Supersedes: supersedes}
}

func TestEditsMadeApart(t *testing.T) {
	first := made(1, 1, 1, region(event.Ref{}, "L", "left", 250)) // 2000
	of := first.Ref()
	more := made(1, 2, 5, region(of, "L", "left side", 300, of))  // 2400
	less := made(2, 1, 4, region(of, "LO", "left, low", 200, of)) // 1600
	last := made(1, 3, 9, region(of, "OC", "middle", 220, more.Ref(), less.Ref()))
	tests := []struct {
		name     string
		events   []*event.Event
		code     string
		region   string
		capacity int64
		between  int
	}{
		{"as made", []*event.Event{first}, "L", "left", 2000, 1},
		{"one edit", []*event.Event{first, more}, "L", "left side", 2400, 1},
		{"the smallest capacity, the newest name", []*event.Event{first, more, less}, "L", "left side", 1600, 2},
		{"the same, turned", []*event.Event{first, less, more}, "L", "left side", 1600, 2},
		{"decided", []*event.Event{first, more, less, last}, "OC", "middle", 1760, 1},
		{"decided first", []*event.Event{first, last, less, more}, "OC", "middle", 1760, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			regions := donorOf(tt.events...).Regions()
			if len(regions) != 1 {
				t.Fatalf("got %d regions, want 1", len(regions))
			}
			r := regions[0]
			if r.Ref != of || r.Code != tt.code || r.Name != tt.region || r.Capacity != tt.capacity || len(r.Standing) != tt.between {
				t.Errorf("got %s %s %d, %d between, want %s %s %d, %d", r.Code, r.Name, r.Capacity, len(r.Standing),
					tt.code, tt.region, tt.capacity, tt.between)
			}
		})
	}
}

// Edits of one moment must not be told apart by who arrived first.
func TestEditsOfOneMomentInAnyOrder(t *testing.T) {
	first := made(1, 1, 1, region(event.Ref{}, "L", "left", 250))
	of := first.Ref()
	tests := []struct {
		name string
		a, b *event.Region
	}{
		{"other codes", region(of, "L", "left", 250, of), region(of, "LL", "far left", 250, of)},
		{"other shares", region(of, "L", "left", 250, of), region(of, "L", "left", 300, of)},
		{"one code, other names", region(of, "L", "left", 250, of), region(of, "L", "left side", 250, of)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, b := made(2, 1, 7, tt.a), made(3, 1, 7, tt.b)
			one, other := donorOf(first, a, b).Regions()[0], donorOf(first, b, a).Regions()[0]
			if !reflect.DeepEqual(one, other) {
				t.Errorf("got %s %q and %s %q, want the same", one.Code, one.Name, other.Code, other.Name)
			}
		})
	}
}

func TestCapacityIsNeverMoreThanTheShare(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := func(name string, lo, hi uint32) uint32 { return rapid.Uint32Range(lo, hi).Draw(rt, name) }
		f := event.Region{AreaMM2: n("area", 1, 200_000), Density10: n("density", 1, 3000), SharePerMille: n("share", 1, 1000),
			Harvested: n("harvested", 0, 50_000), Today: rapid.Bool().Draw(rt, "today")}
		native := int64(f.AreaMM2) * int64(f.Density10) // thousandths of a unit
		if f.Today {
			native += 1000 * int64(f.Harvested)
		}
		allowed := (Capacity(&f) + int64(f.Harvested)) * 1_000_000
		if exact := native * int64(f.SharePerMille); allowed > exact || allowed <= exact-1_000_000 {
			rt.Fatalf("got %d for %+v, want %d/1,000,000 rounded down less %d", Capacity(&f), f, exact, f.Harvested)
		}
		more := f
		more.SharePerMille = min(1000, f.SharePerMille+1)
		if Capacity(&more) < Capacity(&f) {
			rt.Fatalf("a larger share gives less: %d, %d", Capacity(&more), Capacity(&f))
		}
	})
}
