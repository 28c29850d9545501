package crash

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// memory is what a process holds in memory, in bytes: now, and at most so far.
type memory struct{ now, most int }

func (p *process) memory(t *testing.T) (m memory) {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	must(t, err)
	for line := range strings.Lines(string(status)) {
		for name, into := range map[string]*int{"VmRSS:": &m.now, "VmHWM:": &m.most} {
			if rest, is := strings.CutPrefix(line, name); is {
				_, err := fmt.Sscan(rest, into)
				must(t, err)
				*into <<= 10 // it is in kB
			}
		}
	}
	return m
}
