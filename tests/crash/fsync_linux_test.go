package crash

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rootledger/pwa/words"
)

// mustTrace skips a test, loudly, where no system call can be made to fail.
// "make test" says so too, and before that tries to install strace.
func mustTrace(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("strace"); err != nil {
		note(t.Name(), 0, "NOT TESTED: strace is missing")
		t.Skip("strace is missing, so a disk that fails is NOT tested; to test it: apt-get install strace")
	}
	if said, err := exec.Command("strace", "-qq", "-e", "trace=none", "true").CombinedOutput(); err != nil {
		note(t.Name(), 0, "NOT TESTED: strace may not trace here")
		t.Skipf("strace may not trace here, so a disk that fails is NOT tested: %v\n%s", err, said)
	}
}

// failing are the arguments of strace that make forcing to the disk fail from
// the nth time on, and note what failed in a file. SQLite is built with the one
// call or with the other.
func failing(from int, notes string) []string {
	return []string{"-f", "-qq", "-o", notes, "-e", "trace=fsync,fdatasync",
		"-e", fmt.Sprintf("inject=fsync,fdatasync:error=EIO:when=%d+", from)}
}

// startFailing starts the server on a disk that fails from the nth time on that
// something is forced to it. The tracer is a grandchild: the process is the server.
func startFailing(t *testing.T, dir, addr string, from int) *process {
	t.Helper()
	args := append(failing(from, os.DevNull), "-D", serverPath)
	return startCommand(t, addr, exec.Command("strace", append(args, serve(dir, addr)...)...))
}

// failFrom lets everything fail that a running server forces to the disk from
// now on. It is back when that holds; what failed stands in notes.
func (p *process) failFrom(ctx context.Context, t *testing.T, notes string) {
	t.Helper()
	tracer := exec.Command("strace", append(failing(1, notes), "-p", fmt.Sprint(p.cmd.Process.Pid))...)
	var said bytes.Buffer
	tracer.Stderr = &said
	must(t, tracer.Start())
	ended := make(chan error, 1)
	go func() { ended <- tracer.Wait() }()
	t.Cleanup(func() {
		p.kill(t) // which ends the tracer too
		<-ended
	})
	for !p.traced(t) {
		select {
		case err := <-ended:
			t.Fatalf("strace ended: %v\n%s", err, said.String())
		case <-ctx.Done():
			t.Fatal("strace does not attach")
		case <-time.After(time.Millisecond):
		}
	}
}

// traced says whether every thread of the server has a tracer.
func (p *process) traced(t *testing.T) bool {
	t.Helper()
	threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/status", p.cmd.Process.Pid))
	must(t, err)
	for _, thread := range threads {
		status, err := os.ReadFile(thread)
		if err == nil && strings.Contains(string(status), "TracerPid:\t0\n") {
			return false
		}
	}
	return len(threads) > 0
}

// TestDiskFails lets the disk fail under load: what was acknowledged is in the
// log without the commit that failed, the server says so and ends, and on a disk
// that works again everything goes on.
func TestDiskFails(t *testing.T) {
	mustTrace(t)
	rounds, sum, lost := 3, 0, 0
	if soaking() {
		rounds = 40
	}
	ctx := within(t, time.Minute+time.Duration(rounds)*10*time.Second)
	for i := range rounds {
		t.Run(fmt.Sprintf("round-%d", i+1), func(t *testing.T) {
			dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
			p := serving(ctx, t, dir, addr)
			r := gather(ctx, t, p, dir, "fails")
			defer func() { lost += r.lost }()
			r.begin(tapEvery)
			pause(ctx, 500*time.Millisecond+time.Duration(i)*37*time.Millisecond)
			notes := filepath.Join(t.TempDir(), "failed")
			p.failFrom(ctx, t, notes)
			endsFailing(ctx, t, p)
			failed, err := os.ReadFile(notes)
			must(t, err)
			if !bytes.Contains(failed, []byte("(INJECTED)")) {
				t.Fatalf("nothing failed:\n%s", failed)
			}
			acknowledged := r.acknowledged()
			r.withoutLast(ctx, t, dir)
			stored := r.check(ctx, t, dir)
			before := r.told()
			p = serving(ctx, t, dir, addr)
			r.heard(ctx, t, before)
			r.stopTapping(t)
			wall := r.settle(ctx, t)
			p.stop(ctx, t)
			r.agree(ctx, t, dir, wall)
			sum += int(r.acknowledged())
			t.Logf("when the disk failed %d events were acknowledged and %d stored, %d in the end", acknowledged, stored, len(r.earlier))
		})
	}
	note("disk fails under load", lost, "%d times, %d events acknowledged in the end", rounds, sum)
}

