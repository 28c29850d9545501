package scenes

import (
	"errors"
	"os"

	"rootledger/shared/event"
	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// phone is what every phone has, whatever its station: its menu, and its words
// when the network, the disk or the tab is not there, or the phone is not who
// it was.
func (t *Tour) phone() error {
	return errors.Join(t.menuAndTabs(), t.offline(), t.inMemory(), t.copied(), t.unknown(), t.notices(), t.ended(), t.corrections())
}

// copied is stations whose phone was set back, as from a backup.
func (t *Tour) copied() error {
	back := func(p *browser.Page) error {
		if err := p.Until(`localStorage.getItem("rootledger.mark.phone")`); err != nil {
			return err
		}
		if err := p.Inject(`localStorage.setItem("rootledger.mark.phone", "another")`); err != nil {
			return err
		}
		return p.Reload()
	}
	for _, station := range []string{"extraction", "placing", "desk"} {
		if err := t.at("Sorrel", station, func(p *browser.Page) error {
			return t.visit(p, "phone", plain("copied-"+station, inRoom, back, there(".notice"), inRoom))
		}); err != nil {
			return err
		}
	}
	return nil
}

// ended is stations of a session that ends while they count.
func (t *Tour) ended() error {
	for _, station := range []string{"extraction", "placing", "sorting"} {
		over := t.day.Beside("END-" + station)
		if err := errors.Join(over.Open("H-3", 900), crowd(over, busy)); err != nil {
			return err
		}
		end := func(*browser.Page) error { return over.Do(over.Office, &event.Ended{}) }
		if err := t.with(func(p *browser.Page) error {
			return errors.Join(over.JoinPage(p, over.URL(), "Sorrel", station),
				t.visit(p, "phone", plain("ended-"+station, inRoom, end, there(".notice"))))
		}); err != nil {
			return err
		}
	}
	return nil
}

// later has a page's clock, not its worker's, go on by some minutes.
const later = `{ const now = Date.now.bind(Date); Date.now = () => now() + 5 * 60_000; }`

// notices is what a phone says of the room that it does not hear, of its clock
// and of its space.
func (t *Tour) notices() error {
	g, err := rig.NewGate(t.day.Serving.Addr)
	if err != nil {
		return err
	}
	ahead, err := rig.Spoil(t.day.URL(), `{ const now = Date.now.bind(Date); Date.now = () => now() + 47 * 60_000; }`)
	if err != nil {
		return errors.Join(err, g.Close())
	}
	defer ahead.CloseClientConnections()
	return errors.Join(t.with(func(p *browser.Page) error {
		if err := t.day.JoinPage(p, g.URL(), "Sorrel", "placing"); err != nil {
			return err
		}
		shut := func(*browser.Page) error { g.Shut(); return p.Inject(later) }
		return t.visit(p, "phone",
			plain("unheard", taps(four, 1, 2), inRoom, shut, there(".truth.here"), taps(four, 1, 14), there(".notice.calm")),
			sheet("by-hand", press(".notice button", 0), there(inside+" .carry")),
		)
	}), t.with(func(p *browser.Page) error {
		if err := t.day.JoinPage(p, ahead.URL, "Sorrel", "sites"); err != nil {
			return err
		}
		return t.visit(p, "phone", plain("clock-ahead", there(".notice.calm"), inRoom))
	}), t.with(func(p *browser.Page) error {
		if err := p.Before(`navigator.storage.estimate = async () => ({ quota: 1e9, usage: 999e6 })`); err != nil {
			return err
		}
		if err := t.day.JoinPage(p, t.day.URL(), "Sorrel", "extraction"); err != nil {
			return err
		}
		cleared := func(p *browser.Page) error {
			return errors.Join(p.Until(`localStorage.getItem("rootledger.mark.phone")`), p.WipeDatabases(), p.Open(t.day.URL()+"/"))
		}
		return t.visit(p, "phone",
			plain("nearly-full", there(".notice"), inRoom),
			plain("cleared", cleared, there(".join .ask")),
		)
	}), g.Close())
}

// unknown is a phone whose server was replaced by an empty one.
func (t *Tour) unknown() error {
	dir, err := os.MkdirTemp("", "rootledger-empty-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	empty, err := rig.Start(dir)
	if err != nil {
		return err
	}
	defer empty.Close()
	g, err := rig.NewGate(t.day.Serving.Addr)
	if err != nil {
		return err
	}
	defer g.Close()
	return t.with(func(p *browser.Page) error {
		if err := t.day.JoinPage(p, g.URL(), "Sorrel", "sorting"); err != nil {
			return err
		}
		replace := func(*browser.Page) error { g.Lead(empty.Serving.Addr); g.Shut(); g.Open(); return nil }
		return t.visit(p, "phone",
			plain("unknown", taps(four, 1, 8), inRoom, replace, there(".notice"), taps(four, 0, 3), there(".truth.here")),
			sheet("unknown-menu", press("button.menu", 0), there(".carry")),
			plain("join-again", press(".notice button", 0), there(".join .ask"), there(".carry")),
		)
	})
}

func (t *Tour) menuAndTabs() error {
	return t.at("Sorrel", "sorting", func(p *browser.Page) error {
		if err := t.visit(p, "phone",
			sheet("menu", taps(four, 1, 5), inRoom, press("button.menu", 0)),
			sheet("hand-over", press("button.menu", 0), press(inside+" > .do.first", 0), there(inside+" .choices button")),
			sheet("hand-over-count", press("button.menu", 0), press(inside+" > .do.first", 0), press(inside+" .choices button", 0), there(keys)),
			sheet("hand-over-apart", press("button.menu", 0), press(inside+" > .do.first", 0), press(inside+" .choices button", 0), typed("99"), there(inside+" .apart")),
			sheet("handed-over", press("button.menu", 0), press(inside+" > .do.first", 0), press(inside+" .choices button", 0), press(inside+" > .do", 0), there(inside+" .compared")),
		); err != nil {
			return err
		}
		second, err := p.Tab(390, 844)
		if err != nil {
			return err
		}
		defer second.Close()
		return t.visit(second, "phone", plain("elsewhere", open(t.day.URL()+"/"), there(".ask h1")))
	})
}

func (t *Tour) offline() error {
	g, err := rig.NewGate(t.day.Serving.Addr)
	if err != nil {
		return err
	}
	return errors.Join(t.with(func(p *browser.Page) error {
		if err := t.day.JoinPage(p, g.URL(), "Sorrel", "sorting"); err != nil {
			return err
		}
		shut := func(*browser.Page) error { g.Shut(); return nil }
		return t.visit(p, "phone",
			plain("kept-here", taps(four, 1, 8), until(`document.querySelector(".truth span").innerText.includes("8")`), inRoom, shut, there(".truth.here"), taps(four, 1, 12), taps(four, 0, 3),
				until(`document.querySelector(".truth span").innerText.includes("15")`)),
			sheet("kept-here-menu", press("button.menu", 0)),
			sheet("entries", press("button.menu", 0), press(".entries-open", 0), until(`document.querySelectorAll(".entries li").length > 9`),
				press(".entries li .do", 1), there(".entries .undone")),
		)
	}), g.Close())
}

func (t *Tour) inMemory() error {
	spoiled, err := rig.Spoil(t.day.URL(), rig.NoStorage)
	if err != nil {
		return err
	}
	defer spoiled.CloseClientConnections()
	return t.with(func(p *browser.Page) error {
		if err := t.day.JoinPage(p, spoiled.URL, "Sorrel", "sorting"); err != nil {
			return err
		}
		return t.visit(p, "phone", plain("in-memory", there(".notice"), taps(four, 1, 6), there(".truth.asks")))
	})
}

// longNames is the stations where names stand, with the longest there may be.
func (t *Tour) longNames() error {
	r, err := t.longRoom()
	if err != nil {
		return err
	}
	person := "Bartholomea-Wilhelmina van der Hollunder"
	return t.with(func(p *browser.Page) error {
		at := func(station string, steps ...step) stop {
			return plain(station, append([]step{func(p *browser.Page) error { return r.JoinPage(p, r.URL(), person, station) }}, steps...)...)
		}
		return t.visit(p, "long",
			at("extraction", there(small), taps(big, 0, 3), inRoom),
			at("sorting", there(small), taps(four, 3, 3), inRoom),
			at("sites", there(big), taps(big, 0, 3), inRoom),
			at("placing", there(".zonepick, nav.where"), taps(four, 3, 3), inRoom),
		)
	})
}
