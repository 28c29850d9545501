package web_test

import (
	"testing"

	"rootledger/server/command"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/syncengine"
)

// clinic is a server that is stopped and started again on the same data.
type clinic struct {
	t       *testing.T
	dir     string
	addr    string
	serving *command.Serving
}

func newClinic(t *testing.T) *clinic {
	t.Helper()
	c := &clinic{t: t, dir: t.TempDir(), addr: "127.0.0.1:0"}
	c.start()
	t.Cleanup(func() {
		if c.serving != nil {
			c.stop()
		}
	})
	return c
}

func (c *clinic) start() {
	c.t.Helper()
	var err error
	if c.serving, err = command.Serve(bounded(c.t), c.dir, c.addr, quiet); err != nil {
		c.t.Fatalf("start: %v", err)
	}
	c.addr = c.serving.Addr
}

func (c *clinic) stop() {
	c.t.Helper()
	if err := c.serving.Close(); err != nil {
		c.t.Errorf("stop: %v", err)
	}
	c.serving = nil
}

// rig is a rig on the clinic's server, with a session that the office opened.
func (c *clinic) rig() *rig {
	c.t.Helper()
	r := &rig{t: c.t, api: practice.NewAPI("http://"+c.addr, c.serving.Office), session: practice.RandomID[event.SessionID]()}
	r.open()
	return r
}

func TestStopAndStartLosesNothing(t *testing.T) {
	c := newClinic(t)
	r := c.rig()
	office := c.serving.Office
	phones := []*practice.Phone{r.phone("Ash"), r.phone("Birch"), r.phone("Cedar")}
	wall := r.wall()
	total := 3 + len(phones) // what the office and the phones wrote so far
	for round := range 3 {
		for _, p := range phones { // some of these are on their way while it stops
			sorts(t, p, 20)
		}
		c.stop()
		for _, p := range phones {
			sorts(t, p, 5)
		}
		total += 25 * len(phones)
		c.start()
		for _, p := range phones {
			inRoom(t, p)
		}
		holds(t, wall, total)
		view := wall.Settled()
		same(t, "events", view.Session.Events, int64(total))
		same(t, "sorted", view.Ledger.Sorted.Total(), int64(25*len(phones)*(round+1)))
	}
	same(t, "office token after restarts", c.serving.Office, office)
	for _, p := range phones {
		same(t, p.Name+": refused", len(p.Refused()), 0)
		holds(t, p, total)
	}
	same(t, "sorted on the sheet", r.sheetCell("team", "Ash (sorting)", "sorted"), "75")
}

// A peer hears that the server stops, or finds its socket closed; it is not
// left waiting.
func TestStopTellsSockets(t *testing.T) {
	c := newClinic(t)
	r := c.rig()
	phone, wall := r.joined(), r.met(practice.Pass{}, syncengine.Identity{})
	c.stop()
	for name, peer := range map[string]*raw{"a phone": phone, "a wall": wall} {
		t.Run(name, func(t *testing.T) {
			peer.t = t
			peer.trouble("stopping")
		})
	}
}

// Tokens outlive a restart: phones need not join again.
func TestTokensOutliveARestart(t *testing.T) {
	c := newClinic(t)
	r := c.rig()
	pass, me := r.pass()
	c.stop()
	c.start()
	r.met(pass, me)
	if _, err := r.phoneAPI().Renew(bounded(t), pass, me.Phone, me.Replica); err != nil {
		t.Errorf("renew: %v", err)
	}
}
