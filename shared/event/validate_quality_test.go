package event_test

import "rootledger/shared/event"

var qualityChecks = []check{
	{"least", &event.Watch{P0Parts: 10, P1Parts: 20, H100: 100}, ""},
	{"most", &event.Watch{P0Parts: 5_000, P1Parts: 9_000, H100: 2_000, Supersedes: refsTo(64)}, ""},
	{"next to each other", &event.Watch{P0Parts: 500, P1Parts: 501, H100: 500}, ""},
	{"nothing", &event.Watch{}, "watch-share"},
	{"usual share of none", &event.Watch{P0Parts: 9, P1Parts: 1_000, H100: 500}, "watch-share"},
	{"usual share above half", &event.Watch{P0Parts: 5_001, P1Parts: 6_000, H100: 500}, "watch-share"},
	{"share to notice of none", &event.Watch{P0Parts: 10, P1Parts: 19, H100: 500}, "watch-share"},
	{"share to notice of nearly all", &event.Watch{P0Parts: 500, P1Parts: 9_001, H100: 500}, "watch-share"},
	{"the same share twice", &event.Watch{P0Parts: 500, P1Parts: 500, H100: 500}, "watch-order"},
	{"the other way round", &event.Watch{P0Parts: 1_000, P1Parts: 500, H100: 500}, "watch-order"},
	{"low limit", &event.Watch{P0Parts: 500, P1Parts: 1_000, H100: 99}, "watch-limit"},
	{"high limit", &event.Watch{P0Parts: 500, P1Parts: 1_000, H100: 2_001}, "watch-limit"},
	{"absurd", &event.Watch{P0Parts: absurd, P1Parts: absurd, H100: absurd}, "watch-share"},
	{"too many edits", &event.Watch{P0Parts: 10, P1Parts: 20, H100: 100, Supersedes: refsTo(65)}, "edits-many"},

	{"least", &event.Inspected{Pass: refTo(1), Grafts: 1, Whole: 1}, ""},
	{"all cut", &event.Inspected{Pass: refTo(1), Grafts: 1, Cut: 6}, ""},
	{"most", &event.Inspected{Pass: refTo(1), Region: refTo(2), Grafts: 500, Whole: 2_000, Cut: 1_000}, ""},
	{"no pass", &event.Inspected{Grafts: 1, Whole: 1}, "ref-needed"},
	{"no grafts", &event.Inspected{Pass: refTo(1), Whole: 1}, "count-range"},
	{"too many grafts", &event.Inspected{Pass: refTo(1), Grafts: 501, Whole: 1_000}, "count-range"},
	{"fewer follicles than grafts", &event.Inspected{Pass: refTo(1), Grafts: 20, Whole: 17, Cut: 2}, "follicles-range"},
	{"more follicles than grafts can have", &event.Inspected{Pass: refTo(1), Grafts: 20, Whole: 100, Cut: 21}, "follicles-range"},
	{"absurd", &event.Inspected{Pass: refTo(1), Grafts: 1, Whole: absurd, Cut: 2}, "follicles-range"},
	{"absurdly many cut", &event.Inspected{Pass: refTo(1), Grafts: 1, Whole: 2, Cut: absurd}, "follicles-range"},

	{"least", &event.Looked{Pass: refTo(1), Grafts: 1}, ""},
	{"most", &event.Looked{Pass: refTo(1), Grafts: 500, Damaged: 500, Note: wide(500)}, ""},
	{"of many phones", &event.Looked{Pass: refTo(1), Grafts: 1, Upto: refsTo(64)}, ""},
	{"of too many phones", &event.Looked{Pass: refTo(1), Grafts: 1, Upto: refsTo(65)}, "edits-many"},
	{"no pass", &event.Looked{Grafts: 1}, "ref-needed"},
	{"looked at none", &event.Looked{Pass: refTo(1)}, "count-range"},
	{"too many", &event.Looked{Pass: refTo(1), Grafts: 501}, "count-range"},
	{"more damaged than looked at", &event.Looked{Pass: refTo(1), Grafts: 5, Damaged: 6}, "damaged-above"},
	{"long note", &event.Looked{Pass: refTo(1), Grafts: 5, Note: ofLen(501)}, "text-length"},
	{"note with a tab", &event.Looked{Pass: refTo(1), Grafts: 5, Note: withTab}, "text-control"},
}
