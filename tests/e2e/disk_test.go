package e2e

import (
	"net/http/httptest"
	"testing"

	"rootledger/shared/event"
	"rootledger/tests/e2e/rig"
)

// spoiled is an address of a server at which the worker's script begins with
// another one: a phone with a bad disk, say.
func spoiled(t *testing.T, base, script string) *httptest.Server {
	t.Helper()
	server, err := rig.Spoil(base, script)
	ok(t, err)
	t.Cleanup(server.CloseClientConnections)
	return server
}

// A phone whose disk refuses, from the start or when it is full, goes on
// counting, says so, and the room gets every count. Nothing says then that
// counts are safe.
func TestDiskRefuses(t *testing.T) {
	for name, script := range map[string]string{
		"no storage at all": rig.NoStorage,
		"full after a while": `{ const put = IDBObjectStore.prototype.put; let n = 0;
			IDBObjectStore.prototype.put = function (...a) {
				if (this.name === "counts" && ++n > 3) throw new DOMException("full", "QuotaExceededError");
				return put.apply(this, a);
			}; }`,
	} {
		t.Run(name, func(t *testing.T) {
			r := opened(t, 400)
			ok(t, r.Do(r.Office, &event.PassBegun{Mode: event.Each}))
			p := device(t)
			ok(t, p.Before(`navigator.storage.estimate = async () => ({ quota: 1, usage: 1 });`))
			ok(t, r.JoinPage(p, spoiled(t, r.URL(), script).URL, "Ash", "extraction"))
			taps(t, p, bigPad, 6)
			says(t, p, tally, "6")
			ok(t, p.Until(`document.querySelector(".truth").classList.contains("asks") && document.querySelector(".truth").innerText.includes("in memory only")`))
			ok(t, p.Do(said("notice.hand")))
			ok(t, p.Do(said("page.close")))
			closed(t, p)
			notices(t, p, "") // the next one would say that all counts are safe
			punched, _, _ := settled(t, r, exactly(6, 0, 0))
			if punched != 6 {
				t.Errorf("the room has %d attempts, want 6", punched)
			}
		})
	}
}

// A phone whose disk was full and has room again keeps what it had in memory.
func TestDiskHasRoomAgain(t *testing.T) {
	r := opened(t, 400)
	script := `{ const put = IDBObjectStore.prototype.put; let n = 0;
		IDBObjectStore.prototype.put = function (...a) {
			if (this.name === "counts" && ++n > 3 && n < 8) throw new DOMException("full", "QuotaExceededError");
			return put.apply(this, a);
		}; }`
	p := joined(t, r, spoiled(t, r.URL(), script).URL, "Cedar", "sorting")
	pad := ".four-up .pad:nth-child(1)"
	taps(t, p, pad, 12)
	says(t, p, truth, "all 12 in the room")
	ok(t, p.Reload())
	says(t, p, tally, "12")
	taps(t, p, pad, 3)
	says(t, p, truth, "all 15 in the room")
	_, sorted, _ := settled(t, r, exactly(0, 15, 0))
	if sorted != 15 {
		t.Errorf("the room has %d sorted, want 15", sorted)
	}
}
