// Package published holds the figures to values from outside: published
// tables, labels, reference libraries, and sums that anyone can do again.
//
// testdata/checks.json has one check a line. Each is claimed once, in the file
// of its topic, or stands in the list of those to come with the reason why.
package published

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"testing"
)

// check is one line of checks.json.
type check struct {
	ID     string          `json:"id"`
	Topic  string          `json:"topic"`
	Input  json.RawMessage `json:"input"`
	Expect json.RawMessage `json:"expect"`
	Tol    float64         `json:"tol"`    // the most that a float may be off
	Source string          `json:"source"` // who says so
	Seen   string          `json:"seen"`   // how that was seen
	Note   string          `json:"note,omitempty"`
}

// probe is one check at work.
type probe struct {
	*testing.T
	check
}

// read fills input and expect. Each must name every field that the check has,
// so that nothing expected goes unasked.
func (p *probe) read(input, expect any) {
	p.Helper()
	for _, part := range []struct {
		text json.RawMessage
		into any
	}{{p.Input, input}, {p.Expect, expect}} {
		if err := strictly(part.text, part.into); err != nil {
			p.Fatalf("%s: %v", p.ID, err)
		}
	}
}

// strictly decodes text and refuses fields that into does not have.
func strictly(text []byte, into any) error {
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	return decoder.Decode(into)
}

// near holds a float to the check's tolerance.
func (p *probe) near(what string, got, want float64) {
	p.Helper()
	if !(math.Abs(got-want) <= p.Tol) {
		p.differs(what, got, want)
	}
}

// same holds a whole number to another.
func (p *probe) same(what string, got, want int64) {
	p.Helper()
	if got != want {
		p.differs(what, got, want)
	}
}

// holds wants a statement to be as expected.
func (p *probe) holds(what string, got, want bool) {
	p.Helper()
	if got != want {
		p.differs(what, got, want)
	}
}

// differs says what is wrong, by whose word, and how that word was seen.
func (p *probe) differs(what string, got, want any) {
	p.Helper()
	p.Errorf("%s: got %s %v, want %v (source: %s; seen: %s)", p.ID, what, got, want, p.Source, p.Seen)
}

// claims are the checks that a test holds, by id; a topic's file adds its own
// with "var _ = claim(…)".
var claims = map[string]func(*probe){}

// claim has test hold the check called id.
func claim(id string, test func(*probe)) bool {
	if claims[id] != nil {
		panic("two tests claim the check " + id)
	}
	claims[id] = test
	return true
}

// TestChecks runs every check, and fails one that is neither claimed nor said
// to come later.
func TestChecks(t *testing.T) {
	for _, c := range readChecks(t) {
		t.Run(c.ID, func(t *testing.T) {
			test := claims[c.ID]
			reason, waits := later[c.ID]
			if complaint := standing(test != nil, waits, reason); complaint != "" {
				t.Fatal(complaint)
			}
			if waits {
				t.Skip("later: " + reason)
			}
			test(&probe{t, c})
		})
	}
}

// standing says what is wrong with how a check is held; "" when exactly one
// test claims it, or one reason says why none does yet.
func standing(claimed, waits bool, reason string) string {
	switch {
	case claimed && waits:
		return "it is claimed, so it no longer belongs among those to come later"
	case waits && reason == "":
		return "it comes later without a reason"
	case !claimed && !waits:
		return "it is neither claimed nor among those to come later"
	}
	return ""
}

// TestChecksAreTold wants every check to say where it comes from, and every
// claim and reason to be about a check that is there.
func TestChecksAreTold(t *testing.T) {
	known := map[string]bool{}
	for _, c := range readChecks(t) {
		if known[c.ID] {
			t.Errorf("two checks are called %s", c.ID)
		}
		known[c.ID] = true
		if c.ID == "" || c.Topic == "" || c.Source == "" || c.Seen == "" || len(c.Input) == 0 || len(c.Expect) == 0 {
			t.Errorf("check %q lacks a topic, an input, an expectation, a source or how it was seen", c.ID)
		}
	}
	for id := range claims {
		if !known[id] {
			t.Errorf("%s is claimed, but there is no such check", id)
		}
	}
	for id := range later {
		if !known[id] {
			t.Errorf("%s is to come later, but there is no such check", id)
		}
	}
}

// TestForgottenChecksFail shows which ways of holding a check are refused.
func TestForgottenChecksFail(t *testing.T) {
	tests := []struct {
		name           string
		claimed, waits bool
		reason         string
		fine           bool
	}{
		{"claimed", true, false, "", true},
		{"to come, with a reason", false, true, "no such figure yet", true},
		{"to come, without a reason", false, true, "", false},
		{"claimed and to come", true, true, "no such figure yet", false},
		{"forgotten", false, false, "", false},
	}
	for _, tt := range tests {
		if complaint := standing(tt.claimed, tt.waits, tt.reason); (complaint == "") != tt.fine {
			t.Errorf("%s: got the complaint %q, want it fine: %v", tt.name, complaint, tt.fine)
		}
	}
}

// readChecks reads all checks, in the order of the file.
func readChecks(t *testing.T) []check {
	t.Helper()
	text, err := os.ReadFile("testdata/checks.json")
	if err != nil {
		t.Fatal(err)
	}
	var checks []check
	if err := strictly(text, &checks); err != nil {
		t.Fatal(err)
	}
	if len(checks) == 0 {
		t.Fatal("there are no checks")
	}
	return checks
}
