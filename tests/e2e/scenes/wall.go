package scenes

import (
	"errors"
	"fmt"
	"time"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// waits are walls, and a phone, whose state needs seconds to come about: they
// begin before their turn.
type waits struct {
	lost, seeking *browser.Page
	gates         []*rig.Gate
}

// busyRoom is a room with a day of its own, some hours old.
func (t *Tour) busyRoom(room, code string) (*rig.Rig, error) {
	r := t.day.Beside(room)
	return r, errors.Join(r.Open(code, 2400), crowd(r, busy))
}

// beginWaits begins what needs time.
func (t *Tour) beginWaits() error {
	if _, err := t.busyRoom("busy", "A-12"); err != nil {
		return err
	}
	away := t.day.Beside("away")
	if err := away.Open("D-4", 2400); err != nil {
		return err
	}
	gone, err := away.Join("Sorrel", event.Sorting)
	if err != nil {
		return err
	}
	if err := away.Within(gone.InRoom); err != nil {
		return err
	}
	gone.Away(true)
	if err := crowd(away, busy); err != nil {
		return err
	}
	kept := until(`caches.match("/apart")`) // the wall's own parts, which are kept last
	if t.waits.lost, err = t.behindGate(there(".w-foot"), kept); err != nil {
		return err
	}
	if t.waits.seeking, err = t.behindGate(there(".w-foot"), kept); err != nil {
		return err
	}
	for _, g := range t.waits.gates {
		g.Shut()
	}
	return t.waits.seeking.Reload()
}

// behindGate is a wall of the busy room with a network of its own.
func (t *Tour) behindGate(steps ...step) (*browser.Page, error) {
	g, err := rig.NewGate(t.day.Serving.Addr)
	if err != nil {
		return nil, err
	}
	t.waits.gates = append(t.waits.gates, g)
	p, err := t.device()
	if err != nil {
		return nil, err
	}
	return p, all(p, append([]step{open(g.URL() + "/wall/busy")}, steps...)...)
}

// endWaits closes what beginWaits opened.
func (t *Tour) endWaits() error {
	for _, p := range []*browser.Page{t.waits.lost, t.waits.seeking} {
		if p != nil {
			p.Close()
		}
	}
	var failed []error
	for _, g := range t.waits.gates {
		failed = append(failed, g.Close())
	}
	return errors.Join(failed...)
}

// wall is the wall in every state.
func (t *Tour) wall() error {
	if err := t.wallRooms(); err != nil {
		return err
	}
	err := t.with(func(p *browser.Page) error {
		at := func(state, room, there string, more ...step) stop {
			return plain(state, append([]step{open(t.day.URL() + "/wall/" + room), until(there)}, more...)...)
		}
		running := `document.querySelector(".w-foot")`
		paced, alarm := `document.querySelector(".w-finish")`, there(".w-alarm")
		return t.visit(p, "wall",
			at("none", "empty", `document.querySelector(".w-wait li b")`),
			at("join", "join", `document.querySelector(".w-join img")?.complete`),
			at("need-first", "busy", running),
			at("donor-first", "donor", running),
			at("region-past", "part", running),
			at("past-donor", "past", running),
			at("nothing-planned", "bare", running),
			at("done", "done", running),
			at("practice", "practice", running),
			at("long", "long", running),
			at("asks", "asks", running),
			at("choose-budget", "choose-budget", running, until(`/values stand/.test(document.body.innerText)`)),
			at("choose-zone", "choose-zone", running, until(`/values stand/.test(document.body.innerText)`)),
			at("choose-many", "choose-many", running, until(`/plan entries/.test(document.body.innerText)`)),
			at("paced", "paced", paced),
			at("singles", "singles", paced, alarm),
			at("paused", "paused", paced),
			at("floor", "floor", paced, alarm),
			at("past-share", "share", paced, alarm),
			at("time-out", "out", paced, alarm),
			at("time-out-past", "out-past", paced, alarm),
			at("recount", "recount", paced, alarm),
			at("look", "wall-look", running, alarm),
			at("away", "away", running, until(`/\b1 away/.test(document.body.innerText)`)),
		)
	})
	late := until(`document.querySelectorAll(".w-wait li").length === 2`)
	return errors.Join(err, t.wallDoses(),
		t.visit(t.waits.lost, "wall", plain("lost", there(".w-asof"))),
		t.visit(t.waits.seeking, "wall", plain("seeking", late)))
}

// wallRooms opens a room for every state that is not there yet.
func (t *Tour) wallRooms() error {
	join, bare := t.day.Beside("join"), t.day.Beside("bare")
	if err := join.Open("A-12", 2400); err != nil {
		return err
	}
	if err := facts(join, "Ash", event.Extraction); err != nil {
		return err
	}
	if err := facts(join, "Cedar", event.Sorting); err != nil {
		return err
	}
	if err := errors.Join(bare.OpenWith(bare.Opening("E-9")), crowd(bare, crowded{outcomes: [...]uint32{60, 4, 1, 0, 0, 0}, sorted: [...]uint32{20, 31, 2, 0}})); err != nil {
		return err
	}
	asks := t.day.Beside("asks")
	_, err := t.longRoom()
	return errors.Join(err, t.pacedRooms(), Looks(t.day.Beside("wall-look")), t.donorRooms(), ask(asks), t.chooseRooms(), t.doneRoom(), t.practiceRoom(),
		held(t.day.Beside("out"), "H-5", 45, 240), held(t.day.Beside("out-past"), "H-6", 30, 45))
}

// chooseRooms are rooms in which one thing of the plan, or several, are to be chosen.
func (t *Tour) chooseRooms() error {
	budget, err := t.busyRoom("choose-budget", "D-5")
	if err != nil {
		return err
	}
	zone, err := t.busyRoom("choose-zone", "D-6")
	if err != nil {
		return err
	}
	many, err := t.busyRoom("choose-many", "D-8")
	if err != nil {
		return err
	}
	named := func(area uint32) []event.Fact {
		return []event.Fact{&event.Zone{Of: zone.Names["Crown"], Name: "Crown and whorl, lower", AreaMM2: area, Density10: 450, Mix: [4]uint16{100, 550, 300, 50}}}
	}
	return errors.Join(
		apart(budget, []event.Fact{&event.Budget{Grafts: 2500, Reason: "Drawn again"}}, []event.Fact{&event.Budget{Grafts: 2600, Reason: "Drawn again"}}, []event.Fact{&event.Budget{Grafts: 2450, Reason: "Drawn again"}}),
		apart(zone, named(1700), named(1900)),
		apart(many, []event.Fact{&event.Budget{Grafts: 2500, Reason: "Drawn again"}, &event.Yield{PerMille: 850}}, []event.Fact{&event.Budget{Grafts: 2600, Reason: "Drawn again"}, &event.Yield{PerMille: 900}}))
}

// donorRooms are rooms in which the donor stops first: some is left, some
// regions are past what they allow, or all are.
func (t *Tour) donorRooms() error {
	for room, area := range map[string]uint32{"donor": 3600, "part": 2000, "past": 1200} {
		r := t.day.Beside(room)
		plan := []event.Fact{&event.Budget{Grafts: 2400}}
		for _, fact := range rig.Plan(2400) {
			if region, is := fact.(*event.Region); is {
				region.AreaMM2 = area
			}
			plan = append(plan, fact)
		}
		if err := errors.Join(r.OpenWith(r.Opening("F-22"), plan...), crowd(r, busy)); err != nil {
			return err
		}
	}
	return nil
}

func (t *Tour) doneRoom() error {
	r, err := t.busyRoom("done", "G-3")
	if err != nil {
		return err
	}
	return errors.Join(r.Do(r.Office, &event.Ended{}), r.Within(r.Office.InRoom))
}

func (t *Tour) practiceRoom() error {
	r := t.day.Beside("practice")
	opening := r.Opening("practice-1")
	now := uint64(time.Now().UnixMilli())
	opening.Practice = event.Practice{StartMs: now, RealMs: now, Speed: 1}
	return errors.Join(r.OpenWith(opening, append([]event.Fact{&event.Budget{Grafts: 2400}}, rig.Plan(2400)...)...), crowd(r, busy))
}

// longRoom opens a room with eight regions, and ten zones with names as long as
// they may be; the second time it is the same room.
func (t *Tour) longRoom() (*rig.Rig, error) {
	if t.long != nil {
		return t.long, nil
	}
	r := t.day.Beside("long")
	t.long = r
	plan := []event.Fact{&event.Budget{Grafts: 4200}}
	for i, name := range []string{"Hairline, first two rows", "Temple point on the left", "Temple point on the right"[:24], "Frontal tuft behind them",
		"Parting, left of middle", "Parting, right of middle", "Bridge to the crown area", "Crown, outside the whorl", "Crown, inside the whorl", "Scar above the left ear"} {
		plan = append(plan, &event.Zone{Name: name, AreaMM2: 700 + 40*uint32(i), Density10: 450, Mix: [4]uint16{300, 450, 200, 50}})
	}
	for i, code := range []string{"SL", "BL", "BR", "SR", "UL", "UR", "NK", "BD"} {
		plan = append(plan, &event.Region{Code: code, Name: "Donor region number " + fmt.Sprint(i+1), AreaMM2: 3000 + 300*uint32(i), Density10: 800, SharePerMille: 200})
	}
	if err := r.OpenWith(r.Opening("2026-11-25-OR-2a"), plan...); err != nil {
		return nil, err
	}
	r.Names["Front"], r.Names["Middle"] = r.Names["Hairline, first two rows"], r.Names["Temple point on the left"]
	return r, crowd(r, busy)
}
