package practice

import (
	"cmp"
	"slices"

	"rootledger/shared/event"
)

// makeSites plays the surgeon: sites by tens, zone after zone, size after
// size, enough for every graft that will be held.
func (d *Day) makeSites() {
	var want [event.Sizes]int
	for _, h := range d.holding {
		want[h.size-1]++
	}
	at := 150 * minute
	for size, n := range want {
		for zone := range zones {
			part := (n + 1 - zone) / zones
			for ; part > 0; part -= 10 {
				d.sites(at, zone, event.Size(size+1), min(10, part))
				at += 25_000
			}
		}
	}
}

func (d *Day) sites(at, zone int, size event.Size, n int) {
	d.open[zone][size-1] += n
	d.Truth.Sites += int64(n)
	d.do(at, "knife", func(names Names) event.Fact {
		return &event.Sites{Zone: names[zoneNames[zone]], Size: size, N: uint32(n)}
	})
}

// place plays two placers until nothing is held: now and then a graft pops out
// and is placed again, is rejected, or its size is not noted.
func (d *Day) place() {
	slices.SortStableFunc(d.holding, func(a, b held) int { return cmp.Compare(a.at, b.at) })
	hands := [2]string{"hand-1", "hand-2"}
	pace := 220 * minute / max(1, len(d.holding))
	for i, h := range d.holding {
		at := max(240*minute+i*pace, h.at+5*minute)
		who := hands[i%2]
		zone := d.zoneFor(h.size)
		switch {
		case d.chance(8):
			d.rejectAtPlacing(at, who, h.size)
			continue
		case d.chance(25):
			d.put(at, who, zone, h.size)
			d.popOut(at+20_000, who, zone, h.size)
			d.put(at+40_000, who, zone, h.size)
		default:
			d.put(at, who, zone, h.size)
		}
		d.open[zone][h.size-1]--
		d.Truth.Placed[h.size-1]++
		d.Truth.ByZone[zone][h.size-1]++
	}
}

// zoneFor is where a graft goes: the zone with more open sites for its size.
func (d *Day) zoneFor(size event.Size) int {
	if d.open[1][size-1] > d.open[0][size-1] {
		return 1
	}
	return 0
}

func (d *Day) put(at int, who string, zone int, size event.Size) {
	d.do(at, who, func(n Names) event.Fact {
		return &event.Placed{Zone: n[zoneNames[zone]], Size: size, N: 1}
	})
}

func (d *Day) popOut(at int, who string, zone int, size event.Size) {
	d.do(at, who, func(n Names) event.Fact {
		return &event.CameBack{Zone: n[zoneNames[zone]], Size: size, N: 1}
	})
}

func (d *Day) rejectAtPlacing(at int, who string, size event.Size) {
	d.Truth.Rejected++
	d.do(at, who, func(Names) event.Fact {
		return &event.Rejected{From: event.Holding, Size: size, Reason: event.ReasonDried, N: 1}
	})
}

// slips spoils the day as days are spoilt: a tap by mistake that is undone, a
// tap whose frame is sent twice, a phone that loses the network for forty
// minutes and goes on counting.
func (d *Day) slips() {
	d.Actions = append(d.Actions,
		Action{AtMs: 95 * minute, Phone: "scope-1", Also: Slip, Fact: func(Names) event.Fact { return &event.Sorted{Size: 2, N: 5} }},
		Action{AtMs: 100 * minute, Phone: "scope-2", Also: Leaves},
		Action{AtMs: 140 * minute, Phone: "scope-2", Also: Returns},
		Action{AtMs: 300 * minute, Phone: "hand-2", Also: Leaves},
		Action{AtMs: 330 * minute, Phone: "hand-2", Also: Returns},
		Action{AtMs: 310 * minute, Phone: "hand-1", Also: Slip, Fact: func(n Names) event.Fact {
			return &event.Placed{Zone: n["Front"], Size: 1, N: 10}
		}})
	twice := 0
	for i := range d.Actions {
		if a := &d.Actions[i]; a.Also == Plain && a.Phone == "punch-2" && twice < 3 && a.AtMs > 60*minute {
			a.Also = Twice
			twice++
		}
	}
}
