package session

import "rootledger/shared/event"

// touched is when each stock of grafts and sites was last counted: by entries as
// they were written, undone and moved ones included, so that no order of arrival
// changes it. A stock of one size is not touched by counts of another: in a busy
// hour something is always counted.
type touched struct {
	held  [event.Sizes + 1]event.Stamp // by size, 0 for all
	sites map[siteKey]event.Stamp
}

type siteKey struct {
	zone event.Ref
	size event.Size
}

func (t *touched) meet(e *event.Event) {
	switch f := plain(e.Fact).(type) {
	case *event.Sorted:
		t.hold(f.Size, e.Stamp)
	case *event.Split:
		for _, piece := range f.Pieces {
			t.hold(piece, e.Stamp)
		}
		t.hold(f.Size, e.Stamp)
	case *event.Rejected:
		t.hold(f.Size, e.Stamp)
	case *event.Placed:
		t.hold(f.Size, e.Stamp)
		t.site(f.Zone, f.Size, e.Stamp)
	case *event.CameBack:
		t.hold(f.Size, e.Stamp)
		t.site(f.Zone, f.Size, e.Stamp)
	case *event.Sites:
		t.site(f.Zone, f.Size, e.Stamp)
	case *event.SitesClosed:
		t.site(f.Zone, f.Size, e.Stamp)
	case *event.DishDone:
		for i := range event.Sizes {
			if f.Placed[i]+f.Rejected[i]+f.Returned[i] > 0 {
				t.hold(event.Size(i+1), e.Stamp)
				t.site(f.Zone, event.Size(i+1), e.Stamp)
			}
		}
	}
}

func (t *touched) hold(size event.Size, at event.Stamp) {
	t.held[size], t.held[0] = max(t.held[size], at), max(t.held[0], at)
}

func (t *touched) site(zone event.Ref, size event.Size, at event.Stamp) {
	if t.sites == nil {
		t.sites = make(map[siteKey]event.Stamp)
	}
	key := siteKey{zone, size}
	t.sites[key] = max(t.sites[key], at)
}
