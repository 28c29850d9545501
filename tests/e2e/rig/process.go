package rig

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os/exec"
	"time"
)

// Process is the real server, as a process of its own. Its data and its
// address outlive it.
type Process struct {
	Addr string

	path, dir string
	cmd       *exec.Cmd
	said      bytes.Buffer // to be read once it has ended
}

// Build compiles the server to a file.
func Build(path string) error {
	if said, err := exec.Command("go", "build", "-trimpath", "-o", path, "rootledger/server").CombinedOutput(); err != nil {
		return fmt.Errorf("rig: the server does not build: %w\n%s", err, said)
	}
	return nil
}

// NewProcess finds a free port for a server that Build made; its data are in
// dir. It does not run yet.
func NewProcess(path, dir string) (*Process, error) {
	for range 100 { // below the ports that the system gives to clients
		addr := fmt.Sprintf("127.0.0.1:%d", 20_000+rand.IntN(12_000))
		if l, err := net.Listen("tcp", addr); err == nil {
			return &Process{Addr: addr, path: path, dir: dir}, l.Close()
		}
	}
	return nil, errors.New("rig: no free port")
}

// Start starts the server and waits until it answers.
func (p *Process) Start() error {
	p.cmd = exec.Command(p.path, "serve", "--data", p.dir, "--addr", p.Addr)
	p.cmd.Stderr = &p.said
	if err := p.cmd.Start(); err != nil {
		return fmt.Errorf("rig: %w", err)
	}
	for range 1000 {
		if answer, err := http.Get("http://" + p.Addr + "/health"); err == nil {
			return answer.Body.Close()
		}
		time.Sleep(20 * time.Millisecond)
	}
	return errors.Join(errors.New("rig: the server does not answer"), p.Kill())
}

// Kill ends the server as a power cut would, and is back when it is gone.
func (p *Process) Kill() error {
	if p.cmd == nil {
		return nil
	}
	err := p.cmd.Process.Kill() // by its own id
	_ = p.cmd.Wait()            // it says only that it was killed
	p.cmd = nil
	if err != nil {
		return fmt.Errorf("rig: %w; it said %.2000s", err, p.said.String())
	}
	return nil
}
