package hub

import (
	"sync"
	"sync/atomic"

	"rootledger/shared/event"
	"rootledger/syncengine"
)

// feed is every stored event of a room in the order of arrival. One goroutine
// appends, any number read: a reader sees a prefix that never changes. A slow
// reader costs one position, not a queue.
type feed struct {
	items atomic.Pointer[[]item]

	mu     sync.Mutex
	frames [4]*sharedFrame // the newest, for readers at the same place
	next   int             // where the next goes
}

// sharedFrame is the Events message of as many items from one place on, up to
// another, as it holds. Whoever needs it first packs it, and only those who
// need the same one wait.
type sharedFrame struct {
	from, upTo int
	once       sync.Once
	n          int
	bytes      []byte
}

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

// frame is the Events message of as many items from a place on as it holds, and
// how many those are. It is packed once for all readers, none of which may
// change it.
func (f *feed) frame(items []item, from int) (bytes []byte, n int) {
	one := f.shared(from, min(len(items), from+syncengine.MaxFrameEvents))
	one.once.Do(func() {
		var batch syncengine.Packer
		for from+batch.Len() < one.upTo && batch.Add(items[from+batch.Len()].event) {
		}
		one.n, one.bytes = batch.Len(), syncengine.EncodeMessage(batch.Message())
	})
	return one.bytes, one.n
}

func (f *feed) shared(from, upTo int) *sharedFrame {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, one := range f.frames {
		if one != nil && one.from == from && one.upTo == upTo {
			return one
		}
	}
	one := &sharedFrame{from: from, upTo: upTo}
	f.frames[f.next] = one
	f.next = (f.next + 1) % len(f.frames)
	return one
}

func (f *feed) all() []item { return *f.items.Load() }
