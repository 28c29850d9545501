package scenes

import (
	"errors"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// joining is the page on which a phone joins.
func (t *Tour) joining() error {
	looked := until(`document.querySelector(".join form") && document.querySelectorAll(".steps .done").length === 2`)
	office := t.day.URL() + "/join/?session=" + t.day.Session.String() + "#" + t.day.API.Office
	err := t.with(func(p *browser.Page) error {
		return t.visit(p, "join",
			plain("empty", open(t.day.URL()+"/"), looked),
			plain("errors", write(".form .code", "AB1"), press(".form button.first", 0), until(`document.querySelectorAll(".form .wrong").length === 3`)),
			plain("refused", write(".form .code", "CD234"), write(`input[autocomplete="nickname"]`, "Maple"), press(".stations input", 3),
				press(".form button.first", 0), there(".form > .wrong")),
			plain("lead", open("about:blank"), open(office), looked),
		)
	})
	return errors.Join(err, t.with(func(p *browser.Page) error {
		if err := p.Before(rig.NoStorage); err != nil {
			return err
		}
		return t.visit(p, "join", plain("keeps-nothing", open(t.day.URL()+"/"), there(".join form"), there(".steps .now")))
	}))
}
