package simulation

// shortenMost is how many shorter scripts are tried for one violation.
const shortenMost = 400

// Shorten plays a script that breaks a promise with fewer and fewer actions, as
// long as the same promise is broken, and returns the shortest day it found.
func Shorten(s Script) Result {
	worst := Play(s)
	if worst.Violation == nil {
		return worst
	}
	tries := 0
	for size := (len(s.Actions) + 1) / 2; size > 0 && tries < shortenMost; {
		shorter := false
		for at := 0; at < len(s.Actions) && tries < shortenMost; tries++ {
			try := s
			try.Actions = append(append([]Action(nil), s.Actions[:at]...), s.Actions[min(at+size, len(s.Actions)):]...)
			if r := Play(try); r.Violation != nil && r.Violation.Oracle == worst.Violation.Oracle {
				s, worst, shorter = try, r, true
			} else {
				at += size
			}
		}
		if !shorter || size > len(s.Actions) {
			size /= 2
		}
	}
	return worst
}
