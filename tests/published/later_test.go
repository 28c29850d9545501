package published

// later are the checks that no test claims yet, and why. Whoever claims one
// takes it off this list.
var later = map[string]string{

	// screens
	"legible": "no test measures letters yet",
}
