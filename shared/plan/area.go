package plan

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
)

// Bounds of what an area is worked out from.
const (
	MinOutline = 3         // points of an outline
	MaxOutline = 200       // far more than a finger sets
	maxUnits   = 1_000_000 // a coordinate, either side of zero: no photo has more, and products stay within 64 bits
	maxRuler   = 1_000     // mm

	// Setting a point to a whole unit moves it by up to 0.71 units, so a ruler
	// is up to 1.42 units wrong: at 100 units the area is up to 2.9 % wrong.
	minRulerUnits = 100
	// What is wrong in a ruler much smaller than a zone is wrong many times over in the zone.
	minRuler = 10 // mm
)

// Rectangle is the area of a × b mm, in mm², 1..event.MaxAreaMM2.
func Rectangle(a, b int64) (int64, error) {
	if err := checkSides(a, b); err != nil {
		return 0, err
	}
	return checkArea(a * b)
}

// π as one of its continued fraction's convergents, wrong by less than 10⁻¹⁶:
// no a × b up to the largest area brings π × a × b / 4 within 10⁻⁶ of a half,
// so every ellipse rounds as with π itself (a test tries them all).
const piNum, piDen = 245_850_922, 78_256_779

// Ellipse is the area of an ellipse with whole axes (not halves of them) of a
// and b mm, π × a × b / 4, in mm² to the nearest, 1..event.MaxAreaMM2.
func Ellipse(a, b int64) (int64, error) {
	if err := checkSides(a, b); err != nil {
		return 0, err
	}
	return checkArea(quarterPi(a * b))
}

// quarterPi is π × product / 4 to the nearest; product <= 4 × 10¹⁰, so that all
// stays below 2⁶⁴.
func quarterPi(product int64) int64 {
	return int64((uint64(product)*piNum + 2*piDen) / (4 * piDen))
}

// Point is a place on a photo in whole units of it, such as pixels.
type Point struct{ X, Y int64 }

// Ruler is a length that is known on a photo: from one point to another are MM mm.
type Ruler struct {
	From, To Point
	MM       int64
}

// Outline is the area within a simple polygon of 3 to 200 points of a photo,
// the last joined to the first, in mm² to the nearest, a half up, and within
// 1..event.MaxAreaMM2. It is exact before it is rounded: the surveyor's formula
// (shoelace) × mm² of the ruler / units² of it. The photo is taken for flat and
// seen straight on: a curved head or a tilted phone shows too small an area.
func Outline(points []Point, ruler Ruler) (int64, error) {
	units2, err := ruler.units2()
	if err != nil {
		return 0, err
	}
	if err := checkOutline(points); err != nil {
		return 0, err
	}
	var twice int64
	for i, a := range points {
		b := next(points, i)
		twice += a.X*b.Y - b.X*a.Y
	}
	if twice < 0 {
		twice = -twice
	}
	// twice <= 8 × 10¹² and mm² <= 10⁶: below 2⁶³.
	num, den := uint64(twice)*uint64(ruler.MM*ruler.MM), 2*uint64(units2)
	return checkArea(int64((num + den/2) / den))
}

// units2 is the ruler's length in units of the photo, squared.
func (r Ruler) units2() (int64, error) {
	if err := checkSpan("ruler", r.MM, minRuler, maxRuler); err != nil {
		return 0, err
	}
	for _, p := range []Point{r.From, r.To} {
		if err := checkPoint(p); err != nil {
			return 0, err
		}
	}
	x, y := r.To.X-r.From.X, r.To.Y-r.From.Y
	units2 := x*x + y*y
	if units2 < minRulerUnits*minRulerUnits {
		return 0, fault.New(fault.Invalid, "ruler-short").WithInt("min", minRulerUnits)
	}
	return units2, nil
}

// checkOutline refuses what encloses no one area. It compares each edge with
// every other: at most 20,000 pairs.
func checkOutline(points []Point) error {
	n := len(points)
	if n < MinOutline || n > MaxOutline {
		return fault.New(fault.Invalid, "outline-points").WithInt("got", int64(n)).WithInt("min", MinOutline).WithInt("max", MaxOutline)
	}
	for i, p := range points {
		if err := checkPoint(p); err != nil {
			return err
		}
		for j, q := range points[:i] {
			if p == q {
				return fault.New(fault.Invalid, "outline-repeats").WithInt("first", int64(j+1)).WithInt("second", int64(i+1))
			}
		}
	}
	for i := range points {
		for j := range i {
			if touch(points, j, i) {
				return fault.New(fault.Invalid, "outline-crosses").WithInt("first", int64(j+1)).WithInt("second", int64(i+1))
			}
		}
	}
	return nil
}

// next is the point behind the i-th, going round.
func next(points []Point, i int) Point { return points[(i+1)%len(points)] }

// touch says whether the edges from the i-th and j-th points, i < j, share
// more than the point where one ends and the other begins.
func touch(points []Point, i, j int) bool {
	a, b, c, d := points[i], next(points, i), points[j], next(points, j)
	switch {
	case b == c:
		return folds(a, b, d)
	case d == a:
		return folds(c, a, b)
	}
	abc, abd, cda, cdb := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if abc*abd < 0 && cda*cdb < 0 {
		return true
	}
	return abc == 0 && within(a, b, c) || cda == 0 && within(c, d, a) // every point begins an edge, so ends need no look
}

// folds says whether the way from a over b to c goes back on itself.
func folds(a, b, c Point) bool {
	return side(a, b, c) == 0 && (a.X-b.X)*(c.X-b.X)+(a.Y-b.Y)*(c.Y-b.Y) > 0
}

// side is on which side of the line from a to b c lies: -1, 0 for on it, or 1.
func side(a, b, c Point) int {
	cross := (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
	switch {
	case cross < 0:
		return -1
	case cross > 0:
		return 1
	}
	return 0
}

// within says whether c, which lies on the line through a and b, lies between them.
func within(a, b, c Point) bool {
	return min(a.X, b.X) <= c.X && c.X <= max(a.X, b.X) && min(a.Y, b.Y) <= c.Y && c.Y <= max(a.Y, b.Y)
}

func checkSides(a, b int64) error {
	if err := checkSpan("side", a, 1, event.MaxAreaMM2); err != nil {
		return err
	}
	return checkSpan("side", b, 1, event.MaxAreaMM2)
}

func checkArea(mm2 int64) (int64, error) {
	if err := checkSpan("area", mm2, 1, event.MaxAreaMM2); err != nil {
		return 0, err
	}
	return mm2, nil
}

func checkPoint(p Point) error {
	if err := checkSpan("point", p.X, -maxUnits, maxUnits); err != nil {
		return err
	}
	return checkSpan("point", p.Y, -maxUnits, maxUnits)
}

func checkSpan(field string, got, least, most int64) error {
	if got < least || got > most {
		return fault.New(fault.Invalid, "number-range").With("field", field).WithInt("got", got).WithInt("min", least).WithInt("max", most)
	}
	return nil
}
