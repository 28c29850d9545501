package simulation_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// flaws are lines that somebody might get wrong. Each is compiled into the
// simulator in the place of the right one; a simulator that does not notice
// would not notice the mistake either.
var flaws = []struct {
	name, file, right, wrong string
}{
	{"acknowledge before the commit", "server/hub/room.go",
		"	if len(b.fresh) > 0 {\n		if err := r.hub.store.Append(",
		"	for conn, ack := range b.acks {\n		conn.acknowledge(r.acked(ack), ack.refused)\n	}\n	if len(b.fresh) > 0 {\n		if err := r.hub.store.Append("},
	{"clamp a stock at zero", "shared/stock/stock.go",
		"{ return c.Holding().Total() + c.Unsized() }", "{ return max(0, c.Holding().Total()+c.Unsized()) }"},
	{"forget prev", "syncengine/log.go",
		"parent, known = o.lineWith(e.Seq-1, e.Prev); !known {",
		"parent, known = 0, len(o.lines) > 0 && o.lines[0].at(e.Seq-1) != nil; !known {"},
	{"insert or ignore", "syncengine/log.go",
		"	if line, known := o.lineOf(e.Ref()); known {", "	if line := 0; len(o.lines) > 0 && o.lines[0].at(e.Seq) != nil {\n		return linked, nil\n	} else if known := false; known {"},
	{"drop a late event", "syncengine/replica.go",
		"		before := len(fresh)\n", "		before := len(fresh)\n		if e.Stamp.Ms() < r.state.NewestMs()-20_000 {\n			continue\n		}\n"},
	{"send what is newer than the last meeting", "server/hub/conn.go",
		"at < c.known && c.peer.Has(it.place)", "at < c.known && it.event.Stamp.Ms() < c.room.now().WallMs-5_000"},
	{"the last budget counts", "shared/budget/budget.go",
		"return int64(standing[0].Value.Grafts), true", "return int64(b.grafts.Newest().Value.Grafts), true"},
	{"use a replica id again", "pwa/bridge/engine.go", "	if g.replica.Cloned() {", "	if g.replica == nil {"},
	{"lose a void that came first", "shared/session/apply.go",
		"e.Fact.Kind().Voidable() && s.Undone(e.Ref())", "e == nil"},
	{"keep a void of a void's target twice", "shared/session/apply.go", "case stands && en.status == counted:", "case stands:"},
	{"send before it is kept", "syncengine/replica.go", "r.held > 0 && span.Replica", "r.held > 1<<50 && span.Replica"},
	{"take what waited for stored", "pwa/bridge/engine.go", "	for _, e := range events { // and not all of fresh", "	for _, e := range fresh { // and not all of fresh"},
	{"offer nothing when a history splits", "pwa/bridge/engine.go", "		g.offer(d) // where a second history shows that the server lacks ours\n", ""},
	{"keep nothing aside", "syncengine/log.go", "		return linked, l.keepAside(o, e)\n", "		return linked, nil\n"},
	{"the refile that came last counts", "shared/session/refile.go",
		"(last[i] == nil || event.Before(last[i], e))", "true"},
	{"a recount forgets what was told late", "shared/session/recount.go", "kind.Counts() && !e.Late:", "kind.Counts():"},
	{"a recount is held to the ledger as it was first known", "shared/session/recount.go",
		"e.Late || event.Before(e, r.list[len(r.list)-1])", "e.Late"},
	{"anyone settles", "shared/session/state.go", "		return fault.New(fault.Denied, \"settle-lead\")\n", ""},
	{"the last weight counts", "shared/dose/dose.go", "have == nil || w.Grams < have.Grams ||", "have == nil || stamp > of.Stamp ||"},
	{"anyone configures agents", "shared/session/state.go", "	case *event.Agent, *event.DoseRule:\n		return fault.New(fault.Denied, \"dose-lead\")\n", ""},
	{"a dose that is undone stays", "shared/dose/dose.go", "		l.doses = event.Turned(l.doses, e, sign)\n", "		if sign > 0 {\n			l.doses = event.Turned(l.doses, e, sign)\n		}\n"},
	{"believe an acknowledgement of more", "pwa/bridge/engine.go", "		for _, one := range m.Refused {\n", "		g.stored = g.server\n		for _, one := range m.Refused {\n"},
}

// TestFlawsAreCaught: every flaw breaks a promise within a few hundred days.
func TestFlawsAreCaught(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	for _, flaw := range flaws {
		t.Run(flaw.name, func(t *testing.T) {
			t.Parallel()
			binary := build(t, root, flaw.file, flaw.right, flaw.wrong)
			out, err := exec.Command(binary, "-seeds", "400", "-stop").CombinedOutput()
			if err == nil {
				t.Fatalf("not noticed: %s", out)
			}
			if !strings.Contains(string(out), "make simulate SEEDS=1 START=") {
				t.Fatalf("no way to play it again: %s", out)
			}
			t.Log(strings.SplitN(string(out), "\n", 3)[:2])
		})
	}
}

// build compiles the simulator with one line changed, beside the tree.
func build(t *testing.T, root, file, right, wrong string) string {
	t.Helper()
	path := filepath.Join(root, file)
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(source), right); n != 1 {
		t.Fatalf("%s has the right line %d times, want once:\n%s", file, n, right)
	}
	dir := t.TempDir()
	changed, overlay, binary := filepath.Join(dir, "changed.go"), filepath.Join(dir, "overlay.json"), filepath.Join(dir, "simulate")
	table, err := json.Marshal(map[string]map[string]string{"Replace": {path: changed}})
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{changed: strings.Replace(string(source), right, wrong, 1), overlay: string(table)} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	command := exec.Command("go", "build", "-trimpath", "-overlay", overlay, "-o", binary, "./tests/simulation/simulate")
	command.Dir = root
	if out, err := command.CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	return binary
}
