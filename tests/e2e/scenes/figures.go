package scenes

import "rootledger/tests/e2e/browser"

// figures is the page that says how each figure is computed.
func (t *Tour) figures() error {
	return t.with(func(p *browser.Page) error {
		top := t.day.URL() + "/figures"
		return t.visit(p, "figures",
			plain("top", open(top), there(".f-one")),
			plain("one", open("about:blank"), open(top+"#residual"), there("#residual"), scroll(2600)),
			plain("end", scroll(99999)),
		)
	})
}
