package team

import (
	"crypto/sha256"
	"reflect"
	"testing"

	"rootledger/shared/event"
)

// phone writes the events of one replica.
type phone struct {
	replica byte
	phone   byte
	seq     uint64
}

func (p *phone) says(stamp event.Stamp, fact event.Fact) *event.Event {
	p.seq++
	e := &event.Event{Replica: event.ReplicaID{p.replica}, Seq: p.seq, Stamp: stamp, Fact: fact}
	if p.seq == 1 {
		e.Phone = event.PhoneID{p.phone}
	}
	e.Hash = sha256.Sum256(event.Encode(e))
	return e
}

func joined(person string, station event.Station) event.Fact {
	return &event.Joined{Person: person, Station: station}
}

func sorted(n uint32) event.Fact { return &event.Sorted{Size: 1, N: n} }

func handed(person string) event.Fact { return &event.HandedOver{Person: person} }

func teamOf(events ...*event.Event) *Team {
	t := new(Team)
	for _, e := range events {
		t.Meet(e)
		t.Add(e, 1)
	}
	return t
}

func TestOwnTallyOfEveryKind(t *testing.T) {
	p := &phone{replica: 1, phone: 9}
	facts := []event.Fact{
		&event.Attempt{Outcome: event.Partial, N: 4}, &event.Attempt{Outcome: event.Intact, N: 6}, &event.Fired{N: 30},
		sorted(5), &event.Split{From: event.Bench, Size: 3, Pieces: []event.Size{1, 2}, N: 2},
		&event.Rejected{From: event.Bench, Reason: 1, N: 3}, &event.Rejected{From: event.Holding, Reason: 1, N: 7},
		&event.Sites{Size: 2, N: 8}, &event.Placed{Size: 2, N: 9}, &event.CameBack{Size: 2, N: 1},
		&event.Reading{Value: 500}, &event.SitesClosed{Size: 1, N: 1}, &event.Note{Text: "x"}, &event.Retrieved{From: event.Buried, N: 1},
	}
	var events []*event.Event
	for i, fact := range facts {
		events = append(events, p.says(event.Stamp(i+1), fact))
	}
	team := teamOf(events...)
	want := Own{Outcomes: [event.Outcomes]int64{6, 4}, Fired: 30, Sorted: event.BySize{5}, Split: 2,
		RejectedBench: 3, RejectedPlacing: 7, Sites: event.BySize{0, 8}, Placed: event.BySize{0, 8}}
	if got := team.Own(event.ReplicaID{1}); got != want {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	for _, e := range events {
		team.Add(e, -1)
	}
	if got := team.Own(event.ReplicaID{1}); got != (Own{}) {
		t.Errorf("all undone: got %+v, want nothing", got)
	}
}

func TestOwnTallySinceTheHandOver(t *testing.T) {
	p := &phone{replica: 1, phone: 9}
	before := p.says(2, sorted(10))
	first := []*event.Event{p.says(1, joined("Sid", event.Sorting)), before}
	over := p.says(3, handed("Ria"))
	after := p.says(4, sorted(3))
	again := p.says(5, handed("Sid"))
	last := p.says(6, sorted(1))
	tests := []struct {
		name   string
		events []*event.Event
		undone []*event.Event
		want   int64
	}{
		{"before any", first, nil, 10},
		{"just handed over", append(first, over), nil, 0},
		{"counted since", append(first, over, after), nil, 3},
		{"handed over twice", append(first, over, after, again, last), nil, 1},
		{"an entry from before undone", append(first, over, after), []*event.Event{before}, 3},
		{"an entry from since undone", append(first, over, after), []*event.Event{after}, 0},
		{"an entry from before, counted late", []*event.Event{first[0], over, after, before}, nil, 3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			team := teamOf(tt.events...)
			for _, e := range tt.undone {
				team.Add(e, -1)
			}
			if got := team.Own(event.ReplicaID{1}).Sorted.Total(); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
			if got := team.Members()[0].Own.Sorted.Total(); got != tt.want {
				t.Errorf("member: got %d, want %d", got, tt.want)
			}
		})
	}
	if got := teamOf().Own(event.ReplicaID{1}); got != (Own{}) {
		t.Errorf("nobody: got %+v, want nothing", got)
	}
}

