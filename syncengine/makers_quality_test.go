package syncengine

import "rootledger/shared/event"

func makeWatch(d *day, _ *member) event.Fact {
	return &event.Watch{P0Parts: uint32(200 + 100*d.pick(5)), P1Parts: uint32(1_000 + 500*d.pick(3)), H100: uint32(300 + 100*d.pick(8))}
}

func makeInspected(d *day, m *member) event.Fact {
	pass, region, ok := d.place(m)
	if !ok {
		return makePass(d, m)
	}
	grafts := d.n()
	return &event.Inspected{Pass: pass, Region: region, Grafts: grafts, Whole: grafts * uint32(1+d.pick(3)), Cut: uint32(d.pick(4))}
}

func makeLooked(d *day, m *member) event.Fact {
	pass, _, ok := d.place(m)
	if !ok {
		return makePass(d, m)
	}
	grafts := d.n()
	return &event.Looked{Pass: pass, Grafts: grafts, Damaged: uint32(d.pick(int(grafts) + 1)), Note: []string{"", "the rim is blunt"}[d.pick(2)]}
}
