package fault

import (
	"errors"
	"fmt"
	"reflect"
	"testing"
)

func TestErrorIsForLogs(t *testing.T) {
	tests := []struct {
		name  string
		fault *Fault
		want  string
	}{
		{"a code alone", New(Missing, "zone-missing"), "zone-missing"},
		{"with a text", New(Invalid, "mix-sum").With("sum", "99.5"), "mix-sum sum=99.5"},
		{"with numbers in order", New(TooMuch, "count-range").WithInt("got", -1).WithInt("max", 500), "count-range got=-1 max=500"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.fault.Error(); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestWithLeavesTheFirstAsItWas(t *testing.T) {
	base := New(Invalid, "number-range")
	for n := range int64(5) {
		one, other := base.WithInt("got", 1), base.WithInt("got", 2)
		want := append([]Arg(nil), base.Args...)
		if int64(len(base.Args)) != n {
			t.Errorf("got %v, want %d arguments", base.Args, n)
		}
		if want := append(want, Arg{"got", "1"}); !reflect.DeepEqual(one.Args, want) || one.Kind != Invalid || one.Code != "number-range" {
			t.Errorf("got %+v, want args %v", one, want)
		}
		if want := append(want, Arg{"got", "2"}); !reflect.DeepEqual(other.Args, want) {
			t.Errorf("got %+v, want args %v", other, want)
		}
		base = base.With("field", "area")
	}
}

func TestOfAndIs(t *testing.T) {
	denied := New(Denied, "reads-only")
	tests := []struct {
		name string
		err  error
		want *Fault
	}{
		{"nothing", nil, nil},
		{"a fault", denied, denied},
		{"a fault inside", fmt.Errorf("record: %w", denied), denied},
		{"one of two", errors.Join(errors.New("x"), denied), denied},
		{"another error", errors.New("reads-only"), nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Of(tt.err); got != tt.want {
				t.Errorf("got %v, want %v", got, tt.want)
			}
			if got := Is(tt.err, "reads-only"); got != (tt.want != nil) {
				t.Errorf("is: got %v, want %v", got, tt.want != nil)
			}
			if Is(tt.err, "other") {
				t.Errorf("is another code")
			}
		})
	}
}
