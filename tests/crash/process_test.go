package crash

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"
)

// process is one run of the server. Its data and its address outlive it.
type process struct {
	addr   string
	cmd    *exec.Cmd
	stderr bytes.Buffer  // to be read once it has ended
	ended  chan struct{} // closed when it has
}

// freeAddr finds a port on loopback that nothing listens on, below those that
// the system gives to clients: there nobody takes it while the server is down.
func freeAddr(t *testing.T) string {
	t.Helper()
	for range 100 {
		addr := fmt.Sprintf("127.0.0.1:%d", 20_000+rand.IntN(12_000))
		if l, err := net.Listen("tcp", addr); err == nil {
			must(t, l.Close())
			return addr
		}
	}
	t.Fatal("no free port")
	return ""
}

// start starts the server and does not wait for it. It is killed at the end of
// the test if it still runs.
func start(t *testing.T, dir, addr string) *process {
	t.Helper()
	return startCommand(t, addr, exec.Command(serverPath, serve(dir, addr)...))
}

func serve(dir, addr string) []string { return []string{"serve", "--data", dir, "--addr", addr} }

// startCommand is start with a command that becomes the server.
func startCommand(t *testing.T, addr string, cmd *exec.Cmd) *process {
	t.Helper()
	p := &process{addr: addr, cmd: cmd, ended: make(chan struct{})}
	p.cmd.Stderr = &p.stderr
	must(t, p.cmd.Start())
	go func() {
		defer close(p.ended)
		_ = p.cmd.Wait() // read from ProcessState
	}()
	t.Cleanup(func() { p.kill(t) })
	return p
}

// serving starts the server and waits until it answers.
func serving(ctx context.Context, t *testing.T, dir, addr string) *process {
	t.Helper()
	p := start(t, dir, addr)
	p.ready(ctx, t)
	return p
}

func (p *process) base() string { return "http://" + p.addr }

// answers waits until the server answers, and says whether it does before it ends.
func (p *process) answers(ctx context.Context) bool {
	for ctx.Err() == nil {
		select {
		case <-p.ended:
			return false
		case <-time.After(2 * time.Millisecond):
		}
		if _, err := p.ask(ctx, "/health"); err == nil {
			return true
		}
	}
	return false
}

// ready waits until the server answers.
func (p *process) ready(ctx context.Context, t *testing.T) {
	t.Helper()
	if p.answers(ctx) {
		return
	}
	select {
	case <-p.ended:
		t.Fatalf("the server ended instead of answering: %v\n%s", p.cmd.ProcessState, p.stderr.String())
	default:
		t.Fatal("the server does not answer")
	}
}

// kill ends the server as a power cut would, and is back when it is gone. What
// it logged until then must not tell of a fault of its own.
func (p *process) kill(t *testing.T) {
	t.Helper()
	select {
	case <-p.ended:
		return
	default:
	}
	if err := p.cmd.Process.Signal(syscall.SIGKILL); err != nil && !p.over() {
		t.Fatal(err)
	}
	<-p.ended
	p.noFaults(t)
}

// over says whether the server has ended, allowing for one just ending.
func (p *process) over() bool {
	select {
	case <-p.ended:
		return true
	case <-time.After(time.Second):
		return false
	}
}

// stop asks the server to end, and wants it to end well.
func (p *process) stop(ctx context.Context, t *testing.T) {
	t.Helper()
	must(t, p.cmd.Process.Signal(syscall.SIGTERM))
	if code := p.exit(ctx, t); code != 0 {
		t.Fatalf("asked to stop, the server ended with %d\n%s", code, p.stderr.String())
	}
	p.noFaults(t)
}

// exit waits until the server has ended by itself and says with which status.
func (p *process) exit(ctx context.Context, t *testing.T) int {
	t.Helper()
	select {
	case <-p.ended:
		return p.cmd.ProcessState.ExitCode()
	case <-ctx.Done():
		t.Fatal("the server does not end")
		return 0
	}
}

func (p *process) noFaults(t *testing.T) {
	t.Helper()
	for line := range strings.Lines(p.stderr.String()) {
		if strings.Contains(line, `"level":"ERROR"`) || strings.HasPrefix(line, "panic:") || strings.HasPrefix(line, "fatal error:") {
			t.Errorf("the server logged: %.2000s", line)
		}
	}
}

// ask gets a path without any token and returns the status.
func (p *process) ask(ctx context.Context, path string) (status int, err error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, p.base()+path, nil)
	if err != nil {
		return 0, err
	}
	request.Close = true // the server may be another one next time
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return 0, err
	}
	return response.StatusCode, response.Body.Close()
}
