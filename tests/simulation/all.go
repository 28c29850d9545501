package simulation

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// PlayAll plays the days of some seeds on all cores, each on one goroutine. It
// hands each result on, one at a time, until that says enough.
func PlayAll(first, seeds uint64, each func(Result) (enough bool)) {
	var next atomic.Uint64
	var mu sync.Mutex
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for n := next.Add(1); n <= seeds; n = next.Add(1) {
				r := Play(Write(first + n - 1))
				mu.Lock()
				enough := each(r)
				mu.Unlock()
				if enough {
					next.Store(seeds)
				}
			}
		})
	}
	workers.Wait()
}
