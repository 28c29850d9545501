package crash

import (
	"sync"
	"sync/atomic"
	"time"

	"rootledger/server/practice"
	"rootledger/shared/event"
)

// ears note how long after its tap each event comes to each phone and wall, in
// parts of a day.
type ears struct {
	real func(wallMs int64) time.Time // when a phone's clock read that
	part atomic.Int32

	mu   sync.Mutex
	late [parts][]time.Duration
}

// Parts of the day.
const (
	starting = iota // the heap grows into its size
	without         // only phones and walls that read
	beside          // with those that do not
	parts
)

// on has the ears hear what comes to a phone or wall that is not connected yet.
func (e *ears) on(p *practice.Phone) {
	if e == nil {
		return
	}
	p.OnEvents(func(events []*event.Event) {
		now, part := time.Now(), e.part.Load()
		e.mu.Lock()
		defer e.mu.Unlock()
		for _, one := range events {
			if one.Fact.Kind().ByServer() {
				continue // nobody tapped it
			}
			e.late[part] = append(e.late[part], now.Sub(e.real(one.WallMs)))
		}
	})
}

// heard is what was heard in a part.
func (e *ears) heard(part int) []time.Duration {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.late[part]
}
