// Package lan finds the addresses under which phones in the room reach this
// server.
package lan

import (
	"fmt"
	"net"
	"net/netip"
	"slices"
)

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
