package session

import (
	"testing"

	"rootledger/shared/event"
)

// busyStage is a day with every kind of entry that moves a stock.
func busyStage(t *testing.T, mode event.Mode) (s *stage, dish, region event.Ref) {
	s = newStage(t, mode)
	s.says(lead, &event.Budget{Grafts: 400})
	region = s.says(lead, &event.Region{Code: "B", Name: "Back", AreaMM2: 10_000, Density10: 800, SharePerMille: 250, HairsPerUnit100: 210})
	dish = s.says(sorter, &event.Dish{Label: "1"})
	if mode == event.Each {
		s.says(puncher, &event.OpeningCount{Of: event.KindAttempt, Pass: s.pass, Region: region, Outcome: event.Intact, N: 60})
	} else {
		s.fires(7)
		s.says(puncher, &event.OpeningCount{Of: event.KindFired, Pass: s.pass, Region: region, N: 60})
		s.taps(event.Total, 3)
	}
	s.says(puncher, &event.Attempt{Pass: s.pass, Region: region, Outcome: event.Partial, N: 5})
	s.taps(event.Buried, 4)
	s.taps(event.Topped, 2)
	s.says(puncher, &event.Retrieved{From: event.Buried, Pass: s.pass, N: 3})
	s.says(puncher, &event.Retrieved{From: event.Topped, Pass: s.pass, N: 1})
	s.reads(100)
	s.fires(5)
	s.reads(180)
	if mode != event.Each {
		s.says(lead, &event.Settled{What: event.Pending, At: s.pass, Region: region, Amount: -4, Reason: "in the air"})
	}
	s.taps(event.Empty, 2)
	s.says(sorter, &event.Inspected{Pass: s.pass, Region: region, Grafts: 12, Whole: 25, Cut: 3})
	s.says(lead, &event.Looked{Pass: s.pass, Grafts: 5})
	wrong := s.says(sorter, &event.Sorted{Size: 2, N: 7, Dish: dish})
	s.sorts(1, 12)
	s.says(sorter, &event.Sorted{Size: 3, N: 9, Dish: dish})
	s.says(sorter, &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 4, Dish: dish})
	s.says(sorter, &event.Split{From: event.Holding, Size: 3, Pieces: []event.Size{1, 1, 1}, N: 2})
	s.says(sorter, &event.Rejected{From: event.Bench, Reason: event.ReasonCut, N: 3})
	s.makes(1, 30)
	s.makes(3, 8)
	s.says(siter, &event.SitesClosed{Zone: s.zone, Size: 3, N: 1})
	s.places(1, 11)
	s.says(placer, &event.Placed{Zone: s.zone, Size: 3, N: 4, Dish: dish})
	s.says(placer, &event.CameBack{Zone: s.zone, Size: 3, N: 1, Dish: dish})
	s.says(placer, &event.Rejected{From: event.Holding, Size: 1, Reason: event.ReasonDried, N: 1})
	s.says(placer, &event.Rejected{From: event.Holding, Reason: event.ReasonLost, N: 1})
	s.says(placer, &event.DishDone{Dish: dish, Zone: s.zone, Placed: [4]uint32{1, 2, 1}, Rejected: [4]uint32{0, 1}, Reason: event.ReasonCut, Returned: [4]uint32{0, 0, 1}})
	s.says(sorter, &event.Refiled{Targets: []event.Ref{wrong}, Sets: event.FiledSize, Size: 3})
	s.says(placer, &event.Weight{Grams: 70_000})
	s.says(lead, &event.DoseRule{Substance: "lidocaine", PerKgUG: 28_000, Strength: 100, Source: "a", Reason: "b"})
	s.says(placer, lido(3))
	s.says(placer, &event.Dosed{Label: event.LidocaineEpinephrine, VolumeUL: 1_800, Strength: 2000, Ratio: 100_000})
	s.says(placer, &event.Dosed{Label: event.Bupivacaine, VolumeUL: 4_000, Strength: 500})
	for _, f := range []event.Settled{{What: event.OnBench, Amount: 2}, {What: event.LeftIn, Amount: -1}, {What: event.Held, Size: 1, Amount: -2},
		{What: event.SitesOpen, At: s.zone, Size: 1, Amount: 3}, {What: event.InDish, At: dish, Size: 2, Amount: 1}} {
		f.Reason = "counted again"
		s.says(lead, &f)
	}
	s.tries()
	return s, dish, region
}

// The entries behind a figure add up to it.
func TestEntriesBehindAddUp(t *testing.T) {
	for mode := event.Each; mode <= event.ByException; mode++ {
		t.Run(mode.String(), func(t *testing.T) { entriesAddUp(t, mode) })
	}
}

