package syncengine

import (
	"slices"
	"strconv"
	"strings"

	"rootledger/shared/event"
	"rootledger/shared/session"
)

// stock is where grafts lie: the bench, the holding, or one dish of it.
const stock = `(the bench|the holding|dish ([\w-]+))`

func stockOf(words string) event.Stock {
	if words == "the bench" {
		return event.Bench
	}
	return event.Holding
}

// dish is the dish with a label, none where there is none.
func (s *stage) dish(label string) event.Ref {
	if label == "" {
		return event.Ref{}
	}
	return s.ref("dish " + label)
}

// deskVerbs are dishes, recounts, and what is put right.
var deskVerbs = []verb{
	line(`opens dish `+name+`(?: for `+size+`)?`, func(_ *stage, a []string) event.Fact {
		return &event.Dish{Label: a[1], Size: sizeOf(a[2])}
	}),
	line(`closes dish `+name, func(s *stage, a []string) event.Fact { return &event.DishClosed{Dish: s.dish(a[1])} }),
	line(`is done with dish `+name+`(?: in `+name+`)?: (.+)`, func(s *stage, a []string) event.Fact {
		f := &event.DishDone{Dish: s.dish(a[1]), Zone: s.ref(a[2])}
		for part := range strings.SplitSeq(a[3], ", ") {
			word := strings.Fields(part)
			n, at := s.number(word[0]), sizeOf(word[1])-1
			switch word[2] {
			case "placed":
				f.Placed[at] = n
			case "returned":
				f.Returned[at] = n
			default:
				f.Rejected[at] = n
				f.Reason, _ = event.ParseReason(word[2])
			}
		}
		return f
	}),
	line(`counts `+number+`(?: `+size+`)? (?:in|on) `+stock+` again`, func(s *stage, a []string) event.Fact {
		return &event.Recount{N: s.number(a[1]), Size: sizeOf(a[2]), Of: stockOf(a[3]), Dish: s.dish(a[4])}
	}),
	line(`counts `+number+` open sites(?: for `+size+`)? in `+name+` again`, func(s *stage, a []string) event.Fact {
		return &event.Recount{N: s.number(a[1]), Size: sizeOf(a[2]), Of: event.OpenSites, Zone: s.ref(a[3])}
	}),
	line(`settles (\w+)(?: `+size+`)?(?: of `+name+`)?(?: at `+name+`)? by (-?\d+): (.+)`, func(s *stage, a []string) event.Fact {
		f := &event.Settled{Size: sizeOf(a[2]), Region: s.ref(a[4]), Reason: a[6]}
		f.What, _ = event.ParseIdentity(a[1])
		f.Amount, _ = strconv.ParseInt(a[5], 10, 64)
		if f.At = s.names[a[3]]; f.What == event.InDish {
			f.At = s.dish(a[3])
		}
		return f
	}),
	line(`keeps grafts out for `+number+` to `+number+` minutes, placing in `+number+` minutes at `+number+` an hour`, func(s *stage, a []string) event.Fact {
		return &event.Keeping{AmberMin: int64(s.number(a[1])), RedMin: int64(s.number(a[2])),
			PlacingMs: s.ms + 60_000*int64(s.number(a[3])), PerHour10: 10 * int64(s.number(a[4]))}
	}),
	line(`moves the last (\d+ entries|entry) to (.+)`, func(s *stage, a []string) event.Fact {
		n := 1
		if many, ok := strings.CutSuffix(a[1], " entries"); ok {
			n = int(s.number(many))
		}
		r, f := s.phones[s.who], &event.Refiled{}
		for _, one := range r.State().LastEntries(r.Me().Replica, n) {
			f.Targets = append(f.Targets, one.Ref)
		}
		for part := range strings.SplitSeq(a[2], ", ") {
			s.file(f, part)
		}
		return f
	}),
}

// opening is a count as what was there before.
func opening(fact event.Fact) event.Fact {
	f := &event.OpeningCount{Of: fact.Kind()}
	switch c := fact.(type) {
	case *event.Fired:
		f.Pass, f.Region, f.N = c.Pass, c.Region, c.N
	case *event.Attempt:
		f.Pass, f.Region, f.Outcome, f.N = c.Pass, c.Region, c.Outcome, c.N
	case *event.Sorted:
		f.Size, f.N = c.Size, c.N
	case *event.Placed:
		f.Zone, f.Size, f.N = c.Zone, c.Size, c.N
	}
	return f
}

