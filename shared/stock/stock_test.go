package stock

import (
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
)

var (
	front = event.Ref{Replica: event.ReplicaID{7}, Seq: 1}
	crown = event.Ref{Replica: event.ReplicaID{7}, Seq: 2}
)

func add(t *Tally, sign int64, facts ...event.Fact) {
	for i, fact := range facts {
		t.Add(&event.Event{Replica: event.ReplicaID{1}, Seq: uint64(i + 1), Stamp: event.Stamp(i + 1), Fact: fact}, sign)
	}
}

func sorted(size event.Size, n uint32) event.Fact { return &event.Sorted{Size: size, N: n} }

func split(from event.Stock, size event.Size, n uint32, pieces ...event.Size) event.Fact {
	return &event.Split{From: from, Size: size, N: n, Pieces: pieces}
}

func rejected(from event.Stock, size event.Size, n uint32) event.Fact {
	return &event.Rejected{From: from, Size: size, Reason: event.ReasonCut, N: n}
}

func placed(size event.Size, n uint32) event.Fact {
	return &event.Placed{Zone: front, Size: size, N: n}
}

func cameBack(size event.Size, n uint32) event.Fact {
	return &event.CameBack{Zone: front, Size: size, N: n}
}

// Wanted numbers: computed from the definitions.
func TestStocks(t *testing.T) {
	tests := []struct {
		name    string
		facts   []event.Fact
		judged  int64
		kept    int64
		holding event.BySize
		total   int64 // holding in all
		placed  event.BySize
		gained  int64
	}{
		{"nothing", nil, 0, 0, event.BySize{}, 0, event.BySize{}, 0},
		{"sorted", []event.Fact{sorted(1, 5), sorted(2, 7), sorted(4, 1)}, 13, 13, event.BySize{5, 7, 0, 1}, 13, event.BySize{}, 0},
		{"rejected at the bench", []event.Fact{sorted(2, 7), rejected(event.Bench, 2, 3), rejected(event.Bench, 0, 1)},
			11, 7, event.BySize{0, 7}, 7, event.BySize{}, 0},
		{"split at the bench", []event.Fact{split(event.Bench, 3, 12, 1, 2)}, 12, 12, event.BySize{12, 12}, 24, event.BySize{}, 12},
		{"split out of holding", []event.Fact{sorted(3, 12), split(event.Holding, 3, 5, 1, 2)}, 12, 12, event.BySize{5, 5, 7}, 17, event.BySize{}, 5},
		{"a four into six", []event.Fact{split(event.Bench, 4, 2, 1, 1, 1, 1, 1, 1)}, 2, 2, event.BySize{12}, 12, event.BySize{}, 10},
		{"a split of a piece", []event.Fact{split(event.Bench, 4, 1, 2, 2), split(event.Holding, 2, 1, 1, 1)}, 1, 1, event.BySize{2, 1}, 3, event.BySize{}, 2},
		{"placed", []event.Fact{sorted(2, 10), placed(2, 4)}, 10, 10, event.BySize{0, 6}, 6, event.BySize{0, 4}, 0},
		{"came back and placed again", []event.Fact{sorted(2, 10), placed(2, 10), cameBack(2, 4), placed(2, 3)}, 10, 10, event.BySize{0, 1}, 1, event.BySize{0, 9}, 0},
		{"rejected at placing", []event.Fact{sorted(2, 10), rejected(event.Holding, 2, 3)}, 10, 10, event.BySize{0, 7}, 7, event.BySize{}, 0},
		{"rejected at placing, size unknown", []event.Fact{sorted(1, 4), sorted(2, 10), rejected(event.Holding, 0, 3)}, 14, 14, event.BySize{4, 10}, 11, event.BySize{}, 0},
		{"placed ahead of sorting", []event.Fact{sorted(1, 5), placed(1, 8), placed(2, 1)}, 5, 5, event.BySize{-3, -1}, -4, event.BySize{8, 1}, 0},
		{"came back more than was placed", []event.Fact{cameBack(1, 2)}, 0, 0, event.BySize{2}, 2, event.BySize{-2}, 0},
		{"split ahead of sorting", []event.Fact{split(event.Holding, 3, 2, 1, 1, 1)}, 0, 0, event.BySize{6, 0, -2}, 4, event.BySize{}, 4},
		{"rejected ahead of sorting", []event.Fact{rejected(event.Holding, 0, 2)}, 0, 0, event.BySize{}, -2, event.BySize{}, 0},
		{"other kinds", []event.Fact{&event.Note{Text: "x"}, &event.Attempt{Outcome: 1, N: 9}}, 0, 0, event.BySize{}, 0, event.BySize{}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var tally Tally
			add(&tally, 1, tt.facts...)
			c := tally.Counts()
			if c.Judged() != tt.judged || c.Kept() != tt.kept || c.Gained != tt.gained {
				t.Errorf("got judged %d, kept %d, gained %d, want %d, %d, %d", c.Judged(), c.Kept(), c.Gained, tt.judged, tt.kept, tt.gained)
			}
			if c.Holding() != tt.holding || c.HoldingTotal() != tt.total || c.Placed() != tt.placed {
				t.Errorf("got holding %v, %d, placed %v, want %v, %d, %v", c.Holding(), c.HoldingTotal(), c.Placed(), tt.holding, tt.total, tt.placed)
			}
			add(&tally, -1, tt.facts...)
			if got := tally.Counts(); got != (Counts{}) {
				t.Errorf("all undone: got %+v, want nothing", got)
			}
		})
	}
}

