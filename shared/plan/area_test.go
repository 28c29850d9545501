package plan

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// said is the fault as a log writes it, "" for none.
func said(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func TestRectangle(t *testing.T) {
	tests := []struct {
		name string
		a, b int64
		want int64
		says string
	}{
		{"a square of 1 cm", 10, 10, 100, ""},
		{"a hairline", 120, 20, 2400, ""},
		{"the least", 1, 1, 1, ""},
		{"the most", 200, 1000, 200_000, ""},
		{"no width", 0, 10, 0, "number-range field=side got=0 min=1 max=200000"},
		{"a height below zero", 10, -3, 0, "number-range field=side got=-3 min=1 max=200000"},
		{"both below zero", -10, -10, 0, "number-range field=side got=-10 min=1 max=200000"},
		{"too large an area", 448, 447, 0, "number-range field=area got=200256 min=1 max=200000"},
		{"too long a side", 1 << 40, 1 << 40, 0, "number-range field=side got=1099511627776 min=1 max=200000"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Rectangle(tt.a, tt.b)
			if got != tt.want || said(err) != tt.says {
				t.Errorf("got %d, %q, want %d, %q", got, said(err), tt.want, tt.says)
			}
		})
	}
}

// Wanted areas: π × a × b / 4 with π to 16 digits.
func TestEllipse(t *testing.T) {
	tests := []struct {
		name string
		a, b int64
		want int64
		says string
	}{
		{"a crown of 10 cm across", 100, 100, 7854, ""},   // 7853.98
		{"a temple", 40, 15, 471, ""},                     // 471.24
		{"the least", 1, 1, 1, ""},                        // 0.785
		{"a small one", 2, 1, 2, ""},                      // 1.571
		{"nearest above a half", 165_849, 1, 130_258, ""}, // 130,257.5000013
		{"nearest below a half", 1, 199_064, 156_344, ""}, // 156,344.4999985
		{"two hundred times a thousand", 200, 1000, 157_080, ""},
		{"no axis", 0, 10, 0, "number-range field=side got=0 min=1 max=200000"},
		{"below zero", 10, -1, 0, "number-range field=side got=-1 min=1 max=200000"},
		{"too large", 510, 500, 0, "number-range field=area got=200277 min=1 max=200000"},
		{"as large as the sides go", 200_000, 200_000, 0, "number-range field=area got=31415926536 min=1 max=200000"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Ellipse(tt.a, tt.b)
			if got != tt.want || said(err) != tt.says {
				t.Errorf("got %d, %q, want %d, %q", got, said(err), tt.want, tt.says)
			}
		})
	}
}

// π lies between 3.141592653589793 and …794 (math.Pi of the standard library):
// both ends must round to what Ellipse says, for every product of axes that can
// come out within bounds.
func TestEllipsesRoundAsWithPi(t *testing.T) {
	const digits = 3_141_592_653_589_793
	if float64(digits)/1e15 != math.Pi {
		t.Fatalf("got %v, want %v", float64(digits)/1e15, math.Pi)
	}
	half, den := big.NewInt(2_000_000_000_000_000), big.NewInt(4_000_000_000_000_000)
	rounded := func(pi, n int64) int64 {
		v := new(big.Int).Mul(big.NewInt(pi), big.NewInt(n))
		return v.Add(v, half).Div(v, den).Int64()
	}
	n := int64(1)
	for ; rounded(digits, n) <= event.MaxAreaMM2; n++ {
		low, high := rounded(digits, n), rounded(digits+1, n)
		if got := quarterPi(n); got != low || got != high {
			t.Fatalf("axes of %d mm²: got %d, want %d and %d", n, got, low, high)
		}
	}
	if n != 254_649 { // 200,000.5 / (π / 4) is 254,648.6
		t.Errorf("ended at %d, want 254,649", n)
	}
}

// square has sides of 1,000 units.
var square = []Point{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}}

// bow is n points of a parabola, y = x² / 100, joined by its chord: with n − 1
// = m the area is 10 × (m³ − m) / 6 units².
func bow(n int) (out []Point) {
	for i := range int64(n) {
		out = append(out, Point{10 * i, i * i})
	}
	return out
}

// tenth is a ruler of ten units a mm.
var tenth = Ruler{Point{0, 0}, Point{600, 800}, 100}

