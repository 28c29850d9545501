// Package lan finds the addresses under which phones in the room reach this
// server.
package lan

import (
	"fmt"
	"net"
	"net/netip"
	"slices"
)

// Bases are the addresses that pages for the room begin with, of a server that
// listens on addr ("host:port"), the best first: all of this machine's, or the
// one that it listens on. Empty when no other machine reaches it.
func Bases(addr string) ([]string, error) {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("lan: %w", err)
	}
	ip, err := netip.ParseAddr(host)
	switch {
	case err != nil || !ip.IsUnspecified() && !ip.IsLoopback():
		return []string{base(host, port)}, nil
	case ip.IsLoopback():
		return nil, nil
	}
	all, err := Addresses()
	if err != nil {
		return nil, err
	}
	var out []string
	for _, ip := range all {
		out = append(out, base(ip.String(), port))
	}
	return out, nil
}

func base(host, port string) string { return "http://" + net.JoinHostPort(host, port) }

// Addresses lists this machine's own addresses that phones may use, IPv4
// first, without loopback and link-local ones.
func Addresses() ([]netip.Addr, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, fmt.Errorf("lan: %w", err)
	}
	var out []netip.Addr
	for _, a := range all {
		prefix, err := netip.ParsePrefix(a.String())
		if err != nil {
			continue
		}
		if ip := prefix.Addr().Unmap(); ip.IsGlobalUnicast() {
			out = append(out, ip)
		}
	}
	slices.SortFunc(out, func(a, b netip.Addr) int {
		if a.Is4() != b.Is4() {
			if a.Is4() {
				return -1
			}
			return 1
		}
		return a.Compare(b)
	})
	return out, nil
}
