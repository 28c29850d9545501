package auth

import (
	"encoding/base64"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"rootledger/shared/event"
)

func issued(t *testing.T, a *Auth) string {
	t.Helper()
	token, _, err := a.Issue(testSession, testReplica, RolePhone)
	if err != nil {
		t.Fatalf("issue: %v", err)
	}
	return token
}

func TestTokenSaysWhoseItIs(t *testing.T) {
	a, w, _ := opened(t)
	for _, role := range []Role{RolePhone, RoleOffice} {
		token, expires, err := a.Issue(testSession, testReplica, role)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "expires", expires, w.time().Add(TokenLasts))
		claims, err := a.Check(token)
		if err != nil {
			t.Fatalf("check: %v", err)
		}
		same(t, "session", claims.Session, testSession)
		same(t, "replica", claims.Replica, testReplica)
		same(t, "role", claims.Role, role)
	}
}

func TestTokenOfAnotherDatabase(t *testing.T) {
	a, _, _ := opened(t)
	other, _, _ := opened(t)
	_, err := a.Check(issued(t, other))
	wantCode(t, "a token of another database", err, "token-refused")
}

func TestTokenLasts(t *testing.T) {
	tests := []struct {
		name string
		pass time.Duration
		good bool
	}{
		{"at once", 0, true},
		{"a second before its end", TokenLasts - time.Second, true},
		{"within the minute that clocks may differ", TokenLasts + 59*time.Second, true},
		{"after that", TokenLasts + 61*time.Second, false},
		{"a day later", 24 * time.Hour, false},
		{"made by a clock 50 s ahead", -50 * time.Second, true},
		{"made in the future", -61 * time.Second, false},
		{"made a day ahead", -24 * time.Hour, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a, w, _ := opened(t)
			token := issued(t, a)
			w.pass(test.pass)
			if _, err := a.Check(token); test.good && err != nil {
				t.Errorf("check: got %v, want it good", err)
			} else if !test.good {
				wantCode(t, "check", err, "token-refused")
			}
		})
	}
}

// changed is a token whose claims were changed and whose signature was not.
func changed(t *testing.T, token string, change func(claims map[string]any)) string {
	t.Helper()
	parts := strings.Split(token, ".")
	text, err := base64.RawURLEncoding.DecodeString(parts[1])
	if err != nil {
		t.Fatal(err)
	}
	var claims map[string]any
	if err := json.Unmarshal(text, &claims); err != nil {
		t.Fatal(err)
	}
	change(claims)
	if text, err = json.Marshal(claims); err != nil {
		t.Fatal(err)
	}
	parts[1] = base64.RawURLEncoding.EncodeToString(text)
	return strings.Join(parts, ".")
}

func TestChangedTokens(t *testing.T) {
	a, _, _ := opened(t)
	token := issued(t, a)
	if got := changed(t, token, func(map[string]any) {}); len(got) != len(token) {
		t.Fatalf("an unchanged token: got %d characters, want %d", len(got), len(token))
	}
	tests := []struct{ name, token string }{
		{"another replica", changed(t, token, func(c map[string]any) {
			c["replica"], c["sub"] = event.ReplicaID{2}.String(), event.ReplicaID{2}.String()
		})},
		{"another session", changed(t, token, func(c map[string]any) { c["session"] = event.SessionID{2}.String() })},
		{"another role", changed(t, token, func(c map[string]any) { c["role"] = RoleOffice })},
		{"another end", changed(t, token, func(c map[string]any) { c["exp"] = 1_900_000_000 })},
		{"the signature is cut", token[:len(token)-4]},
		{"no signature", token[:strings.LastIndex(token, ".")+1]},
		{"two parts", token[:strings.LastIndex(token, ".")]},
		{"empty", ""},
		{"not a token", "hello"},
		{"long", strings.Repeat("a.", 4000)},
	}
	for _, test := range tests {
		_, err := a.Check(test.token)
		wantCode(t, test.name, err, "token-refused")
	}
}

// good is what a token has to say; tests change one thing.
func good(w *watch) jwt.MapClaims {
	return jwt.MapClaims{"replica": testReplica.String(), "session": testSession.String(), "role": "phone",
		"sub": testReplica.String(), "iss": issuer, "aud": []string{audience},
		"iat": w.time().Unix(), "exp": w.time().Add(time.Minute).Unix()}
}

func TestTokensSignedWithTheRightKey(t *testing.T) {
	a, w, _ := opened(t)
	tests := []struct {
		name   string
		change func(c jwt.MapClaims)
		good   bool
	}{
		{"nothing changed", func(jwt.MapClaims) {}, true},
		{"no end", func(c jwt.MapClaims) { delete(c, "exp") }, false},
		{"an end of another type", func(c jwt.MapClaims) { c["exp"] = "never" }, false},
		{"another issuer", func(c jwt.MapClaims) { c["iss"] = "somebody" }, false},
		{"no issuer", func(c jwt.MapClaims) { delete(c, "iss") }, false},
		{"another audience", func(c jwt.MapClaims) { c["aud"] = []string{"somebody"} }, false},
		{"no audience", func(c jwt.MapClaims) { delete(c, "aud") }, false},
		{"not before tomorrow", func(c jwt.MapClaims) { c["nbf"] = w.time().Add(24 * time.Hour).Unix() }, false},
		{"the subject is another replica", func(c jwt.MapClaims) { c["sub"] = event.ReplicaID{2}.String() }, false},
		{"no subject", func(c jwt.MapClaims) { delete(c, "sub") }, false},
		{"no replica", func(c jwt.MapClaims) { delete(c, "replica") }, false},
		{"a short replica", func(c jwt.MapClaims) { c["replica"], c["sub"] = "01", "01" }, false},
		{"a replica that is no id", func(c jwt.MapClaims) { c["replica"] = 5 }, false},
		{"a session that is no id", func(c jwt.MapClaims) { c["session"] = "room A" }, false},
	}
	for _, test := range tests {
		claims := good(w)
		test.change(claims)
		token, err := jwt.NewWithClaims(jwt.SigningMethodHS256, claims).SignedString(a.key)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.Check(token); test.good && err != nil {
			t.Errorf("%s: got %v, want it good", test.name, err)
		} else if !test.good {
			wantCode(t, test.name, err, "token-refused")
		}
	}
}

func TestOnlyOneMethod(t *testing.T) {
	a, w, _ := opened(t)
	tests := []struct {
		name   string
		method jwt.SigningMethod
		key    any
	}{
		{"none", jwt.SigningMethodNone, jwt.UnsafeAllowNoneSignatureType},
		{"HS384 with the right key", jwt.SigningMethodHS384, a.key},
		{"HS512 with the right key", jwt.SigningMethodHS512, a.key},
		{"HS256 with another key", jwt.SigningMethodHS256, []byte(strings.Repeat("x", 32))},
		{"HS256 with an empty key", jwt.SigningMethodHS256, []byte{}},
	}
	for _, test := range tests {
		token, err := jwt.NewWithClaims(test.method, good(w)).SignedString(test.key)
		if err != nil {
			t.Fatal(err)
		}
		_, err = a.Check(token)
		wantCode(t, test.name, err, "token-refused")
	}
}