func entriesAddUp(t *testing.T, mode event.Mode) {
	s, dish, region := busyStage(t, mode)
	v := s.state.View(replicaOf(lead), s.ms, nil)
	type row struct {
		name string
		q    Question
		want int64
	}
	rows := []row{
		{"out", Question{Of: FigureOut}, v.Ledger.Out},
		{"out of the pass", Question{Of: FigureOut, At: s.pass}, v.Ledger.Out},
		{"bench", Question{Of: FigureBench}, v.Ledger.Bench},
		{"buried", Question{Of: FigureBuried}, v.Ledger.BuriedOpen},
		{"holding", Question{Of: FigureHolding}, v.Ledger.HoldingTotal},
		{"placed", Question{Of: FigurePlaced}, v.Ledger.PlacedTotal},
		{"sites", Question{Of: FigureSites, At: s.zone}, v.Zones[0].OpenTotal},
		{"dish", Question{Of: FigureDish, At: dish}, v.Dishes[0].Total},
		{"attempted", Question{Of: FigureAttempted}, v.Ledger.Attempts.Punched},
		{"attempted in a region", Question{Of: FigureAttempted, At: region}, v.Regions[0].Punched},
		{"kept and rejected at the bench", Question{Of: FigureKept}, v.Ledger.Judged},
		{"hairs", Question{Of: FigureHairs}, v.Mix.Hairs},
		{"hairs in the zone", Question{Of: FigureHairs, At: s.zone}, v.Zones[0].Hairs},
		{"outcomes", Question{Of: FigureYield}, v.Ledger.OutcomesTotal},
		{"pending", Question{Of: FigurePending, At: s.pass}, v.Ledger.Attempts.Pending},
		{"attempted in the pass", Question{Of: FigureAttempted, At: s.pass}, v.Ledger.Attempts.Punched},
		{"with a set-up", Question{Of: FigureNotWhole}, attemptsOf(s.state.Compare(event.Ref{}, false))},
		{"in a trial", Question{Of: FigureNotWhole, At: v.Trials[0].Ref}, v.Trials[0].Arms[0].Attempts + v.Trials[0].Arms[1].Attempts},
		{"with the first arm", Question{Of: FigureNotWhole, At: v.Trials[0].Ref, Size: 1}, v.Trials[0].Arms[0].Attempts},
		{"one arm against another", Question{Of: FigureTrial, At: v.Trials[0].Ref, Size: 2}, v.Trials[0].Arms[0].Attempts + v.Trials[0].Arms[1].Attempts},
		{"in a turn", Question{Of: FigureTurn, At: v.Trials[0].Ref}, v.Trials[0].Arms[v.Trials[0].On].Attempts},
		{"totally cut", Question{Of: FigureTotal}, v.Quality.Rows[0].Rates.Total.N},
		{"partly cut of the pass", Question{Of: FigurePartial, At: s.pass}, v.Quality.Rows[1].Rates.Partial.N},
		{"topped", Question{Of: FigureTopped}, v.Quality.Rows[0].Rates.Topped.N},
		{"cut follicles", Question{Of: FigureFollicles, At: region}, 3},
		{"taken from the region", Question{Of: FigureShare, At: region}, v.Regions[0].Punched},
	}
	for i := range event.Sizes {
		size := event.Size(i + 1)
		rows = append(rows,
			row{"holding of a size", Question{Of: FigureHolding, Size: size}, v.Ledger.Holding[i]},
			row{"sorted of a size", Question{Of: FigureSorted, Size: size}, v.Mix.Sorted[i]},
			row{"placed of a size", Question{Of: FigurePlaced, At: s.zone, Size: size}, v.Zones[0].Placed[i]},
			row{"sites of a size", Question{Of: FigureSites, At: s.zone, Size: size}, v.Zones[0].Open[i]},
			row{"dish of a size", Question{Of: FigureDish, At: dish, Size: size}, v.Dishes[0].In[i]})
	}
	for _, r := range rows {
		r.q.Limit = 2
		got := s.state.Behind(r.q, s.ms)
		var sum, entries int64
		for _, p := range got.People {
			sum, entries = sum+p.Plus-p.Minus, entries+p.Entries
		}
		if sum != r.want {
			t.Errorf("%s: the entries add up to %d, the figure is %d: %+v", r.name, sum, r.want, got.People)
		}
		if int64(len(got.Entries))+got.More != entries || len(got.Entries) > 2 {
			t.Errorf("%s: %d entries and %d more, of %d", r.name, len(got.Entries), got.More, entries)
		}
	}
}

// Every figure has terms or entries, and every term that can be asked about
// leads to a figure that has some, too.
func TestEveryFigureComesFromSomewhere(t *testing.T) {
	s, dish, region := busyStage(t, event.Each)
	at := map[Figure]event.Ref{FigureShare: region, FigureResidual: region, FigureCounter: s.pass, FigureDish: dish}
	asked := map[Question]bool{}
	var ask func(q Question)
	ask = func(q Question) {
		if asked[q] {
			return
		}
		asked[q] = true
		got := s.state.Behind(q, s.ms)
		if len(got.Terms) == 0 && len(got.People) == 0 && q.Size == 0 { // of one size there may be none
			t.Errorf("%v of %v: nothing behind it", q.Of, q.At)
		}
		for _, term := range got.Terms {
			if term.Per == 0 || term.Name == "" {
				t.Errorf("%v: term %+v", q.Of, term)
			}
			if term.Of != 0 {
				ask(Question{Of: term.Of, At: term.At, Size: term.Size})
			}
		}
	}
	for f := Figure(1); int(f) <= Figures; f++ {
		if f.String() == "" {
			t.Errorf("figure %d has no name", f)
		}
		ask(Question{Of: f, At: at[f]})
	}
}
