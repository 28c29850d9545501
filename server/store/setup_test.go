package store

import (
	"fmt"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// turning is a set-up of one step, under a name.
func turning(name string) *event.Setup {
	return &event.Setup{Name: name, DiameterUM: 900, Edge: "sharp", WaitMs: 100, Motions: []event.Motion{event.Oscillation},
		ArcsDeg: []uint32{120}, RPM: []uint32{1200}, Power: []uint32{60}, StepsMs: []uint32{250}}
}

// saved keeps a set-up.
func saved(t *testing.T, s *Store, id int64, fact *event.Setup, nowMs int64) Setup {
	t.Helper()
	row, err := s.SaveSetup(bounded(t), id, fact, nowMs)
	if err != nil {
		t.Fatalf("save %s: %v", fact.Name, err)
	}
	return row
}

// names is the list as a reader sees it: what is retired stands in brackets.
func names(t *testing.T, s *Store) string {
	t.Helper()
	rows, err := s.Setups(bounded(t))
	if err != nil {
		t.Fatalf("set-ups: %v", err)
	}
	var out []string
	for _, row := range rows {
		if row.RetiredMs > 0 {
			row.Fact.Name = "(" + row.Fact.Name + ")"
		}
		out = append(out, row.Fact.Name)
	}
	return strings.Join(out, ", ")
}

func TestSetupsSurviveARestart(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	first := saved(t, s, 0, turning("Slow turn"), testMs)
	saved(t, s, 0, turning("even slower"), testMs+1)
	same(t, "id and times", fmt.Sprint(first.ID, first.SavedMs, first.RetiredMs), fmt.Sprint(1, testMs, 0))
	closed(t, s)
	s = open(t, dir)
	same(t, "after a restart", names(t, s), "even slower, Slow turn")
	rows, err := s.Setups(bounded(t))
	if err != nil {
		t.Fatal(err)
	}
	same(t, "every field", fmt.Sprintf("%+v", *rows[1].Fact), fmt.Sprintf("%+v", *turning("Slow turn")))
	changed := turning("Slower turn")
	changed.WaitMs = 0
	saved(t, s, first.ID, changed, testMs+2)
	if _, err := s.RetireSetup(bounded(t), 2, testMs+3); err != nil {
		t.Fatal(err)
	}
	closed(t, s)
	s = open(t, dir)
	same(t, "renamed, and one retired", names(t, s), "Slower turn, (even slower)")
	again, err := s.RetireSetup(bounded(t), 2, testMs+9)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "retired once", again.RetiredMs, testMs+3)
	saved(t, s, 2, turning("even slower"), testMs+10)
	same(t, "in use again", names(t, s), "even slower, Slower turn")
}

func TestRefusedSetups(t *testing.T) {
	s := open(t, t.TempDir())
	saved(t, s, 0, turning("Slow turn"), testMs)
	saved(t, s, 0, turning("Short sweep"), testMs)
	tests := []struct {
		name string
		do   func() error
		code fault.Code
	}{
		{"a name that is taken", func() error { _, err := s.SaveSetup(bounded(t), 0, turning("slow turn"), testMs); return err }, "saved-taken"},
		{"renamed to one that is taken", func() error { _, err := s.SaveSetup(bounded(t), 2, turning("Slow Turn"), testMs); return err }, "saved-taken"},
		{"one that is not there", func() error { _, err := s.SaveSetup(bounded(t), 9, turning("New"), testMs); return err }, "saved-missing"},
		{"retired, one that is not there", func() error { _, err := s.RetireSetup(bounded(t), 9, testMs); return err }, "saved-missing"},
	}
	for _, test := range tests {
		wantCode(t, test.name, test.do(), test.code)
		same(t, test.name, names(t, s), "Short sweep, Slow turn")
	}
	if _, err := s.RetireSetup(bounded(t), 1, testMs); err != nil {
		t.Fatal(err)
	}
	saved(t, s, 0, turning("Slow turn"), testMs) // its name is free now
	_, err := s.SaveSetup(bounded(t), 1, turning("Slow turn"), testMs)
	wantCode(t, "back under a name that is taken", err, "saved-taken")
}

func TestSetupsAreBounded(t *testing.T) {
	s := open(t, t.TempDir())
	for n := range MaxSetups {
		saved(t, s, 0, turning(fmt.Sprintf("Turn %d", n)), testMs)
	}
	_, err := s.SaveSetup(bounded(t), 0, turning("One more"), testMs)
	wantCode(t, "one more", err, "saved-many")
	saved(t, s, 1, turning("Renamed"), testMs) // no more than before
	if _, err := s.RetireSetup(bounded(t), 2, testMs); err != nil {
		t.Fatal(err)
	}
	saved(t, s, 0, turning("One more"), testMs)
}

// A fact that this version can not read is an error, never another set-up.
func TestSpoiledSetup(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	saved(t, s, 0, turning("Slow turn"), testMs)
	spoil(t, dir, `UPDATE setup SET fact = x'ff'`)
	if rows, err := s.Setups(bounded(t)); err == nil {
		t.Errorf("a spoiled set-up was read: %+v", rows)
	}
}
