package auth

import (
	"crypto/rand"
	"crypto/subtle"
	"strings"
	"sync"
	"time"

	"rootledger/shared/event"
	"rootledger/shared/fault"
)

const (
	codeLetters = "23456789ABCDEFGHJKMNPQRSTUVWXYZ" // 31: nothing that reads like another
	codeLength  = 8
	codeRenew   = 5 * time.Minute
	codeLasts   = 10 * time.Minute
	codePhones  = 40 // phones that one code lets in: a full room twice over
)

// Codes is the join codes of every session, kept in memory: a restart shows
// new ones. It is safe for use by several goroutines.
type Codes struct {
	clock func() time.Time
	mu    sync.Mutex
	codes map[event.SessionID][]*code // newest last, at most two that still count
}

type code struct {
	text   string
	made   time.Time
	phones map[event.PhoneID]bool
}

// NewCodes returns no codes yet.
func NewCodes(clock func() time.Time) *Codes {
	return &Codes{clock: clock, codes: make(map[event.SessionID][]*code)}
}

// Current is the code that a wall shows now, renewed every 5 minutes, and when
// it stops to count.
func (c *Codes) Current(session event.SessionID) (text string, until time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.clock()
	codes := c.alive(session, now)
	if len(codes) == 0 || now.Sub(codes[len(codes)-1].made) >= codeRenew {
		codes = append(codes, &code{newCode(), now, make(map[event.PhoneID]bool)})
		c.codes[session] = codes
	}
	newest := codes[len(codes)-1]
	return newest.text, newest.made.Add(codeLasts)
}

// Use lets a phone in with a code and says into which session. The same phone
// may use a code again.
func (c *Codes) Use(text string, phone event.PhoneID) (event.SessionID, error) {
	text = strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(text))
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.clock()
	for session := range c.codes {
		for _, one := range c.alive(session, now) {
			if subtle.ConstantTimeCompare([]byte(one.text), []byte(text)) != 1 {
				continue
			}
			if !one.phones[phone] && len(one.phones) >= codePhones {
				return event.SessionID{}, fault.New(fault.TooMuch, "code-full").WithInt("max", codePhones)
			}
			one.phones[phone] = true
			return session, nil
		}
	}
	return event.SessionID{}, fault.New(fault.Denied, "code-refused")
}

// alive drops the codes of a session that have run out.
func (c *Codes) alive(session event.SessionID, now time.Time) []*code {
	var out []*code
	for _, one := range c.codes[session] {
		if now.Sub(one.made) < codeLasts {
			out = append(out, one)
		}
	}
	if len(out) == 0 {
		delete(c.codes, session)
	} else {
		c.codes[session] = out
	}
	return out
}

// newCode draws letters evenly: bytes that would favour some are drawn again.
func newCode() string {
	const even = 256 - 256%len(codeLetters)
	out := make([]byte, 0, codeLength)
	for len(out) < codeLength {
		var b [1]byte
		rand.Read(b[:])
		if int(b[0]) < even {
			out = append(out, codeLetters[int(b[0])%len(codeLetters)])
		}
	}
	return string(out)
}
