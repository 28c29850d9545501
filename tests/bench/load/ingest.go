package load

import (
	"errors"
	"fmt"
	"sync"
	"time"
)

// Flusher is a phone that can wait for what it sent.
type Flusher interface {
	// Flush sends n taps and returns when all are acknowledged.
	Flush(n int) error
}

// Ingested is what one closed loop came to.
type Ingested struct {
	// Flushes has how long each flush took, until its last acknowledgement.
	Flushes []time.Duration
	// Time is from the first flush to the last acknowledgement of all.
	Time time.Duration
}

// Ingest has each phone flush so many taps so often, each time when the flush
// before is acknowledged: the loop is closed, and the server sets the pace.
func Ingest(phones []Flusher, flushes, taps int) (Ingested, error) {
	if n := len(phones); n < 1 || n > MaxPhones || flushes < 1 || taps < 1 || flushes*taps > MaxTaps/n {
		return Ingested{}, fmt.Errorf("load out of bounds: %d phones, %d flushes of %d taps", n, flushes, taps)
	}
	took, errs := make([][]time.Duration, len(phones)), make([]error, len(phones))
	var flushing sync.WaitGroup
	start := time.Now()
	for i, phone := range phones {
		flushing.Go(func() {
			for range flushes {
				at := time.Now()
				if errs[i] = phone.Flush(taps); errs[i] != nil {
					return
				}
				took[i] = append(took[i], time.Since(at))
			}
		})
	}
	flushing.Wait()
	result := Ingested{Time: time.Since(start)}
	for _, times := range took {
		result.Flushes = append(result.Flushes, times...)
	}
	return result, errors.Join(errs...)
}