func TestOwnTallyOfOnePhoneUnderTwoIDs(t *testing.T) {
	tests := []struct {
		name  string
		other byte // the phone of the second replica
		over  func(a, b *phone) []*event.Event
		want  int64 // as either replica of the first phone sees it
	}{
		{"started over", 9, func(*phone, *phone) []*event.Event { return nil }, 17},
		{"another phone", 8, func(*phone, *phone) []*event.Event { return nil }, 10},
		{"handed over after that", 9, func(_, b *phone) []*event.Event {
			return []*event.Event{b.says(30, handed("Ria")), b.says(31, sorted(2))}
		}, 2},
		{"handed over before it started over", 9, func(a, _ *phone) []*event.Event {
			return []*event.Event{a.says(15, handed("Ria")), a.says(16, sorted(2))}
		}, 9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, b := &phone{replica: 1, phone: 9}, &phone{replica: 2, phone: tt.other}
			events := []*event.Event{a.says(1, joined("Sid", event.Sorting)), a.says(10, sorted(10)),
				b.says(20, joined("Sid", event.Sorting)), b.says(21, sorted(7))}
			events = append(events, tt.over(a, b)...)
			if got := teamOf(events...).Own(event.ReplicaID{1}).Sorted.Total(); got != tt.want {
				t.Errorf("got %d, want %d", got, tt.want)
			}
			var turned []*event.Event // the second replica first
			for _, e := range events {
				if e.Replica[0] == 2 {
					turned = append(turned, e)
				}
			}
			for _, e := range events {
				if e.Replica[0] == 1 {
					turned = append(turned, e)
				}
			}
			if got := teamOf(turned...).Own(event.ReplicaID{1}).Sorted.Total(); got != tt.want {
				t.Errorf("the other replica first: got %d, want %d", got, tt.want)
			}
		})
	}
}

func TestMembers(t *testing.T) {
	a, b := &phone{replica: 2, phone: 9}, &phone{replica: 1, phone: 8}
	events := []*event.Event{a.says(1, joined("Sid", event.Sorting)), b.says(2, &event.Note{Text: "x"}), a.says(5, &event.Left{}),
		a.says(4, joined("Ria", event.Placing)), a.says(9, handed("Pia"))}
	want := []Member{
		{Replica: event.ReplicaID{1}, Phone: event.PhoneID{8}, Newest: 2},
		{Replica: event.ReplicaID{2}, Phone: event.PhoneID{9}, Person: "Pia", Station: event.Placing, Newest: 9, Handed: 9},
	}
	if got := teamOf(events...).Members(); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if got := teamOf(events[:3]...).Members()[1]; !got.Left || got.Person != "Sid" {
		t.Errorf("left: got %+v", got)
	}
}

func TestPersonAtAStamp(t *testing.T) {
	p := &phone{replica: 1, phone: 9}
	team := teamOf(p.says(10, joined("Sid", event.Sorting)), p.says(20, handed("Ria")), p.says(30, handed("Pia")))
	for at, want := range map[event.Stamp]string{5: "Sid", 10: "Sid", 19: "Sid", 20: "Ria", 29: "Ria", 30: "Pia", 99: "Pia"} {
		if got := team.Person(event.ReplicaID{1}, at); got != want {
			t.Errorf("at %d: got %s, want %s", at, got, want)
		}
	}
	if got := team.Person(event.ReplicaID{7}, 5); got != "" {
		t.Errorf("nobody: got %s", got)
	}
}

func TestHandOversInOrder(t *testing.T) {
	a, b := &phone{replica: 1, phone: 9}, &phone{replica: 2, phone: 8}
	one := []*event.Event{a.says(1, joined("Sid", event.Sorting)), a.says(20, handed("Ria"))}
	other := []*event.Event{b.says(2, joined("Ola", event.Extraction)), b.says(10, handed("Tam")), b.says(20, handed("Ola"))}
	want := []HandOver{
		{event.ReplicaID{2}, 10, event.Extraction, "Ola", "Tam", nil},
		{event.ReplicaID{1}, 20, event.Sorting, "Sid", "Ria", nil},
		{event.ReplicaID{2}, 20, event.Extraction, "Tam", "Ola", nil},
	}
	for _, order := range [][]*event.Event{append(append([]*event.Event{}, one...), other...), append(append([]*event.Event{}, other...), one...)} {
		if got := teamOf(order...).HandOvers(); !reflect.DeepEqual(got, want) {
			t.Errorf("got  %+v\nwant %+v", got, want)
		}
	}
}

func TestPausesInOrder(t *testing.T) {
	a, b := &phone{replica: 1, phone: 9}, &phone{replica: 2, phone: 8}
	begin, end := a.says(20, &event.Paused{Reason: "tea"}), b.says(10, &event.Resumed{Room: true})
	team := teamOf(begin, end, end)
	want := []Pause{{end.Ref(), 10, 0, true, false, ""}, {begin.Ref(), 20, 0, false, true, "tea"}}
	if got := team.Pauses(); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	team.Add(end, -1)
	team.Add(end, -1)
	if got := team.Pauses(); !reflect.DeepEqual(got, want[1:]) {
		t.Errorf("undone: got %+v, want %+v", got, want[1:])
	}
}

// A pause belongs to the station where its phone was when it said so, whenever
// a void of it is taken back.
func TestAPauseBroughtBackKeepsItsStation(t *testing.T) {
	p := &phone{replica: 1, phone: 9}
	join, pause, moved := p.says(1, joined("Ola", event.Extraction)), p.says(2, &event.Paused{}), p.says(3, joined("Ola", event.Placing))
	straight := teamOf(join, pause, moved)
	round := teamOf(join, pause, moved)
	round.Add(pause, -1)
	round.Add(pause, 1)
	if got, want := round.Pauses(), straight.Pauses(); !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got[0].Station, want[0].Station)
	}
}
