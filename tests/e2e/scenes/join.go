package scenes

import (
	"errors"

	"rootledger/tests/e2e/browser"
	"rootledger/tests/e2e/rig"
)

// joining is the page on which a phone joins.
func (t *Tour) joining() error {
	looked := until(`document.querySelector(".join form") && document.querySelectorAll(".steps > .done").length === 4`)
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
	return errors.Join(err, t.joinsOf("keeps-nothing", rig.NoStorage, there(".steps .now")),
		t.joinsOf("iphone", rig.IPhone, there(".how .touch")),
		t.joinsOf("iphone-icon", rig.IPhone+rig.FromIcon, there(".codes .do")),
		t.joinsOf("android", rig.Android, press("summary", 0), there(".how .touch")),
		t.joinsOf("plain", rig.PlainAddress, there(".codes p")),
		t.joinsOf("clock", rig.Slow, there(".steps .now")),
		t.noRoom())
}

// joinsOf is the page on a device that a script makes another one.
func (t *Tour) joinsOf(state, before string, then ...step) error {
	return t.with(func(p *browser.Page) error {
		if err := p.Before(before); err != nil {
			return err
		}
		return t.visit(p, "join", plain(state, append([]step{open(t.day.URL() + "/"), there(".join .looks"), until(`document.querySelectorAll(".steps > .done").length > 1`)}, then...)...))
	})
}

// noRoom is the page where the room does not answer, and the camera is not there.
func (t *Tour) noRoom() error {
	g, err := rig.NewGate(t.day.Serving.Addr)
	if err != nil {
		return err
	}
	shut := func(*browser.Page) error { g.Shut(); return nil }
	return errors.Join(t.with(func(p *browser.Page) error {
		return t.visit(p, "join",
			plain("away", open(g.URL()+"/"), there(".join .looks"), shut, there(".unreached")),
			sheet("no-camera", press(".codes .do", 0), there("dialog .warn")))
	}), g.Close())
}
