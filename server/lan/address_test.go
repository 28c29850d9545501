package lan

import "testing"

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
