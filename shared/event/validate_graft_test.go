package event_test

import "rootledger/shared/event"

func split(from event.Stock, n uint32, size event.Size, pieces ...event.Size) *event.Split {
	return &event.Split{From: from, Size: size, Pieces: pieces, N: n}
}

var sortingChecks = []check{
	{"least", &event.Sorted{Size: 1, N: 1}, ""},
	{"most", &event.Sorted{Size: 4, N: 500, Dish: refTo(1)}, ""},
	{"size 0", &event.Sorted{N: 1}, "size-range"},
	{"size 5", &event.Sorted{Size: 5, N: 1}, "size-range"},
	{"none", &event.Sorted{Size: 1}, "count-range"},
	{"too many", &event.Sorted{Size: 1, N: 501}, "count-range"},

	{"least", &event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: 1}, ""},
	{"most", &event.Rejected{From: event.Holding, Size: 4, Reason: event.ReasonOther, N: 500, Dish: refTo(1)}, ""},
	{"from nowhere", &event.Rejected{Reason: event.ReasonCut, N: 1}, "stock-unknown"},
	{"from an unknown stock", &event.Rejected{From: 3, Reason: event.ReasonCut, N: 1}, "stock-unknown"},
	{"no reason", &event.Rejected{From: event.Bench, N: 1}, "reason-unknown"},
	{"unknown reason", &event.Rejected{From: event.Bench, Reason: 8, N: 1}, "reason-unknown"},
	{"size 5", &event.Rejected{From: event.Bench, Size: 5, Reason: event.ReasonCut, N: 1}, "size-range"},
	{"none", &event.Rejected{From: event.Bench, Reason: event.ReasonCut}, "count-range"},
	{"too many", &event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: 501}, "count-range"},

	{"2 into 1 1", split(event.Bench, 1, 2, 1, 1), ""},
	{"3 into 1 2", split(event.Holding, 500, 3, 1, 2), ""},
	{"3 into 1 1 1", split(event.Bench, 1, 3, 1, 1, 1), ""},
	{"3 into 1 1, a hair lost", split(event.Bench, 1, 3, 1, 1), ""},
	{"4 into six of 4", split(event.Bench, 1, 4, 4, 4, 4, 4, 4, 4), ""},
	{"4 into 3 2", split(event.Bench, 1, 4, 3, 2), ""},
	{"from nowhere", split(0, 1, 2, 1, 1), "stock-unknown"},
	{"from an unknown stock", split(3, 1, 2, 1, 1), "stock-unknown"},
	{"size 0", split(event.Bench, 1, 0, 1, 1), "split-size"},
	{"size 1", split(event.Bench, 1, 1, 1, 1), "split-size"},
	{"size 5", split(event.Bench, 1, 5, 1, 1), "split-size"},
	{"no pieces", split(event.Bench, 1, 2), "split-pieces"},
	{"one piece", split(event.Bench, 1, 2, 2), "split-pieces"},
	{"seven pieces", split(event.Bench, 1, 4, 1, 1, 1, 1, 1, 1, 1), "split-pieces"},
	{"piece of size 0", split(event.Bench, 1, 2, 1, 0), "size-range"},
	{"piece of size 5", split(event.Bench, 1, 4, 5, 1), "size-range"},
	{"2 into 1 2", split(event.Bench, 1, 2, 1, 2), "split-hairs"},
	{"2 into 1 1 1", split(event.Bench, 1, 2, 1, 1, 1), "split-hairs"},
	{"3 into 2 2", split(event.Bench, 1, 3, 2, 2), "split-hairs"},
	{"3 into 4 4", split(event.Bench, 1, 3, 4, 4), "split-hairs"},
	{"none", split(event.Bench, 0, 2, 1, 1), "count-range"},
	{"too many", split(event.Bench, 501, 2, 1, 1), "count-range"},
}

var placingChecks = []check{
	{"least", &event.Sites{Zone: refTo(1), Size: 1, N: 1}, ""},
	{"most", &event.Sites{Zone: refTo(1), Size: 4, N: 500}, ""},
	{"no zone", &event.Sites{Size: 1, N: 1}, "ref-needed"},
	{"size 0", &event.Sites{Zone: refTo(1), N: 1}, "size-range"},
	{"size 5", &event.Sites{Zone: refTo(1), Size: 5, N: 1}, "size-range"},
	{"none", &event.Sites{Zone: refTo(1), Size: 1}, "count-range"},
	{"too many", &event.Sites{Zone: refTo(1), Size: 1, N: 501}, "count-range"},

	{"least", &event.SitesClosed{Zone: refTo(1), Size: 1, N: 1}, ""},
	{"most", &event.SitesClosed{Zone: refTo(1), Size: 4, N: 500}, ""},
	{"no zone", &event.SitesClosed{Size: 1, N: 1}, "ref-needed"},
	{"size 0", &event.SitesClosed{Zone: refTo(1), N: 1}, "size-range"},
	{"size 5", &event.SitesClosed{Zone: refTo(1), Size: 5, N: 1}, "size-range"},
	{"none", &event.SitesClosed{Zone: refTo(1), Size: 1}, "count-range"},
	{"too many", &event.SitesClosed{Zone: refTo(1), Size: 1, N: 501}, "count-range"},

	{"least", &event.Placed{Zone: refTo(1), Size: 1, N: 1}, ""},
	{"most", &event.Placed{Zone: refTo(1), Size: 4, N: 500, Dish: refTo(2)}, ""},
	{"no zone", &event.Placed{Size: 1, N: 1}, "ref-needed"},
	{"size 0", &event.Placed{Zone: refTo(1), N: 1}, "size-range"},
	{"size 5", &event.Placed{Zone: refTo(1), Size: 5, N: 1}, "size-range"},
	{"absurd size", &event.Placed{Zone: refTo(1), Size: 255, N: 1}, "size-range"},
	{"none", &event.Placed{Zone: refTo(1), Size: 1}, "count-range"},
	{"too many", &event.Placed{Zone: refTo(1), Size: 1, N: 501}, "count-range"},
	{"absurdly many", &event.Placed{Zone: refTo(1), Size: 1, N: absurd}, "count-range"},

	{"least", &event.CameBack{Zone: refTo(1), Size: 1, N: 1}, ""},
	{"most", &event.CameBack{Zone: refTo(1), Size: 4, N: 500}, ""},
	{"no zone", &event.CameBack{Size: 1, N: 1}, "ref-needed"},
	{"size 0", &event.CameBack{Zone: refTo(1), N: 1}, "size-range"},
	{"size 5", &event.CameBack{Zone: refTo(1), Size: 5, N: 1}, "size-range"},
	{"none", &event.CameBack{Zone: refTo(1), Size: 1}, "count-range"},
	{"too many", &event.CameBack{Zone: refTo(1), Size: 1, N: 501}, "count-range"},
}
