package bridge

import (
	"rootledger/shared/event"
	"rootledger/shared/fault"
	"rootledger/shared/plan"
)

// ShapeType is how an area is told.
type ShapeType uint64

// The shapes.
const (
	ShapeRectangle ShapeType = iota + 1 // two sides in mm
	ShapeEllipse                        // two axes in mm
	ShapeOutline                        // points of a photo, its ruler's two ends, and the ruler's length in mm
)

// Shape is a shape whose area is asked for: an array of its type, its numbers,
// and for an outline the points as x and y in turn, in units of the photo.
type Shape struct {
	Type    ShapeType
	Numbers []int64 // mm: two sides, or two axes, or the ruler's length
	Ruler   []int64 // x and y of both ends
	Points  []int64
}

func readShape(r *event.Reader) (s Shape) {
	if r.Array() != 4 {
		return Shape{} // no shape: refused below
	}
	s.Type = ShapeType(r.Uint())
	for _, list := range []*[]int64{&s.Numbers, &s.Ruler, &s.Points} {
		*list = readInts(r)
	}
	return s
}

// area works out the area of a shape. The photo itself never comes here.
func (g *Engine) area(in Call, d *Duties) (err error) {
	s, mm2 := in.Shape, int64(0)
	switch {
	case s.Type == ShapeRectangle && len(s.Numbers) == 2:
		mm2, err = plan.Rectangle(s.Numbers[0], s.Numbers[1])
	case s.Type == ShapeEllipse && len(s.Numbers) == 2:
		mm2, err = plan.Ellipse(s.Numbers[0], s.Numbers[1])
	case s.Type == ShapeOutline && len(s.Numbers) == 1 && len(s.Ruler) == 4 && len(s.Points)%2 == 0:
		points := make([]plan.Point, 0, len(s.Points)/2)
		for i := 0; i < len(s.Points); i += 2 {
			points = append(points, plan.Point{X: s.Points[i], Y: s.Points[i+1]})
		}
		ends := s.Ruler
		mm2, err = plan.Outline(points, plan.Ruler{From: plan.Point{X: ends[0], Y: ends[1]}, To: plan.Point{X: ends[2], Y: ends[3]}, MM: s.Numbers[0]})
	default:
		return fault.New(fault.Damaged, "call-damaged")
	}
	if err == nil {
		d.Worked = []int64{mm2}
		d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	}
	return err
}

// wanted works out how many grafts bring a share of the native hairs to an area,
// and the density with which a zone needs that many, or the next that its tenths
// can say.
func (g *Engine) wanted(in Call, d *Duties) error {
	w := in.Wanted
	if len(w) != 4 {
		return fault.New(fault.Damaged, "call-damaged")
	}
	grafts, known := plan.Wanted(w[0], w[1], w[2], w[3])
	if !known {
		return fault.New(fault.Invalid, "wanted-range")
	}
	d.Worked = []int64{grafts, (1000*grafts + w[0] - 1) / w[0]}
	d.Answers = append(d.Answers, Answer{Tap: in.Tap})
	return nil
}

func readInts(r *event.Reader) (out []int64) {
	for range r.Array() {
		out = append(out, r.Int())
	}
	return out
}