func TestSites(t *testing.T) {
	sites := func(size event.Size, n uint32) event.Fact { return &event.Sites{Zone: front, Size: size, N: n} }
	closed := func(size event.Size, n uint32) event.Fact {
		return &event.SitesClosed{Zone: front, Size: size, N: n}
	}
	tests := []struct {
		name  string
		facts []event.Fact
		open  event.BySize
	}{
		{"made", []event.Fact{sites(1, 20), sites(2, 30), sites(1, 5)}, event.BySize{25, 30}},
		{"filled", []event.Fact{sites(2, 30), placed(2, 12)}, event.BySize{0, 18}},
		{"a graft that came back opens its site", []event.Fact{sites(2, 30), placed(2, 12), cameBack(2, 2)}, event.BySize{0, 20}},
		{"given up", []event.Fact{sites(2, 30), placed(2, 12), closed(2, 18)}, event.BySize{}},
		{"more filled than made", []event.Fact{sites(2, 5), placed(2, 12)}, event.BySize{0, -7}},
		{"filled with another size", []event.Fact{sites(2, 5), placed(1, 5)}, event.BySize{-5, 5}},
		{"more given up than made", []event.Fact{closed(3, 2)}, event.BySize{0, 0, -2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var tally Tally
			add(&tally, 1, tt.facts...)
			if got := tally.Zone(front).OpenSites(); got != tt.open {
				t.Errorf("got %v, want %v", got, tt.open)
			}
			if got := tally.Zone(crown); got != (ZoneCounts{}) {
				t.Errorf("another zone: got %+v, want nothing", got)
			}
			add(&tally, -1, tt.facts...)
			if got := tally.Zone(front); got != (ZoneCounts{}) {
				t.Errorf("all undone: got %+v, want nothing", got)
			}
		})
	}
}

func TestReasons(t *testing.T) {
	var tally Tally
	for reason := event.ReasonCut; reason <= event.ReasonOther; reason++ {
		add(&tally, 1, &event.Rejected{From: event.Bench, Reason: reason, N: uint32(reason)},
			&event.Rejected{From: event.Holding, Size: 1, Reason: reason, N: 10})
	}
	c := tally.Counts()
	if want := [event.Reasons]int64{11, 12, 13, 14, 15, 16, 17}; c.Reasons != want {
		t.Errorf("got %v, want %v", c.Reasons, want)
	}
	if c.RejectedBench != 28 || c.RejectedPlacing != (event.BySize{70}) || c.RejectedUnsized != 0 {
		t.Errorf("got %d, %v, %d, want 28, 70 singles, 0", c.RejectedBench, c.RejectedPlacing, c.RejectedUnsized)
	}
}

func TestNewestByStation(t *testing.T) {
	tests := []struct {
		name string
		fact event.Fact
		want Newest
	}{
		{"sorted", sorted(1, 1), Newest{Sorting: 9}},
		{"split from holding", split(event.Holding, 2, 1, 1, 1), Newest{Sorting: 9}},
		{"rejected at the bench", rejected(event.Bench, 0, 1), Newest{Sorting: 9}},
		{"rejected at placing", rejected(event.Holding, 1, 1), Newest{Placing: 9}},
		{"rejected at placing, size unknown", rejected(event.Holding, 0, 1), Newest{Placing: 9}},
		{"sites", &event.Sites{Zone: front, Size: 1, N: 1}, Newest{Sites: 9}},
		{"sites given up", &event.SitesClosed{Zone: front, Size: 1, N: 1}, Newest{Sites: 9}},
		{"placed", placed(1, 1), Newest{Placing: 9}},
		{"came back", cameBack(1, 1), Newest{Placing: 9}},
		{"another kind", &event.Note{Text: "x"}, Newest{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var tally Tally
			tally.Add(&event.Event{Stamp: 9, Fact: tt.fact}, 1)
			tally.Add(&event.Event{Stamp: 9, Fact: tt.fact}, -1)
			tally.Add(&event.Event{Stamp: 3, Fact: tt.fact}, 1)
			if got := tally.Newest(); got != tt.want {
				t.Errorf("got %+v, want %+v", got, tt.want)
			}
		})
	}
}

// No graft is made or lost between the stocks: what is kept and gained lies in
// holding, is placed, or was rejected at placing.
func TestGraftsAreConserved(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var tally Tally
		for range rapid.IntRange(0, 30).Draw(rt, "entries") {
			size := event.Size(rapid.IntRange(1, 4).Draw(rt, "size"))
			n := rapid.Uint32Range(1, 500).Draw(rt, "n")
			from := event.Stock(rapid.IntRange(1, 2).Draw(rt, "from"))
			fact := rapid.SampledFrom([]event.Fact{sorted(size, n), split(from, 4, n, 1, 1, 2), rejected(from, size, n),
				rejected(from, 0, n), placed(size, n), cameBack(size, n)}).Draw(rt, "fact")
			add(&tally, 1, fact)
			if rapid.IntRange(0, 4).Draw(rt, "undone") == 0 {
				add(&tally, -1, fact)
			}
		}
		c := tally.Counts()
		out := c.HoldingTotal() + c.Placed().Total() + c.RejectedPlacing.Total() + c.RejectedUnsized
		if in := c.Kept() + c.Gained; in != out {
			rt.Fatalf("got %d in and %d out: %+v", in, out, c)
		}
	})
}
