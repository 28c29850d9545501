package syncengine

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Scenarios in testdata/*.txt are days in plain words: one line an entry, one
// phone a name. Every phone keeps its own replica; what one records reaches all
// that are not away. The words are the table below.

type stage struct {
	t      *testing.T
	phones map[string]*Replica
	away   map[string]bool
	names  map[string]event.Ref // zones, regions, passes
	ms     int64
	line   string
	order  []string
	who    string     // whose line it is
	refuse fault.Code // the line is refused so; "" where it is not
}

var testSession = event.SessionID{0xA1, 15: 1}

func (s *stage) phone(name string) *Replica {
	if r := s.phones[name]; r != nil {
		return r
	}
	n := byte(len(s.phones) + 1)
	r := New(Identity{testSession, event.ReplicaID{n, 7: n}, event.PhoneID{n, 15: n}, event.StartID{n}})
	s.phones[name] = r
	s.order = append(s.order, name)
	s.spread()
	return r
}

// spread hands everything to every phone that is not away, until nobody lacks anything.
func (s *stage) spread() {
	for again := true; again; {
		again = false
		for _, from := range s.order {
			for _, to := range s.order {
				if from != to && !s.away[from] && !s.away[to] {
					again = s.pass(s.phones[from], s.phones[to]) || again
				}
			}
		}
	}
}

func (s *stage) pass(from, to *Replica) bool {
	peer := from.Know(to.Vector(), nobody)
	moved := false
	for events := batched(s.t, from, &peer); len(events) > 0; events = batched(s.t, from, &peer) {
		_, refused := to.Receive(events, Now{WallMs: s.ms})
		if len(refused) > 0 {
			s.t.Fatalf("%s: refused %v", s.line, refused[0].Fault)
		}
		moved = true
	}
	return moved
}

func decodeAll(t failer, bodies [][]byte) []*event.Event {
	t.Helper()
	out := make([]*event.Event, 0, len(bodies))
	for _, b := range bodies {
		e, err := event.Decode(b)
		if err != nil {
			t.Fatalf("decode: %v", err)
		}
		out = append(out, e)
	}
	return out
}

func (s *stage) ref(name string) event.Ref {
	if name == "" {
		return event.Ref{}
	}
	ref, ok := s.names[name]
	if !ok {
		s.t.Fatalf("%s: nothing is called %q", s.line, name)
	}
	return ref
}

func (s *stage) number(text string) uint32 {
	n, err := strconv.ParseUint(strings.ReplaceAll(text, ",", ""), 10, 32)
	if err != nil {
		s.t.Fatalf("%s: %v", s.line, err)
	}
	return uint32(n)
}

func (s *stage) tenths(text string) uint32 {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		s.t.Fatalf("%s: %v", s.line, err)
	}
	return uint32(f*10 + 0.5)
}

func sizeOf(word string) event.Size {
	for i, w := range []string{"single", "double", "triple", "four"} {
		if strings.TrimSuffix(word, "s") == w {
			return event.Size(i + 1)
		}
	}
	return 0
}

type verb struct {
	form *regexp.Regexp
	fact func(s *stage, a []string) event.Fact
}

const (
	number = `([\d,]+)`
	size   = `(singles?|doubles?|triples?|fours?)`
	name   = `([\w-]+)`
)

func line(form string, fact func(s *stage, a []string) event.Fact) verb {
	return verb{regexp.MustCompile("^" + form + "$"), fact}
}

var verbs = []verb{
	line(`joins `+name+` as `+name, func(_ *stage, a []string) event.Fact {
		station, _ := event.ParseStation(a[1])
		return &event.Joined{Person: a[2], Station: station}
	}),
	line(`opens case `+name+` in room `+name+`, counting (.+)`, func(_ *stage, a []string) event.Fact {
		o := &event.Opened{Case: a[1], Room: a[2]}
		for word := range strings.SplitSeq(a[3], ", ") {
			station, _ := event.ParseStation(word)
			o.Stations = append(o.Stations, station)
		}
		return o
	}),
	line(`ends the session`, func(*stage, []string) event.Fact { return &event.Ended{} }),
	line(`leaves`, func(*stage, []string) event.Fact { return &event.Left{} }),
	line(`hands over to `+name, func(_ *stage, a []string) event.Fact { return &event.HandedOver{Person: a[1]} }),
	line(`sets the budget to `+number+` grafts(?:, because (.+))?`, func(s *stage, a []string) event.Fact {
		return &event.Budget{Grafts: s.number(a[1]), Reason: a[2]}
	}),
	line(`plans a yield of ([\d.]+) %`, func(s *stage, a []string) event.Fact {
		return &event.Yield{PerMille: s.tenths(a[1])}
	}),
	line(`draws zone `+name+`: `+number+` cm2 at ([\d.]+)/cm2, mix (\d+)/(\d+)/(\d+)/(\d+) %`, func(s *stage, a []string) event.Fact {
		z := &event.Zone{Of: s.names[a[1]], Name: a[1], AreaMM2: 100 * s.number(a[2]), Density10: s.tenths(a[3])}
		for i := range z.Mix {
			z.Mix[i] = uint16(10 * s.number(a[4+i]))
		}
		return z
	}),
	line(`maps region `+name+`: `+number+` cm2 at ([\d.]+)/cm2, share ([\d.]+) %`, func(s *stage, a []string) event.Fact {
		return &event.Region{Of: s.names[a[1]], Code: a[1], Name: a[1], AreaMM2: 100 * s.number(a[2]),
			Density10: s.tenths(a[3]), SharePerMille: s.tenths(a[4])}
	}),
	line(`begins pass `+name+`, counted (each|pulled|by exception)`, func(_ *stage, a []string) event.Fact {
		mode, _ := event.ParseMode(strings.TrimPrefix(a[2], "by "))
		return &event.PassBegun{Mode: mode}
	}),
	line(`ends pass `+name, func(s *stage, a []string) event.Fact { return &event.PassEnded{Pass: s.ref(a[1])} }),
	line(`fires `+number+` times in pass `+name+`(?: at `+name+`)?`, func(s *stage, a []string) event.Fact {
		return &event.Fired{N: s.number(a[1]), Pass: s.ref(a[2]), Region: s.ref(a[3])}
	}),
	line(`reads `+number+` (up|down) on counter `+name+` in pass `+name+`(?: at `+name+`)?`, func(s *stage, a []string) event.Fact {
		way, _ := event.ParseDirection(a[2])
		return &event.Reading{Value: s.number(a[1]), Direction: way, Counter: a[3], Pass: s.ref(a[4]), Region: s.ref(a[5])}
	}),
	line(`taps `+number+` (intact|partial|total|topped|buried|empty) in pass `+name+`(?: at `+name+`)?`, func(s *stage, a []string) event.Fact {
		o, _ := event.ParseOutcome(a[2])
		return &event.Attempt{N: s.number(a[1]), Outcome: o, Pass: s.ref(a[3]), Region: s.ref(a[4])}
	}),
	line(`retrieves `+number+` (buried|topped) in pass `+name+`(?: at `+name+`)?`, func(s *stage, a []string) event.Fact {
		o, _ := event.ParseOutcome(a[2])
		return &event.Retrieved{N: s.number(a[1]), From: o, Pass: s.ref(a[3]), Region: s.ref(a[4])}
	}),
	line(`sorts `+number+` `+size+`(?: into dish `+name+`)?`, func(s *stage, a []string) event.Fact {
		return &event.Sorted{N: s.number(a[1]), Size: sizeOf(a[2]), Dish: s.dish(a[3])}
	}),
	line(`rejects `+number+`(?: `+size+`)? from `+stock+`, (.+)`, func(s *stage, a []string) event.Fact {
		reason, _ := event.ParseReason(a[5])
		return &event.Rejected{N: s.number(a[1]), Size: sizeOf(a[2]), From: stockOf(a[3]), Reason: reason, Dish: s.dish(a[4])}
	}),
	line(`splits `+number+` `+size+` from `+stock+` into ([\d+]+)`, func(s *stage, a []string) event.Fact {
		f := &event.Split{N: s.number(a[1]), Size: sizeOf(a[2]), From: stockOf(a[3]), Dish: s.dish(a[4])}
		for piece := range strings.SplitSeq(a[5], "+") {
			f.Pieces = append(f.Pieces, event.Size(s.number(piece)))
		}
		return f
	}),
	line(`makes `+number+` sites for `+size+` in `+name, func(s *stage, a []string) event.Fact {
		return &event.Sites{N: s.number(a[1]), Size: sizeOf(a[2]), Zone: s.ref(a[3])}
	}),
	line(`gives up `+number+` sites for `+size+` in `+name, func(s *stage, a []string) event.Fact {
		return &event.SitesClosed{N: s.number(a[1]), Size: sizeOf(a[2]), Zone: s.ref(a[3])}
	}),
	line(`places `+number+` `+size+`(?: from dish `+name+`)? in `+name, func(s *stage, a []string) event.Fact {
		return &event.Placed{N: s.number(a[1]), Size: sizeOf(a[2]), Dish: s.dish(a[3]), Zone: s.ref(a[4])}
	}),
	line(`sees `+number+` `+size+` come back in `+name+`(?:, into dish `+name+`)?`, func(s *stage, a []string) event.Fact {
		return &event.CameBack{N: s.number(a[1]), Size: sizeOf(a[2]), Zone: s.ref(a[3]), Dish: s.dish(a[4])}
	}),
	line(`undoes the last (entry|settling)`, func(s *stage, a []string) event.Fact {
		return &event.Void{Target: s.ref("the last " + a[1])}
	}),
	line(`brings the last (entry|settling) back`, func(s *stage, a []string) event.Fact {
		target := s.ref("the last " + a[1])
		return &event.Restore{Target: target, Voids: s.phones[s.order[0]].State().Voids(target)}
	}),
	line(`pauses`, func(*stage, []string) event.Fact { return &event.Paused{} }),
	line(`resumes`, func(*stage, []string) event.Fact { return &event.Resumed{} }),
	line(`notes: (.+)`, func(_ *stage, a []string) event.Fact { return &event.Note{Text: a[1]} }),
}

func (s *stage) do(who, what string) {
	late := strings.HasSuffix(what, ", late")
	what = strings.TrimSuffix(what, ", late")
	r := s.phone(who)
	if name, copied := strings.CutPrefix(what, "is copied as "); copied {
		s.copy(r, name)
		return
	}
	if minutes, waits := strings.CutPrefix(what, "waits "); waits {
		s.ms += 60_000 * int64(s.number(strings.TrimSuffix(minutes, " minutes")))
		return
	}
	switch what {
	case "goes on under a new id":
		s.goOn(r)
		return
	case "goes away":
		s.away[who] = true
		return
	case "comes back":
		delete(s.away, who)
		s.spread()
		return
	}
	s.ms += 60_000
	s.who = who
	fact, label := s.fact(what)
	e, err := r.Record(fact, late, Now{WallMs: s.ms, SinceMs: uint64(s.ms)})
	if s.refuse != "" {
		wantCode(s.t, s.line, err, s.refuse)
		return
	}
	if err != nil {
		s.t.Fatalf("%s: %v", s.line, err)
	}
	s.remember(e, label)
	s.spread()
}

// fact is what a line says, and the name in it.
func (s *stage) fact(what string) (event.Fact, string) {
	if count, ok := strings.CutPrefix(what, "had before: "); ok {
		fact, label := s.fact(count)
		return opening(fact), label
	}
	for _, v := range slices.Concat(verbs, deskVerbs, trialVerbs, qualityVerbs, doseVerbs) {
		if a := v.form.FindStringSubmatch(what); a != nil {
			return v.fact(s, a), append(a, "")[1]
		}
	}
	s.t.Fatalf("%s: nobody knows how to do that", s.line)
	return nil, ""
}

// remember lets later lines name what an event made.
func (s *stage) remember(e *event.Event, label string) {
	switch e.Fact.(type) {
	case *event.Zone, *event.Region, *event.PassBegun:
		if _, known := s.names[label]; !known {
			s.names[label] = e.Ref()
		}
	case *event.Dish:
		s.names["dish "+label] = e.Ref()
	case *event.Setup:
		s.names["set-up "+label] = e.Ref()
	case *event.Trial:
		s.names["trial "+label] = e.Ref()
	case *event.Settled:
		s.names["the last settling"] = e.Ref()
	case *event.Agent:
		s.names["agent "+label] = e.Ref()
	}
	if e.Fact.Kind().Counts() || e.Fact.Kind() == event.KindDosed {
		s.names["the last entry"] = e.Ref()
	}
}

// expect checks "punched 500, outcomes 180"; every phone that is not away must agree.
func (s *stage) expect(list string) {
	for _, who := range s.order {
		if s.away[who] {
			continue
		}
		v := s.phones[who].State().View(event.ReplicaID{}, s.ms, nil) // as one who counts nothing draws it
		for part := range strings.SplitSeq(list, ", ") {
			at := strings.LastIndexByte(part, ' ')
			read := s.figure(part[:max(at, 0)])
			if read == nil {
				s.t.Fatalf("%s: no figure is called %q", s.line, part)
			}
			want, err := strconv.ParseInt(strings.ReplaceAll(part[at+1:], ",", ""), 10, 64)
			if err != nil {
				s.t.Fatalf("%s: %v", s.line, err)
			}
			if got := read(v); got != want {
				s.t.Errorf("%s: %s is %d, want %d", s.line, part[:at], got, want)
			}
		}
	}
}

// expectDifference checks "bench 10 open": what, how much, and whether it opens.
func (s *stage) expectDifference(words string) {
	var what, state string
	var amount int64
	if _, err := fmt.Sscanf(words, "%s %d %s", &what, &amount, &state); err != nil {
		s.t.Fatalf("%s: %v", s.line, err)
	}
	for _, d := range s.phones[s.order[0]].View(s.ms, nil).Differences {
		if d.What.String() == what && d.Amount == amount && d.Open == (state == "open") {
			return
		}
	}
	s.t.Errorf("%s: not among %+v", s.line, s.phones[s.order[0]].View(s.ms, nil).Differences)
}

func runScenario(t *testing.T, path string) *stage {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := &stage{t: t, phones: map[string]*Replica{}, away: map[string]bool{}, names: map[string]event.Ref{}, ms: 1_800_000_000_000}
	for i, row := range strings.Split(string(text), "\n") {
		s.line = fmt.Sprintf("%s:%d: %s", filepath.Base(path), i+1, row)
		row = strings.TrimSpace(row)
		if row == "" || strings.HasPrefix(row, "#") {
			continue
		}
		who, what, ok := strings.Cut(row, ": ")
		switch {
		case !ok:
			t.Fatalf("%s: write \"who: what\"", s.line)
		case who == "expect":
			s.expect(what)
		case who == "expect difference":
			s.expectDifference(what)
		case who == "expect who stops":
			if got, _ := s.phones[s.order[0]].View(s.ms, nil).Headline.Stops.MarshalText(); string(got) != what {
				t.Errorf("%s: the %s stops first", s.line, got)
			}
		case strings.HasPrefix(who, "refused, "):
			s.refuse = fault.Code(strings.TrimPrefix(who, "refused, "))
			who, what, _ = strings.Cut(what, ": ")
			s.do(who, what)
			s.refuse = ""
		default:
			s.do(who, what)
		}
	}
	return s
}

func TestScenarios(t *testing.T) {
	paths, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(paths) < 3 {
		t.Fatalf("scenarios: %v, %v", paths, err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) { runScenario(t, path) })
	}
}
