// Package syncengine keeps one replica of one session: it records what happens
// here, receives what happened elsewhere, and says what a peer lacks. It is a
// step machine without clock, disk, network, goroutine or chance inside; those
// come in as arguments, and hosts around it carry out what it decides. A phone
// keeps, then shows, then sends; a server stores, then tells.
//
// The same set of events gives the same View in any order, with any
// duplicates, on a server and, compiled to WebAssembly, on a phone.
package syncengine