func TestOutline(t *testing.T) {
	tests := []struct {
		name   string
		points []Point
		ruler  Ruler
		want   int64
	}{
		{"a square of 10 cm", square, tenth, 10_000},
		{"a triangle", square[:3], tenth, 5_000},
		{"an L", []Point{{0, 0}, {1000, 0}, {1000, 500}, {500, 500}, {500, 1000}, {0, 1000}}, tenth, 7_500},
		{"a point in a straight side", []Point{{0, 0}, {500, 0}, {1000, 0}, {1000, 1000}, {0, 1000}}, tenth, 10_000},
		{"half a mm² goes up", []Point{{0, 0}, {10, 0}, {10, 10}, {0, 5}}, tenth, 1},        // 0.75
		{"exactly a half", []Point{{0, 0}, {10, 0}, {10, 10}}, tenth, 1},                    // 0.5
		{"a half behind a one", []Point{{0, 0}, {15, 0}, {15, 10}, {0, 10}}, tenth, 2},      // 1.5
		{"a ruler of an odd length", square, Ruler{Point{0, 0}, Point{300, 700}, 50}, 4310}, // 10⁶ × 2500 / 580,000 = 4310.3
		{"the shortest ruler", []Point{{0, 0}, {100, 0}, {100, 100}, {0, 100}}, Ruler{Point{0, 0}, Point{100, 0}, 10}, 100},
		{"the most points", bow(200), tenth, 131_340},
		{"coordinates as far as they go", []Point{{-1_000_000, -1_000_000}, {1_000_000, -1_000_000}, {1_000_000, 1_000_000}, {-1_000_000, 1_000_000}},
			Ruler{Point{-1_000_000, -1_000_000}, Point{1_000_000, 1_000_000}, 500}, 125_000},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Outline(tt.points, tt.ruler)
			if got != tt.want || err != nil {
				t.Errorf("got %d, %q, want %d", got, said(err), tt.want)
			}
		})
	}
}

func TestOutlinesThatAreRefused(t *testing.T) {
	ruler := func(x, y, mm int64) Ruler { return Ruler{Point{-5, 7}, Point{x - 5, y + 7}, mm} }
	tests := []struct {
		name   string
		points []Point
		ruler  Ruler
		says   string
	}{
		{"no points", nil, tenth, "outline-points got=0 min=3 max=200"},
		{"two points", square[:2], tenth, "outline-points got=2 min=3 max=200"},
		{"too many points", bow(201), tenth, "outline-points got=201 min=3 max=200"},
		{"a point twice", []Point{{0, 0}, {1000, 0}, {0, 0}, {0, 1000}}, tenth, "outline-repeats first=1 second=3"},
		{"closed by its first point", append(slices.Clone(square), square[0]), tenth, "outline-repeats first=1 second=5"},
		{"a bow tie", []Point{{0, 0}, {1000, 1000}, {1000, 0}, {0, 1000}}, tenth, "outline-crosses first=1 second=3"},
		{"a point on another side", []Point{{0, 0}, {1000, 0}, {1000, 1000}, {500, 0}}, tenth, "outline-crosses first=1 second=4"},
		{"a side over an earlier point", []Point{{500, 500}, {600, 900}, {0, 900}, {0, 0}, {900, 900}, {900, 0}}, tenth, "outline-crosses first=1 second=4"},
		{"a side along another", []Point{{0, 0}, {900, 0}, {900, 300}, {600, 0}, {300, 0}, {0, 300}}, tenth, "outline-crosses first=1 second=4"},
		{"a side that goes back on itself", []Point{{0, 0}, {1000, 0}, {400, 0}, {400, 700}}, tenth, "outline-crosses first=1 second=2"},
		{"the last side back on the first", []Point{{0, 0}, {400, 0}, {400, 700}, {1000, 0}}, tenth, "outline-crosses first=1 second=4"},
		{"all in one line", []Point{{0, 0}, {1000, 0}, {500, 0}}, tenth, "outline-crosses first=1 second=2"},
		{"too far out", []Point{{0, 0}, {1_000_001, 0}, {0, 9}}, tenth, "number-range field=point got=1000001 min=-1000000 max=1000000"},
		{"too far down", []Point{{0, 0}, {9, 0}, {0, -1_000_001}}, tenth, "number-range field=point got=-1000001 min=-1000000 max=1000000"},
		{"nothing but a speck", []Point{{0, 0}, {9, 0}, {9, 9}}, tenth, "number-range field=area got=0 min=1 max=200000"},
		{"too large", square, ruler(100, 0, 100), "number-range field=area got=1000000 min=1 max=200000"},
		{"a ruler of one point", square, ruler(0, 0, 100), "ruler-short min=100"},
		{"a ruler one unit too short", square, ruler(99, 0, 100), "ruler-short min=100"},
		{"a slanted ruler that is too short", square, ruler(70, 71, 100), "ruler-short min=100"},
		{"a ruler of no length", square, ruler(100, 0, 0), "number-range field=ruler got=0 min=10 max=1000"},
		{"a ruler below zero", square, ruler(100, 0, -100), "number-range field=ruler got=-100 min=10 max=1000"},
		{"a ruler of 9 mm", square, ruler(100, 0, 9), "number-range field=ruler got=9 min=10 max=1000"},
		{"a ruler of more than a metre", square, ruler(1000, 0, 1001), "number-range field=ruler got=1001 min=10 max=1000"},
		{"a ruler off the photo", square, Ruler{Point{2_000_000, 0}, Point{0, 0}, 10}, "number-range field=point got=2000000 min=-1000000 max=1000000"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, err := Outline(tt.points, tt.ruler); got != 0 || said(err) != tt.says {
				t.Errorf("got %d, %q, want %q", got, said(err), tt.says)
			}
		})
	}
}

