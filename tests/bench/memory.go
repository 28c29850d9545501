package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"rootledger/server/auth"
	"rootledger/server/practice"
	"rootledger/shared/event"
	"rootledger/tests/bench/laden"
)

const (
	memoryRooms  = 16
	memoryPhones = 24 // that are counted, in each room
)

// connectionMemory is what the process of a server with open rooms grows by when
// phones join and connect, in kB for each. Each has written one event.
func connectionMemory(dir string) (f figures, err error) {
	if _, err := os.Stat("/proc/self/status"); err != nil {
		return figures{}, fmt.Errorf("bench: the memory of a process is not told here: %w", err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*patience)
	defer cancel()
	p, err := startProcess(ctx, dir)
	if err != nil {
		return figures{}, err
	}
	defer func() { err = errors.Join(err, p.end()) }()
	var rooms [memoryRooms]event.SessionID
	for i := range rooms {
		rooms[i] = practice.RandomID[event.SessionID]()
		if err := p.api.CreateSession(ctx, rooms[i], fmt.Sprint(i+1)); err != nil {
			return figures{}, err
		}
	}
	before, after := 0.0, 0.0
	for i := range memoryRooms * (1 + memoryPhones) {
		if i == memoryRooms { // the first ones have opened the rooms
			if before, err = p.kilobytes(); err != nil {
				return figures{}, err
			}
		}
		phone, err := comeIn(ctx, p.api, rooms[i%memoryRooms])
		if err != nil {
			return figures{}, err
		}
		defer phone.Leave()
	}
	after, err = p.kilobytes()
	each := (after - before) / (memoryRooms * memoryPhones)
	return figures{Unit: "kB", N: memoryRooms * memoryPhones, P50: each, P99: each}, err
}

// comeIn connects a phone that has written one event, and waits until it is stored.
func comeIn(ctx context.Context, api *practice.API, id event.SessionID) (*laden.Phone, error) {
	phone, err := laden.New(ctx, api, id, 1, now, func() event.Fact { return nil })
	if err != nil {
		return nil, err
	}
	if err := phone.Connect(ctx); err != nil {
		return nil, err
	}
	return phone, errors.Join(phone.Send(1), phone.Wait(ctx))
}

// process is a server as a process of its own.
type process struct {
	cmd *exec.Cmd
	api *practice.API
}

// startProcess builds the server, starts it, and is back when it answers.
func startProcess(ctx context.Context, dir string) (*process, error) {
	program, data := filepath.Join(dir, "rootledger"), filepath.Join(dir, "data")
	if said, err := exec.CommandContext(ctx, "go", "build", "-trimpath", "-o", program, "rootledger/server").CombinedOutput(); err != nil {
		return nil, fmt.Errorf("bench: build: %w: %s", err, said)
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	addr := free.Addr().String()
	if err := free.Close(); err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	p := &process{cmd: exec.Command(program, "serve", "--data", data, "--addr", addr)}
	if err := p.cmd.Start(); err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	for ctx.Err() == nil {
		if response, err := http.Get("http://" + addr + "/health"); err == nil {
			token, err := auth.ReadOfficeToken(data)
			if err = errors.Join(err, response.Body.Close()); err != nil {
				return nil, errors.Join(err, p.end())
			}
			p.api = practice.NewAPI("http://"+addr, token)
			return p, nil
		}
		time.Sleep(5 * time.Millisecond)
	}
	return nil, errors.Join(ctx.Err(), p.end())
}

func (p *process) end() error {
	if err := p.cmd.Process.Signal(os.Interrupt); err != nil {
		return fmt.Errorf("bench: %w", err)
	}
	if err := p.cmd.Wait(); err != nil {
		return fmt.Errorf("bench: the server: %w", err)
	}
	return nil
}

// kilobytes is what the process holds in memory now.
func (p *process) kilobytes() (kb float64, err error) {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		return 0, fmt.Errorf("bench: %w", err)
	}
	for line := range strings.Lines(string(status)) {
		if rest, is := strings.CutPrefix(line, "VmRSS:"); is {
			_, err := fmt.Sscan(rest, &kb)
			return kb, err
		}
	}
	return 0, errors.New("bench: the process does not say what it holds")
}
