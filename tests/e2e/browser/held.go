package browser

import (
	"context"
	"errors"

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

// Held frees and looks.
func (p *Page) Held() (h Held, err error) {
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
