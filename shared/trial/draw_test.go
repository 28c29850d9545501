package trial

import "testing"

// The first outputs of splitmix64 started with 1234567, as public tests of it
// print them (from memory).
func TestRandom(t *testing.T) {
	for n, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		if got := random(1234567, uint64(n)); got != want {
			t.Errorf("output %d: got %d, want %d", n, got, want)
		}
	}
}

// Every round has every arm once, whatever the seed.
func TestEveryRoundHasEveryArm(t *testing.T) {
	for seed := range uint32(200) {
		for arms := int64(1); arms <= 4; arms++ {
			for first := int64(1); first <= 40*arms; first += arms {
				seen := map[int64]bool{}
				for turn := first; turn < first+arms; turn++ {
					arm := Draw(seed*9_999_991, arms, turn)
					if arm < 0 || arm >= arms || seen[arm] {
						t.Fatalf("seed %d, turn %d of %d arms: got %d after %v", seed, turn, arms, arm, seen)
					}
					seen[arm] = true
				}
			}
		}
	}
}

// All orders of a round come up alike: chi-squared of 24 orders, whose 99.99 %
// point at 23 degrees of freedom is 55 (from memory).
func TestOrdersAreAlike(t *testing.T) {
	const rounds = 24_000
	counts := map[[4]int64]int{}
	for r := int64(0); r < rounds; r++ {
		var order [4]int64
		for i := range order {
			order[i] = Draw(uint32(r%7), 4, r/7*4+int64(i)+1)
		}
		counts[order]++
	}
	chi := 0.0
	for _, n := range counts {
		d := float64(n) - rounds/24
		chi += d * d / (rounds / 24)
	}
	if len(counts) != 24 || chi > 55 {
		t.Errorf("%d orders, chi-squared %.1f", len(counts), chi)
	}
}

// The order of a trial is part of its record: it never changes.
func TestDrawStays(t *testing.T) {
	want := "10100101101010100210120121202012013120313200213"
	got := ""
	for turn := int64(1); turn <= 16; turn++ {
		got += string(rune('0' + Draw(7, 2, turn)))
	}
	for turn := int64(1); turn <= 15; turn++ {
		got += string(rune('0' + Draw(4_000_000_000, 3, turn)))
	}
	for turn := int64(1); turn <= 16; turn++ {
		got += string(rune('0' + Draw(0, 4, turn)))
	}
	if got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestTurnsOf(t *testing.T) {
	for arms := int64(2); arms <= 4; arms++ {
		have := make([]int64, arms)
		for turn := int64(1); turn <= 50; turn++ {
			have[Draw(11, arms, turn)]++
			for arm, n := range have {
				if got := turnsOf(11, arms, int64(arm), turn); got != n {
					t.Fatalf("%d arms, arm %d, turn %d: got %d, want %d", arms, arm, turn, got, n)
				}
			}
		}
	}
}

func TestDrawOutOfBounds(t *testing.T) {
	for _, bad := range [][2]int64{{0, 1}, {5, 1}, {2, 0}, {2, -4}} {
		if got := Draw(1, bad[0], bad[1]); got != 0 {
			t.Errorf("%v: got %d, want 0", bad, got)
		}
	}
}
