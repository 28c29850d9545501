package event

import "sort"

// Sort puts a list in order; what is equal stays as it was. The library's own
// is compiled anew for each type, 20 kB on a phone; this one is compiled once,
// and is for lists of at most some hundreds.
func Sort[T any](list []T, compare func(a, b *T) int) { sort.Stable(sorting[T]{list, compare}) }

type sorting[T any] struct {
	list    []T
	compare func(a, b *T) int
}

func (s sorting[T]) Len() int           { return len(s.list) }
func (s sorting[T]) Less(i, j int) bool { return s.compare(&s.list[i], &s.list[j]) < 0 }
func (s sorting[T]) Swap(i, j int)      { s.list[i], s.list[j] = s.list[j], s.list[i] }