// file sets one field of a refile: "region R", "no dish", "doubles".
func (s *stage) file(f *event.Refiled, words string) {
	what, to, _ := strings.Cut(words, " ")
	switch {
	case words == "no dish":
		f.Sets |= event.FiledDish
	case what == "dish":
		f.Sets, f.Dish = f.Sets|event.FiledDish, s.dish(to)
	case what == "pass":
		f.Sets, f.Pass = f.Sets|event.FiledPass, s.ref(to)
	case what == "region":
		f.Sets, f.Region = f.Sets|event.FiledRegion, s.ref(to)
	case what == "set-up":
		f.Sets, f.Setup = f.Sets|event.FiledSetup, s.ref("set-up "+to)
	case what == "zone":
		f.Sets, f.Zone = f.Sets|event.FiledZone, s.ref(to)
	default:
		f.Sets, f.Size = f.Sets|event.FiledSize, sizeOf(words)
	}
}

// figure finds a figure by its name, or what was punched at a region.
func (s *stage) figure(words string) func(session.View) int64 {
	if tried := s.tried(words); tried != nil {
		return tried
	}
	region, ok := strings.CutPrefix(words, "punched at ")
	if !ok && figures[words] == nil {
		return doseFigures[words]
	}
	if !ok {
		return figures[words]
	}
	return func(v session.View) int64 {
		at := slices.IndexFunc(v.Regions, func(r session.Region) bool { return r.Ref == s.ref(region) })
		return v.Regions[max(at, 0)].Punched
	}
}

var figures = map[string]func(session.View) int64{
	"punched":         func(v session.View) int64 { return v.Ledger.Attempts.Punched },
	"outcomes":        func(v session.View) int64 { return v.Ledger.Attempts.OutcomeTotal() },
	"intact":          func(v session.View) int64 { return v.Ledger.Attempts.Outcomes[0] },
	"pending":         func(v session.View) int64 { return v.Ledger.Attempts.Pending },
	"out":             func(v session.View) int64 { return v.Ledger.Out },
	"buried open":     func(v session.View) int64 { return v.Ledger.BuriedOpen },
	"judged":          func(v session.View) int64 { return v.Ledger.Judged },
	"bench":           func(v session.View) int64 { return v.Ledger.Bench },
	"holding":         func(v session.View) int64 { return v.Ledger.HoldingTotal },
	"holding singles": func(v session.View) int64 { return v.Ledger.Holding[0] },
	"holding doubles": func(v session.View) int64 { return v.Ledger.Holding[1] },
	"holding unsized": func(v session.View) int64 { return v.Ledger.HoldingUnsized },
	"holding triples": func(v session.View) int64 { return v.Ledger.Holding[2] },
	"placed":          func(v session.View) int64 { return v.Ledger.PlacedTotal },
	"open sites":      func(v session.View) int64 { return v.Ledger.OpenSites },
	"usable":          func(v session.View) int64 { return v.Headline.Usable },
	"gained":          func(v session.View) int64 { return v.Ledger.Gained },
	"on the way":      func(v session.View) int64 { return v.Headline.OnTheWay },
	"to take":         func(v session.View) int64 { return v.Headline.ToTake },
	"attempts left":   func(v session.View) int64 { return v.Headline.Attempts },
	"at least":        func(v session.View) int64 { return v.Headline.Low },
	"at most":         func(v session.View) int64 { return v.Headline.High },
	"donor left":      func(v session.View) int64 { return v.Headline.DonorLeft },
	"stop at":         func(v session.View) int64 { return v.Headline.StopAt },
	"budget":          func(v session.View) int64 { return v.Headline.Budget },
	"need":            func(v session.View) int64 { return v.Ledger.NeedTotal },
	"capacity":        func(v session.View) int64 { return v.Ledger.CapacityTotal },
	"against":         func(v session.View) int64 { return v.Ledger.Attempts.Against },
	"differences":     func(v session.View) int64 { return int64(len(v.Differences)) },
	"split":           func(v session.View) int64 { return v.Session.Splits },
	"sorted":          func(v session.View) int64 { return v.Ledger.Sorted.Total() },

	"came":                func(v session.View) int64 { return v.TimeOut.Came },
	"left":                func(v session.View) int64 { return v.TimeOut.Left },
	"still out":           func(v session.View) int64 { return v.TimeOut.Waiting },
	"mean seconds out":    func(v session.View) int64 { return v.TimeOut.MeanMs / 1000 },
	"longest minutes out": func(v session.View) int64 { return v.TimeOut.LongestMs / 60_000 },
	"oldest minutes out":  func(v session.View) int64 { return v.TimeOut.OldestMin },
	"wait ahead":          func(v session.View) int64 { return v.TimeOut.ForecastMin },
	"pauses asked":        pausesAsked,

	"budgets standing": func(v session.View) int64 { return v.Ledger.BudgetsStanding },
}

// pausesAsked is how often a view asks to pause extraction.
func pausesAsked(v session.View) (n int64) {
	for _, a := range v.Asks {
		if a.What == session.AskPauseOld || a.What == session.AskPauseAhead {
			n++
		}
	}
	return n
}