// endsFailing wants the server to end by itself, with a status and the words for
// a disk that does not take a count.
func endsFailing(ctx context.Context, t *testing.T, p *process) {
	t.Helper()
	code := p.exit(ctx, t)
	if said := p.stderr.String(); code == 0 || !saysWhy(said, "store-failed") {
		t.Errorf("on a disk that fails the server ended with %d and said:\n%s", code, said)
	}
}

// saysWhy says whether a server ended with the sentence of a fault.
func saysWhy(said, code string) bool {
	parts := hole.Split(words.English().Text("fault."+code), -1)
	at := strings.Index(said, "rootledger: "+parts[0])
	for _, part := range parts {
		if at < 0 || !strings.Contains(said[at:], part) {
			return false
		}
	}
	return true
}

// hole is where a sentence quotes an argument.
var hole = regexp.MustCompile(`\{\w+\}`)

// withoutLast wants everything that was acknowledged to be in the log before its
// last commit, which is the one that could not be forced to the disk.
func (r *room) withoutLast(ctx context.Context, t *testing.T, dir string) {
	t.Helper()
	w, err := readLog(filepath.Join(dir, logFile))
	must(t, err)
	main, err := os.ReadFile(filepath.Join(dir, database))
	must(t, err)
	keep := 0 // the log may just have begun anew
	if n := len(w.commits); n > 1 {
		keep = w.commits[n-2]
	}
	copied := filepath.Join(t.TempDir(), "copy")
	must(t, os.Mkdir(copied, 0o700))
	must(t, os.WriteFile(filepath.Join(copied, database), main, 0o600))
	must(t, os.WriteFile(filepath.Join(copied, logFile), w.bytes[:keep], 0o600))
	events, err := arrived(ctx, copied, r.id)
	must(t, err)
	heads, err := linked(events)
	must(t, err)
	for _, h := range r.all() {
		if _, stored := h.counts(); heads[h.me] < stored {
			r.lost += int(stored - heads[h.me])
			t.Errorf("%s was told that %d of its events are stored, and %d of them were before the disk failed", h.phone.Name, stored, heads[h.me])
		}
	}
}

// startSyncs is about how often the first start forces something to the disk.
const startSyncs = 10

// TestDiskFailsAtStart lets the disk fail while the server makes its data
// directory, later from one time to the next: it says why it does not start, and
// on a disk that works starts on what is there.
func TestDiskFailsAtStart(t *testing.T) {
	mustTrace(t)
	ctx := within(t, 2*time.Minute)
	failed := 0
	for from := 1; from <= startSyncs; from++ { // the tracer counts for each thread
		dir, addr := filepath.Join(t.TempDir(), "data"), freeAddr(t)
		p := startFailing(t, dir, addr, from)
		if !p.answers(ctx) {
			failed++
			if code, said := p.exit(ctx, t), p.stderr.String(); code == 0 || !saysWhy(said, "store-failed") && !saysWhy(said, "data-dir-unusable") {
				t.Errorf("on a disk that fails from the call %d on the server ended with %d and said:\n%s", from, code, said)
			}
		}
		p.kill(t)
		p = serving(ctx, t, dir, addr)
		p.kill(t)
		must(t, sound(ctx, dir))
		hasToken(t, dir)
	}
	if failed == 0 {
		t.Error("nothing failed")
	}
	note("disk fails at first start", 0, "%d times", failed)
}
