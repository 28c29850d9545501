package browser

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/tracing"
	"github.com/chromedp/chromedp"
)

// Moment is one thing that the browser's threads did.
type Moment struct {
	Name    string
	Thread  int
	Process int
	At, For time.Duration // from when nobody knows; how long
	Work    time.Duration // of that, how long the thread had a core
}

// traced collects what a trace tells.
type traced struct {
	mu   sync.Mutex
	list []Moment
	err  error
	all  chan struct{} // closed when all was told
}

// Trace has the browser note what its threads do until end, which returns it in
// the order in which it began.
func (p *Page) Trace(categories ...string) (end func() ([]Moment, error), err error) {
	p.traced.begin()
	err = p.said("trace", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, tracing.Start, tracing.StartParams{TransferMode: tracing.StartTransferModeReportEvents,
			TraceConfig: &tracing.TraceConfig{IncludedCategories: categories, ExcludedCategories: []string{"*"}}})
		return err
	})
	return func() ([]Moment, error) {
		if err := p.said("end of trace", func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, tracing.End, cdp.Empty{})
			return err
		}); err != nil {
			return nil, err
		}
		return p.traced.end()
	}, err
}

func (t *traced) begin() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.list, t.err, t.all = nil, nil, make(chan struct{})
}

func (t *traced) end() ([]Moment, error) {
	select {
	case <-t.all:
	case <-time.After(patience):
		return nil, errors.New("browser: the trace does not end")
	}
	slices.SortStableFunc(t.list, func(a, b Moment) int { return int(a.At - b.At) })
	return t.list, t.err
}

// hear takes what the browser says of a trace.
func (t *traced) hear(ev any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	switch e := ev.(type) {
	case *tracing.EventTracingComplete:
		close(t.all)
	case *tracing.EventDataCollected:
		for _, value := range e.Value {
			var one struct {
				Name     string
				Pid, Tid int
				Ts, Dur  float64 // µs
				Tdur     float64 // as its thread's own clock has it
			}
			if err := json.Unmarshal(value, &one); err != nil {
				t.err = errors.Join(t.err, fmt.Errorf("browser: trace: %w", err))
				continue
			}
			t.list = append(t.list, Moment{one.Name, one.Tid, one.Pid, micros(one.Ts), micros(one.Dur), micros(one.Tdur)})
		}
	}
}

func micros(n float64) time.Duration { return time.Duration(n * float64(time.Microsecond)) }
