package dose

import (
	"testing"

	"rootledger/shared/event"
)

func whats(doubts []Doubt) (out string) {
	for _, d := range doubts {
		out += d.What + " "
	}
	return out
}

func TestDoubts(t *testing.T) {
	const plain, with = event.Lidocaine, event.LidocaineEpinephrine
	mixed := func(d *event.Dosed, ratio uint32) *event.Dosed { d.Ratio = ratio; return d }
	small := []event.Fact{kg(80), ml(plain, 1, 2), ml(plain, 0.8, 2)}
	for _, c := range []struct {
		name   string
		before []event.Fact
		draft  *event.Dosed
		want   string
	}{
		{"an ordinary dose", []event.Fact{kg(80)}, ml(plain, 5, 2), ""},
		{"20 % lidocaine", []event.Fact{kg(80)}, ml(plain, 1, 20), "strength "},
		{"mg for mL", []event.Fact{kg(80)}, ml(plain, 200, 2), "unit alone "},
		{"mg for mL of little", []event.Fact{kg(80)}, ml(plain, 60, 0.5), "unit "},
		{"a syringe of 50 mL", []event.Fact{kg(80)}, ml(plain, 50, 0.5), ""},
		{"ten times", small, ml(plain, 9, 2), "tenfold "},
		{"nearly ten times", small, ml(plain, 7.2, 2), "tenfold "},
		{"seven times", small, ml(plain, 6.5, 2), ""},
		{"a tenth", small, ml(plain, 0.09, 2), "tenfold "},
		{"nearly a tenth", small, ml(plain, 0.112, 2), "tenfold "},
		{"a seventh", small, ml(plain, 0.13, 2), ""},
		{"of another agent", small, mixed(ml(with, 9, 2), 200_000), ""},
		{"past alone", []event.Fact{kg(60)}, ml(plain, 14, 2), "alone "},
		{"past with what was given", []event.Fact{kg(60), ml(plain, 10, 2)}, ml(plain, 5, 2), "past "},
		{"past by several agents", []event.Fact{kg(80), ml(event.Bupivacaine, 28, 0.5)}, ml(plain, 5, 2), "past-sum "},
		{"past the day", []event.Fact{ml(event.Bupivacaine, 34, 0.5), ml(event.Bupivacaine, 34, 0.5)}, ml(event.Bupivacaine, 13, 0.5), "past-day "},
		{"after one that was past", []event.Fact{ml(event.Bupivacaine, 36, 0.5)}, ml(event.Bupivacaine, 10, 0.5), "past-dose "},
		{"dilute past with what was given", []event.Fact{kg(70), regime(), dilute(1_500, 0.1)}, dilute(600, 0.1), "past-regime "},
		{"no weight", nil, ml(plain, 5, 2), "no-weight "},
		{"no weight, no limit by it", nil, ml(event.Bupivacaine, 5, 0.5), ""},
		{"no weight, under a regime", []event.Fact{regime()}, dilute(50, 0.1), "no-weight "},
		{"no ratio", []event.Fact{kg(80)}, ml(with, 5, 2), "no-ratio "},
		{"a ratio of the stock", []event.Fact{kg(80)}, mixed(ml(with, 5, 2), 1_000), "ratio "},
		{"a ratio ten times off", []event.Fact{kg(80)}, mixed(ml(with, 5, 2), 2_000_000), "ratio "},
		{"epinephrine in the plain one", []event.Fact{kg(80)}, mixed(ml(plain, 5, 2), 200_000), "plain "},
		{"dilute without a regime", []event.Fact{kg(80)}, dilute(50, 0.1), "no-regime "},
		{"another solution", []event.Fact{kg(70), regime()}, dilute(40, 1), "solution "},
		{"another solution past the label", []event.Fact{kg(70), regime()}, dilute(50, 1), "solution alone "},
		{"the regime's solution", []event.Fact{kg(70), regime()}, dilute(500, 0.1), ""},
		{"dilute past the regime", []event.Fact{kg(70), regime()}, dilute(2_000, 0.1), "alone "},
		{"unknown", nil, &event.Dosed{Agent: event.Ref{Seq: 9}, VolumeUL: 1, Strength: 1}, ""},
	} {
		if got := whats(enter(c.before...).Doubts(c.draft)); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
	if got := enter(kg(60), ml(plain, 10, 2)).Doubts(ml(plain, 3.501, 2)); len(got) != 1 || got[0] != (Doubt{"past", 270_020, 270_000}) {
		t.Errorf("past the pooled limit: got %+v", got)
	}
	if got := enter(kg(80)).Doubts(ml(plain, 200, 2)); got[0] != (Doubt{"unit", 200_000, 10_000}) || got[1] != (Doubt{"alone", 4_000_000, 300_000}) {
		t.Errorf("numbers: got %+v", got)
	}
}

func TestWeightDoubts(t *testing.T) {
	for _, c := range []struct {
		name   string
		before []event.Fact
		grams  uint32
		want   string
	}{
		{"80 kg", nil, 80_000, ""},
		{"a point too far", nil, 8_000, "weight-small "},
		{"pounds", nil, 176_000, "weight-large "},
		{"a tenth more", []event.Fact{kg(80)}, 88_000, ""},
		{"more than a tenth more", []event.Fact{kg(80)}, 88_001, "weight-changed "},
		{"more than a tenth less", []event.Fact{kg(80)}, 71_999, "weight-changed "},
		{"pounds after kg", []event.Fact{kg(80)}, 176_000, "weight-large weight-changed "},
	} {
		if got := whats(enter(c.before...).WeightDoubts(&event.Weight{Grams: c.grams})); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
	if got := enter().WeightDoubts(&event.Weight{Grams: 176_000})[0].Of; got != 79_832 {
		t.Errorf("176 lb: got %d g, want 79,832", got)
	}
}
