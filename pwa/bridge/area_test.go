package bridge

import (
	"slices"
	"testing"

	"rootledger/shared/fault"
)

// Shapes and hairs wanted need no session; what can not be worked out is said.
func TestWork(t *testing.T) {
	square := []int64{0, 0, 200, 0, 200, 200, 0, 200}
	ruler := []int64{0, 300, 400, 300}
	for name, tt := range map[string]struct {
		call Call
		want []int64
		code fault.Code
	}{
		"a rectangle":                   {Call{Type: CallArea, Shape: Shape{Type: ShapeRectangle, Numbers: []int64{50, 80}}}, []int64{4000}, ""},
		"an ellipse":                    {Call{Type: CallArea, Shape: Shape{Type: ShapeEllipse, Numbers: []int64{100, 100}}}, []int64{7854}, ""},
		"an outline, half a mm a point": {Call{Type: CallArea, Shape: Shape{ShapeOutline, []int64{200}, ruler, square}}, []int64{10_000}, ""},
		"an outline that crosses":       {Call{Type: CallArea, Shape: Shape{ShapeOutline, []int64{200}, ruler, []int64{0, 0, 200, 200, 200, 0, 0, 200}}}, nil, "outline-crosses"},
		"no shape":                      {Call{Type: CallArea}, nil, "call-damaged"},
		"points that do not pair":       {Call{Type: CallArea, Shape: Shape{ShapeOutline, []int64{200}, ruler, square[:7]}}, nil, "call-damaged"},
		// 40 cm² × 180 hairs × 30 % / 2.2 hairs = 981.8, so 982; of 40 cm² that is 24.6 a cm² (984)
		"hairs wanted":   {Call{Type: CallWanted, Wanted: []int64{4000, 1800, 300, 220}}, []int64{982, 246}, ""},
		"no hairs":       {Call{Type: CallWanted, Wanted: []int64{4000, 0, 300, 220}}, nil, "wanted-range"},
		"half a request": {Call{Type: CallWanted, Wanted: []int64{4000}}, nil, "call-damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			var g Engine
			d := g.Do(tt.call)
			if !slices.Equal(d.Worked, tt.want) || len(d.Answers) != 1 {
				t.Fatalf("got %v, %v, want %v", d.Worked, d.Answers, tt.want)
			}
			code := fault.Code("")
			if f := d.Answers[0].Fault; f != nil {
				code = f.Code
			}
			if code != tt.code {
				t.Errorf("got %q, want %q", code, tt.code)
			}
		})
	}
}
