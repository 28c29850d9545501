package lan

import (
	"fmt"
	"testing"
)

// Whatever this machine has: phones can use every address, IPv4 first.
func TestAddresses(t *testing.T) {
	all, err := Addresses()
	if err != nil {
		t.Fatal(err)
	}
	for i, ip := range all {
		if ip.IsLoopback() || ip.IsLinkLocalUnicast() || ip.IsUnspecified() || ip.IsMulticast() || ip.Is4In6() {
			t.Errorf("%s is no address for phones", ip)
		}
		if i > 0 && (ip.Is4() && !all[i-1].Is4() || ip.Is4() == all[i-1].Is4() && ip.Less(all[i-1])) {
			t.Errorf("%s stands behind %s", ip, all[i-1])
		}
	}
}

// Phones are told what they can reach, and nothing when they can reach nothing.
func TestBases(t *testing.T) {
	for addr, want := range map[string]string{
		"192.0.2.10:8080": "[http://192.0.2.10:8080]", "127.0.0.1:8080": "[]", "[::1]:8080": "[]",
		"[2001:db8::1]:80": "[http://[2001:db8::1]:80]", "server.example:8080": "[http://server.example:8080]",
	} {
		if got, err := Bases(addr); err != nil || fmt.Sprint(got) != want {
			t.Errorf("%s: %v %v, want %s", addr, got, err, want)
		}
	}
	all, err := Addresses()
	if err != nil {
		t.Fatal(err)
	}
	for _, any := range []string{"0.0.0.0:8080", "[::]:8080"} {
		if got, err := Bases(any); err != nil || len(got) != len(all) {
			t.Errorf("%s: %v %v, want one for each of %v", any, got, err, all)
		}
	}
	if _, err := Bases("8080"); err == nil {
		t.Error("an address without a port is taken")
	}
}
