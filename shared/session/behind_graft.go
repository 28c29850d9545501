package session

import "rootledger/shared/event"

// move is one change of a stock of grafts or sites by one entry.
type move struct {
	kind event.Kind
	size event.Size // 0: unknown
	zone event.Ref
	dish event.Ref
	n    int64 // what the holding or the sites gain, below zero what they lose
}

// moves lists what an entry moves, of sorted grafts and of sites.
func moves(e *event.Event) []move {
	kind := e.Fact.Kind()
	switch f := e.Fact.(type) {
	case *event.Sorted:
		return []move{{kind, f.Size, event.Ref{}, f.Dish, int64(f.N)}}
	case *event.Split:
		var out []move
		for _, piece := range f.Pieces {
			out = append(out, move{kind, piece, event.Ref{}, f.Dish, int64(f.N)})
		}
		if f.From == event.Holding {
			out = append(out, move{kind, f.Size, event.Ref{}, f.Dish, -int64(f.N)})
		}
		return out
	case *event.Rejected:
		if f.From == event.Holding {
			return []move{{kind, f.Size, event.Ref{}, f.Dish, -int64(f.N)}}
		}
	case *event.Placed:
		return []move{{kind, f.Size, f.Zone, f.Dish, -int64(f.N)}}
	case *event.CameBack:
		return []move{{kind, f.Size, f.Zone, f.Dish, int64(f.N)}}
	case *event.DishDone:
		var out []move
		for i := range event.Sizes {
			size := event.Size(i + 1)
			out = append(out, move{event.KindPlaced, size, f.Zone, f.Dish, -int64(f.Placed[i])},
				move{event.KindRejected, size, event.Ref{}, f.Dish, -int64(f.Rejected[i])},
				move{kind, size, event.Ref{}, f.Dish, -int64(f.Returned[i])})
		}
		return out
	case *event.Sites:
		return []move{{kind, f.Size, f.Zone, event.Ref{}, int64(f.N)}}
	case *event.SitesClosed:
		return []move{{kind, f.Size, f.Zone, event.Ref{}, -int64(f.N)}}
	case *event.Settled:
		switch f.What {
		case event.Held, event.InDish:
			return []move{{kind, f.Size, event.Ref{}, f.At, f.Amount}}
		case event.SitesOpen:
			return []move{{kind, f.Size, f.At, event.Ref{}, f.Amount}}
		}
	}
	return nil
}

// graftEffect is the sum of an entry's moves that a figure is about.
func graftEffect(q Question, e *event.Event) (sum int64, ok bool) {
	if q.Of == FigureKept || q.Of == FigurePaceSorting {
		n, judged := benchEffect(e)
		return -n, judged && e.Fact.Kind() != event.KindSettled
	}
	for _, m := range moves(e) {
		if m.n == 0 || q.Size != 0 && m.size != q.Size {
			continue
		}
		if n, is := m.of(q, e); is {
			sum, ok = sum+n, true
		}
	}
	return sum, ok
}

// of is what a move does to a figure.
func (m move) of(q Question, e *event.Event) (n int64, ok bool) {
	here := q.At.IsZero() || q.At == m.zone
	placing := m.kind == event.KindPlaced || m.kind == event.KindCameBack
	sites := m.kind == event.KindSites || m.kind == event.KindSitesClosed || m.kind == event.KindSettled && !m.zone.IsZero()
	switch q.Of {
	case FigureHolding:
		return m.n, !sites && m.kind != event.KindDishDone // what comes out of a dish only is held still
	case FigureDish:
		return m.n, q.At == m.dish && !m.dish.IsZero()
	case FigurePlaced:
		return -m.n, placing && here
	case FigureHairs:
		if q.At.IsZero() {
			return m.n * int64(m.size), m.kind == event.KindSorted || m.kind == event.KindSplit
		}
		return -m.n * int64(m.size), placing && here
	case FigureSites:
		return m.n, (sites || placing) && here
	case FigurePaceSites:
		return m.n, m.kind == event.KindSites
	case FigurePacePlacing:
		return -m.n, m.kind == event.KindPlaced
	}
	return m.n, m.kind == event.KindSorted || m.kind == event.KindSplit // sorted, and what the mix is expected from
}
