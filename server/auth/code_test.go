package auth

import (
	"strings"
	"testing"
	"time"

	"rootledger/shared/event"
)

func used(c *Codes, text string, phone byte) error {
	_, err := c.Use(text, event.PhoneID{phone, 1})
	return err
}

func TestCodesAreReadable(t *testing.T) {
	c := NewCodes(newWatch().time)
	seen := map[string]bool{}
	letters := map[rune]bool{}
	for n := range 500 {
		code, _ := c.Current(event.SessionID{byte(n), byte(n >> 8), 1})
		same(t, "length", len(code), 8)
		for _, letter := range code {
			letters[letter] = true
			if strings.ContainsRune("01ILO", letter) || !strings.ContainsRune("23456789ABCDEFGHJKMNPQRSTUVWXYZ", letter) {
				t.Errorf("code %s: got letter %c", code, letter)
			}
		}
		if seen[code] {
			t.Errorf("code %s came twice", code)
		}
		seen[code] = true
	}
	same(t, "letters in use", len(letters), 31)
}

func TestCodeIsTypedAsPeopleType(t *testing.T) {
	c := NewCodes(newWatch().time)
	code, _ := c.Current(testSession)
	for name, typed := range map[string]string{
		"as shown": code, "in small letters": strings.ToLower(code), "with a dash": code[:4] + "-" + code[4:],
		"with spaces": " " + code[:4] + " " + code[4:] + " ", "letter by letter": strings.Join(strings.Split(code, ""), "-"),
	} {
		session, err := c.Use(typed, testPhone)
		if err != nil {
			t.Errorf("%s: got %v, want it let in", name, err)
		}
		same(t, name+": session", session, testSession)
	}
	for name, typed := range map[string]string{
		"nothing": "", "only dashes": "--------", "seven letters": code[:7], "nine letters": code + "A",
		"another": strings.Repeat("2", 8), "twice": code + code,
	} {
		wantCode(t, name, used(c, typed, 1), "code-refused")
	}
}

func TestCodeIsRenewedAndRunsOut(t *testing.T) {
	w := newWatch()
	c := NewCodes(w.time)
	begun := w.time()
	first, until := c.Current(testSession)
	same(t, "good until", until, begun.Add(10*time.Minute))
	w.pass(5*time.Minute - time.Millisecond)
	again, until := c.Current(testSession)
	same(t, "code before 5 min", again, first)
	same(t, "still good until", until, begun.Add(10*time.Minute))
	w.pass(time.Millisecond)
	second, until := c.Current(testSession)
	if second == first {
		t.Error("the code is the same after 5 min")
	}
	same(t, "the second is good until", until, begun.Add(15*time.Minute))
	w.pass(5*time.Minute - time.Millisecond) // 10 min less 1 ms
	for name, code := range map[string]string{"the first": first, "the second": second} {
		if err := used(c, code, 1); err != nil {
			t.Errorf("%s before 10 min: got %v, want it let in", name, err)
		}
	}
	w.pass(time.Millisecond)
	wantCode(t, "the first at 10 min", used(c, first, 1), "code-refused")
	if err := used(c, second, 1); err != nil {
		t.Errorf("the second at 10 min: got %v, want it let in", err)
	}
	w.pass(time.Hour)
	wantCode(t, "the second an hour later", used(c, second, 1), "code-refused")
	same(t, "codes remembered", len(c.codes), 0)
}

func TestCodesOfTwoSessions(t *testing.T) {
	c := NewCodes(newWatch().time)
	for n := byte(1); n <= 2; n++ {
		code, _ := c.Current(event.SessionID{n})
		session, err := c.Use(code, testPhone)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "session", session, event.SessionID{n})
	}
}

func TestCodeLetsFortyPhonesIn(t *testing.T) {
	w := newWatch()
	c := NewCodes(w.time)
	code, _ := c.Current(testSession)
	for n := range byte(40) {
		if err := used(c, code, n); err != nil {
			t.Fatalf("phone %d: got %v, want it let in", n+1, err)
		}
	}
	wantCode(t, "phone 41", used(c, code, 40), "code-full")
	if err := used(c, code, 39); err != nil {
		t.Errorf("phone 40 again: got %v, want it let in", err)
	}
	w.pass(5 * time.Minute)
	next, _ := c.Current(testSession)
	if err := used(c, next, 40); err != nil {
		t.Errorf("phone 41 with the next code: got %v, want it let in", err)
	}
}