// star draws an outline around (0, 0) that never crosses itself, for its points
// go round once: directions of Pythagorean triples, each at a distance of its own.
func star(rt *rapid.T) []Point {
	around := []Point{{5, 0}, {4, 3}, {3, 4}, {0, 5}, {-3, 4}, {-4, 3}, {-5, 0}, {-4, -3}, {-3, -4}, {0, -5}, {3, -4}, {4, -3}}
	var out []Point
	for _, p := range around {
		r := rapid.Int64Range(20, 400).Draw(rt, "distance")
		out = append(out, Point{p.X * r, p.Y * r})
	}
	return out
}

func TestAnOutlinesAreaStaysTheSame(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		points, ruler := star(rt), Ruler{Point{0, 0}, Point{rapid.Int64Range(100, 3000).Draw(rt, "units"), 40}, rapid.Int64Range(10, 90).Draw(rt, "mm")}
		want, err := Outline(points, ruler)
		dx, dy := rapid.Int64Range(-9000, 9000).Draw(rt, "right"), rapid.Int64Range(-9000, 9000).Draw(rt, "up")
		start := rapid.IntRange(1, len(points)-1).Draw(rt, "start")
		each := func(change func(Point) Point) []Point {
			var out []Point
			for _, p := range points {
				out = append(out, change(p))
			}
			return out
		}
		back := slices.Clone(points)
		slices.Reverse(back)
		for name, changed := range map[string][]Point{
			"shifted":       each(func(p Point) Point { return Point{p.X + dx, p.Y + dy} }),
			"turned by 90°": each(func(p Point) Point { return Point{-p.Y, p.X} }),
			"mirrored":      each(func(p Point) Point { return Point{-p.X, p.Y} }),
			"reversed":      back,
			"begun later":   slices.Concat(points[start:], points[:start]),
		} {
			if got, e := Outline(changed, ruler); got != want || said(e) != said(err) {
				rt.Fatalf("%s: got %d, %q, want %d, %q", name, got, said(e), want, said(err))
			}
		}
		turned := Ruler{ruler.To, ruler.From, ruler.MM}
		if got, e := Outline(points, turned); got != want || said(e) != said(err) {
			rt.Fatalf("ruler turned: got %d, %q, want %d, %q", got, said(e), want, said(err))
		}
	})
}

// On a small grid outlines touch themselves in every way. Two sides share a
// point if each has an end on either side of the other's line, or an end of one
// lies on the other; sides that follow each other share that point alone.
func TestOutlinesThatTouchThemselves(t *testing.T) {
	touching := func(points []Point, i, j int) bool {
		a, b, c, d := points[i], next(points, i), points[j], next(points, j)
		ends := 0
		for _, on := range []bool{
			side(a, b, c) == 0 && within(a, b, c), side(a, b, d) == 0 && within(a, b, d),
			side(c, d, a) == 0 && within(c, d, a), side(c, d, b) == 0 && within(c, d, b),
		} {
			if on {
				ends++
			}
		}
		if b == c || d == a {
			return ends > 2 // the shared point is an end of both
		}
		return ends > 0 || side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
	}
	rapid.Check(t, func(rt *rapid.T) {
		point := rapid.Custom(func(rt *rapid.T) Point {
			return Point{rapid.Int64Range(0, 4).Draw(rt, "x"), rapid.Int64Range(0, 4).Draw(rt, "y")}
		})
		points := rapid.SliceOfNDistinct(point, 3, 7, rapid.ID).Draw(rt, "points")
		want := false
		for i := range points {
			for j := range i {
				want = want || touching(points, j, i)
			}
		}
		if err := checkOutline(points); (err != nil) != want || want && !fault.Is(err, "outline-crosses") {
			rt.Fatalf("got %q, want it refused: %v", said(err), want)
		}
	})
}
