// Package fault says what went wrong: a Kind that code acts on and a Code that
// words are looked up by. It is the only error type that a person ever reads,
// and it formats nothing itself: pwa/words owns every sentence.
package fault

import (
	"errors"
	"strconv"
)

// Kind is what code may do about a fault.
type Kind uint8

// The kinds, from the caller's side.
const (
	Invalid     Kind = iota + 1 // the input breaks a rule of its own
	Missing                     // the input names something that is not there
	Conflict                    // the input contradicts what is already kept
	Denied                      // this caller may not do this
	TooMuch                     // a limit was passed
	Damaged                     // bytes that do not decode or do not link
	Unavailable                 // not now: storage, network, shutting down
)

// Code names one sentence in pwa/words, as "fault.<code>".
type Code string

// Arg is a value that the sentence quotes.
type Arg struct{ Name, Value string }

// Fault is an error with words. Args are in the order of the sentence.
type Fault struct {
	Kind Kind
	Code Code
	Args []Arg
}

// New returns a fault without arguments.
func New(kind Kind, code Code) *Fault { return &Fault{Kind: kind, Code: code} }

// With returns a copy of f that also quotes value under name.
func (f *Fault) With(name, value string) *Fault {
	args := append(append([]Arg(nil), f.Args...), Arg{name, value})
	return &Fault{Kind: f.Kind, Code: f.Code, Args: args}
}

// WithInt is With for a whole number.
func (f *Fault) WithInt(name string, value int64) *Fault {
	return f.With(name, strconv.FormatInt(value, 10))
}

// Error is for logs: the code and its arguments, never a sentence.
func (f *Fault) Error() string {
	s := string(f.Code)
	for _, a := range f.Args {
		s += " " + a.Name + "=" + a.Value
	}
	return s
}

// Of returns the fault inside err, or nil when there is none.
func Of(err error) *Fault {
	var f *Fault
	if errors.As(err, &f) {
		return f
	}
	return nil
}

// Is says whether err carries a fault with this code.
func Is(err error, code Code) bool {
	f := Of(err)
	return f != nil && f.Code == code
}
