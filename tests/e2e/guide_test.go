package e2e

import (
	"fmt"
	"strings"
	"testing"

	"rootledger/tests/e2e/browser"
)

// act is what a person does on a screen of practice.
type act func(t *testing.T, p *browser.Page)

func does(names ...string) act {
	return func(t *testing.T, p *browser.Page) {
		t.Helper()
		for _, name := range names {
			ok(t, p.Do(name))
		}
	}
}

func counts(selector string, n int) act {
	return func(t *testing.T, p *browser.Page) { t.Helper(); taps(t, p, selector, n) }
}

func clicks(selector string) act {
	return func(t *testing.T, p *browser.Page) { t.Helper(); ok(t, p.Click(selector)) }
}

func presses(selector string) act {
	return func(t *testing.T, p *browser.Page) { t.Helper(); ok(t, p.Press(selector, 0)) }
}

func waits(holds string) act {
	return func(t *testing.T, p *browser.Page) { t.Helper(); ok(t, p.Until(holds)) }
}

func enters(key, text string) act {
	return func(t *testing.T, p *browser.Page) { t.Helper(); ok(t, p.Fill(said(key), text)) }
}

func acts(all ...act) act {
	return func(t *testing.T, p *browser.Page) {
		t.Helper()
		for _, one := range all {
			one(t, p)
		}
	}
}

var shuts = clicks("dialog[open] > header button")

// moves takes the newest entries that stand to another place.
func moves(n int, to string) act {
	return func(t *testing.T, p *browser.Page) {
		t.Helper()
		acts(does(said("phone.menu"), said("entries.title"), said("entries.move")))(t, p)
		for i := range n {
			ok(t, p.Press(".entries li:not(.undone) .tick input", i))
		}
		acts(presses(".picks .do.first"), does(to), waits(`document.querySelector(".kept[role=status]")`), shuts)(t, p)
	}
}

// guided is one task and what a person does about it.
type guided struct {
	task string
	how  act
}

const twos = ".four-up .pad:nth-child(2)"

// guides are the tasks of every station but sorting, in order, up to the one
// that waits for the network.
var guides = []struct {
	station string
	tasks   []guided
}{
	{"extraction", []guided{{"intact", counts(bigPad, 3)}, {"empty", counts(".three .pad2:nth-child(5)", 1)}, {"undoEmpty", clicks(".undo")},
		{"moveRegion", moves(3, "BR · Back right")}, {"awayExtraction", counts(bigPad, 5)}}},
	{"sites", []guided{{"tenSites", counts(bigPad, 1)}, {"row", counts(".three .pad2:nth-child(2)", 1)}, {"undoRow", clicks(".undo")},
		{"crownSites", acts(clicks(".where button"), does("Crown 560 to make"), counts(bigPad, 1))}, {"moveSites", moves(1, "Front")}, {"awaySites", counts(bigPad, 3)}}},
	{"placing", []guided{{"placeTwo", counts(twos, 2)}, {"cameBack", acts(clicks(".under .pad2"), does("2 hairs"))}, {"undoCameBack", presses(".undo")},
		{"crownPlaced", acts(clicks(".zonepick button:nth-child(2)"), counts(twos, 3))}, {"movePlaced", moves(3, "Front")}, {"awayPlacing", counts(twos, 5)}}},
	{"desk", []guided{{"recount", acts(does(said("desk.recount"), said("recount.bench"), "2", "2", "done"), waits(`document.querySelector(".compared")`), shuts)},
		{"dish", acts(does(said("desk.dish")), enters("dish.label", "9"), does(said("dish.openIt")))},
		{"pause", does(said("desk.pause"), said("desk.pauseRoom"))}, {"resume", does(said("desk.pause"), said("desk.resumeRoom"))},
		{"awayDesk", acts(does(said("desk.note")), enters("desk.noteFor", "dishes moved"), does(said("phone.keepNote")))}}},
	{"lead", []guided{{"choose", clicks(".stand li:nth-child(2) .do")},
		{"budget", acts(clicks(".folds summary"), does(said("lead.setBudget")), enters("lead.grafts", "1100"), presses("dialog .do.first"))},
		{"undoOther", acts(does("Cedar Sorting"), presses(".entries li .do"), shuts)},
		{"awayLead", acts(does(said("lead.setBudget")), enters("lead.grafts", "1120"), presses("dialog .do.first"))}}},
}

// Every other station's tasks can be done on its screen as their lines say.
func TestGuideOfEachStation(t *testing.T) {
	t.Parallel()
	r := opened(t, 400)
	for _, g := range guides {
		t.Run(g.station, func(t *testing.T) {
			t.Parallel()
			p := device(t)
			ok(t, p.Open(r.URL()+"/"))
			practises(t, p, "join.practise", g.station)
			for _, one := range g.tasks {
				if strings.HasPrefix(one.task, "away") {
					ok(t, p.Do(said("practice.turnOff")))
				}
				says(t, p, ".task span", said("practice."+one.task))
				one.how(t, p)
			}
			ok(t, p.Do(said("practice.turnOn")))
			says(t, p, "dialog h2", fmt.Sprintf("%[1]d of %[1]d tasks done", len(g.tasks)+1))
		})
	}
}
