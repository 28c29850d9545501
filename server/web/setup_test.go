package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// slowTurn is a set-up of two steps as the office sends it, under a name and
// with a first step of so many ms.
func slowTurn(id int, name string, ms int) string {
	return fmt.Sprintf(`{"id":%d,"name":%q,"diameterUm":900,"edge":"sharp","waitMs":120,"motions":["rotation","oscillation"],
		"arcsDeg":[0,120],"rpm":[800,0],"powerPercent":[60,40],"stepsMs":[%d,150]}`, id, name, ms)
}

// setupsOf is the list that the office gets: names, in brackets when retired.
func (r *rig) setupsOf() string {
	r.t.Helper()
	answer, text := r.call(http.DefaultClient, request{"GET", "/api/setups", "", r.api.Office, ""})
	same(r.t, "status", answer.StatusCode, http.StatusOK)
	var rows []struct {
		ID, SavedMs, RetiredMs int64
		Name                   string
	}
	if err := json.Unmarshal([]byte(text), &rows); err != nil {
		r.t.Fatalf("%s: %v", text, err)
	}
	out := []string{}
	for _, row := range rows {
		if row.RetiredMs > 0 {
			row.Name = "(" + row.Name + ")"
		}
		if row.SavedMs == 0 {
			r.t.Errorf("%s was never saved", row.Name)
		}
		out = append(out, row.Name)
	}
	return strings.Join(out, ", ")
}

func TestSavedSetups(t *testing.T) {
	r := newRig(t)
	post := func(path, body string) string {
		t.Helper()
		answer, text := r.call(http.DefaultClient, request{"POST", path, body, r.api.Office, ""})
		same(t, path+": status", answer.StatusCode, http.StatusOK)
		return text
	}
	same(t, "at first", r.setupsOf(), "")
	post("/api/setups", slowTurn(0, "Slow turn", 200))
	text := post("/api/setups", slowTurn(0, "Short sweep", 90))
	var row map[string]any
	if err := json.Unmarshal([]byte(text), &row); err != nil {
		t.Fatal(err)
	}
	for field, want := range map[string]string{"id": "2", "name": "Short sweep", "diameterUm": "900", "edge": "sharp", "waitMs": "120",
		"motions": "[rotation oscillation]", "arcsDeg": "[0 120]", "rpm": "[800 0]", "powerPercent": "[60 40]", "stepsMs": "[90 150]", "retiredMs": "0"} {
		same(t, field, fmt.Sprint(row[field]), want)
	}
	same(t, "two", r.setupsOf(), "Short sweep, Slow turn")
	post("/api/setups", slowTurn(1, "Slower turn", 300))
	post("/api/setups/2/retired", "")
	same(t, "renamed and retired", r.setupsOf(), "Slower turn, (Short sweep)")
}

func TestRefusedSetups(t *testing.T) {
	r := newRig(t)
	office := r.api.Office
	if answer, text := r.call(http.DefaultClient, request{"POST", "/api/setups", slowTurn(0, "Slow turn", 200), office, ""}); answer.StatusCode != http.StatusOK {
		t.Fatal(text)
	}
	swap := func(old, with string) string { return strings.ReplaceAll(slowTurn(0, "Other", 200), old, with) }
	tests := []struct {
		name   string
		method string
		path   string
		body   string
		token  string
		status int
		code   string
	}{
		{"listing without the token", "GET", "/api/setups", "", "", 403, "office-token"},
		{"saving without the token", "POST", "/api/setups", slowTurn(0, "Other", 200), "", 403, "office-token"},
		{"retiring with a wrong token", "POST", "/api/setups/1/retired", "", "x", 403, "office-token"},
		{"bad JSON", "POST", "/api/setups", `{`, office, 400, "request-damaged"},
		{"a negative time", "POST", "/api/setups", slowTurn(0, "Other", -5), office, 400, "request-damaged"},
		{"a step of 0 ms", "POST", "/api/setups", slowTurn(0, "Other", 0), office, 400, "step-ms"},
		{"no name", "POST", "/api/setups", slowTurn(0, "", 200), office, 400, "text-length"},
		{"no steps", "POST", "/api/setups", `{"name":"Other","diameterUm":900}`, office, 400, "setup-steps"},
		{"a motion that nobody knows", "POST", "/api/setups", swap("rotation", "hovering"), office, 400, "motion-unknown"},
		{"an oscillation without an arc", "POST", "/api/setups", swap("[0,120]", "[0,0]"), office, 400, "step-arc"},
		{"more power than there is", "POST", "/api/setups", swap("[60,40]", "[60,140]"), office, 400, "step-power"},
		{"lists of several lengths", "POST", "/api/setups", swap("[60,40]", "[60]"), office, 400, "setup-uneven"},
		{"a punch of 9 mm", "POST", "/api/setups", swap("900", "9000"), office, 400, "number-range"},
		{"a name that is taken", "POST", "/api/setups", slowTurn(0, "slow turn", 200), office, 409, "saved-taken"},
		{"one that is not there", "POST", "/api/setups", slowTurn(7, "Other", 200), office, 404, "saved-missing"},
		{"retiring one that is not there", "POST", "/api/setups/7/retired", "", office, 404, "saved-missing"},
		{"retiring what is no number", "POST", "/api/setups/x/retired", "", office, 404, "saved-missing"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			answer, text := r.call(http.DefaultClient, request{test.method, test.path, test.body, test.token, ""})
			same(t, "status", answer.StatusCode, test.status)
			wantAnswer(t, text, test.code)
			same(t, "the list", r.setupsOf(), "Slow turn")
		})
	}
}
