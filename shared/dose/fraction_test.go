package dose

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// The library's rationals say the same of any sum, also where its numbers pass
// 64 bits.
func TestSumsAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amount := rapid.OneOf(rapid.Int64Range(0, 10), rapid.Int64Range(0, 1<<60))
		most := rapid.OneOf(rapid.Int64Range(1, 10), rapid.Int64Range(1, 1<<40))
		var sum []Fraction
		want := new(big.Rat)
		for range rapid.IntRange(0, 6).Draw(t, "n") {
			f := Fraction{amount.Draw(t, "num"), most.Draw(t, "den")}
			sum = append(sum, f)
			want.Add(want, big.NewRat(f.Num, f.Den))
		}
		n, d := rapid.Int64Range(0, 1<<40).Draw(t, "n of"), rapid.Int64Range(1, 1<<40).Draw(t, "d of")
		if got := compare(sum, uint64(n), uint64(d)); sign(got) != want.Cmp(big.NewRat(n, d)) {
			t.Fatalf("%v against %d/%d: got %d, want %v", sum, n, d, got, want)
		}
		halves := new(big.Rat).Add(new(big.Rat).Mul(want, big.NewRat(10_000, 1)), big.NewRat(1, 2))
		whole := new(big.Int).Div(halves.Num(), halves.Denom())
		if whole.Cmp(big.NewInt(mostParts)) > 0 {
			whole.SetInt64(mostParts)
		}
		if got := parts(sum); got != whole.Int64() {
			t.Fatalf("parts of %v: got %d, want %v", sum, got, whole)
		}
	})
}

func TestThirds(t *testing.T) {
	thirds := []Fraction{{1, 3}, {1, 3}, {1, 3}}
	if got := compare(thirds, 1, 1); got != 0 {
		t.Errorf("three thirds against one: got %d", got)
	}
	if got := parts([]Fraction{{1, 3}, {2, 3}, {1, 20_000}}); got != 10_001 {
		t.Errorf("a half part: got %d, want it rounded up", got)
	}
}

func sign(n int) int { return min(1, max(-1, n)) }
