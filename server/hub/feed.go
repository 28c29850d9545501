package hub

import (
	"sync/atomic"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// feed is every stored event of a room in the order of arrival. One goroutine
// appends, any number read: a reader sees a prefix that never changes. A slow
// reader costs one position, not a queue.
type feed struct{ items atomic.Pointer[[]item] }

type item struct {
	event *event.Event
	place syncengine.Place
	from  uint64 // the connection that brought it, 0 when read from the store
}

func newFeed(items []item) *feed {
	f := new(feed)
	f.items.Store(&items)
	return f
}

// extend publishes more items. Readers of the old slice never look past its length.
func (f *feed) extend(more []item) {
	items := append(*f.items.Load(), more...)
	f.items.Store(&items)
}

func (f *feed) all() []item { return *f.items.Load() }
