package main

import (
	"slices"
	"testing"
	"time"

	"rootledger/tests/e2e/browser"
)

// A change costs its own task and the one that drew it; other tasks, other
// threads and frames without a change cost it nothing.
func TestWorked(t *testing.T) {
	const ms = time.Millisecond
	at := func(name string, thread, at, work int) browser.Moment {
		return browser.Moment{Name: name, Process: 1, Thread: thread, At: time.Duration(at) * ms, For: 9 * time.Duration(work) * ms, Work: time.Duration(work) * ms}
	}
	got := worked([]browser.Moment{
		at("RunTask", 7, 0, 3), at("Commit", 7, 1, 1), // nothing had changed
		at("RunTask", 7, 10, 20), at(changed, 7, 15, 0), at(changed, 7, 16, 0),
		at("RunTask", 8, 18, 40),
		at("RunTask", 7, 31, 2),
		at("RunTask", 7, 40, 5), at("Commit", 7, 44, 1),
		at("RunTask", 7, 60, 6), at(changed, 7, 61, 0), at("Commit", 7, 62, 1), // it changed the page while it drew
	})
	if want := []time.Duration{25 * ms, 6 * ms}; !slices.Equal(got, want) {
		t.Errorf("worked for %v, not %v", got, want)
	}
}

// The steps of a frame are those since the commit before, forced or not, each once.
func TestPainted(t *testing.T) {
	const ms = time.Millisecond
	at := func(name string, thread, at, work int) browser.Moment {
		return browser.Moment{Name: name, Process: 1, Thread: thread, At: time.Duration(at) * ms, For: 2 * time.Duration(work) * ms, Work: time.Duration(work) * ms}
	}
	got := painted([]browser.Moment{
		at("RunTask", 7, 0, 20), at("Layout", 7, 1, 3), at("Commit", 7, 9, 1), // nothing had changed
		at("RunTask", 7, 20, 30), at("FunctionCall", 7, 21, 20), at("Layout", 7, 22, 4), at(changed, 7, 32, 0),
		at("Paint", 8, 33, 9), at("Paint", 7, 40, 5), at("Paint", 7, 41, 2), at("Commit", 7, 51, 1),
		at("RunTask", 7, 60, 6), at(changed, 7, 61, 0), at("Commit", 7, 62, 1),
	})
	if want := []time.Duration{10 * ms, 1 * ms}; !slices.Equal(got, want) {
		t.Errorf("painted for %v, not %v", got, want)
	}
}
