package browser

import (
	"context"
	"errors"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/cdproto/memory"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Held is what a page's own thread holds after everything that it needs no more
// was freed. Its worker has a memory of its own.
type Held struct {
	Heap, Around     int // bytes: of scripts, and of what the browser keeps for them
	Nodes, Listeners int
}

// Held frees and looks, a few times: what is held on to is held each time, and a
// page that just draws holds more for a moment.
func (p *Page) Held() (Held, error) {
	least, err := p.held()
	for range 4 {
		time.Sleep(200 * time.Millisecond)
		h, failed := p.held()
		err = errors.Join(err, failed)
		least = Held{min(least.Heap, h.Heap), min(least.Around, h.Around), min(least.Nodes, h.Nodes), min(least.Listeners, h.Listeners)}
	}
	return least, err
}

func (p *Page) held() (h Held, err error) {
	err = p.said("heap", func(ctx context.Context, t *chromedp.Target) error {
		for range 2 { // what the first lets go of, the second finds
			if _, err := cdp.Call(ctx, t, heapprofiler.CollectGarbage, cdp.Empty{}); err != nil {
				return err
			}
		}
		heap, err := cdp.Call(ctx, t, runtime.GetHeapUsage, cdp.Empty{})
		there, failed := cdp.Call(ctx, t, memory.GetDOMCounters, cdp.Empty{})
		if err := errors.Join(err, failed); err != nil {
			return err
		}
		h = Held{int(heap.UsedSize), int(heap.EmbedderHeapUsedSize + heap.BackingStorageSize), int(there.Nodes), int(there.JsEventListeners)}
		return nil
	})
	return h, err
}
