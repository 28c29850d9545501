package auth

import (
	"testing"

	"rootledger/shared/event"
)

func enrolled(t *testing.T) (*Auth, Grant, func(phone event.PhoneID, replica event.ReplicaID, secret string) (Grant, error)) {
	t.Helper()
	a, _, row := opened(t)
	grant, err := a.Enrol(bounded(t), row, testPhone, testReplica, RoleOffice)
	if err != nil {
		t.Fatalf("enrol: %v", err)
	}
	return a, grant, func(phone event.PhoneID, replica event.ReplicaID, secret string) (Grant, error) {
		return a.Renew(bounded(t), row, phone, replica, secret)
	}
}

func TestEnrolGivesATokenAndASecret(t *testing.T) {
	a, grant, _ := enrolled(t)
	same(t, "length of the secret", len(grant.Secret), 64)
	claims, err := a.Check(grant.Token)
	if err != nil {
		t.Fatalf("check: %v", err)
	}
	same(t, "replica", claims.Replica, testReplica)
	same(t, "session", claims.Session, testSession)
	same(t, "role", claims.Role, RoleOffice)
}

func TestReplicaIsEnrolledOnce(t *testing.T) {
	a, _, row := opened(t)
	first, err := a.Enrol(bounded(t), row, testPhone, testReplica, RolePhone)
	if err != nil {
		t.Fatal(err)
	}
	_, err = a.Enrol(bounded(t), row, event.PhoneID{2}, testReplica, RolePhone)
	wantCode(t, "by another phone", err, "replica-taken")
	_, err = a.Enrol(bounded(t), row, testPhone, testReplica, RolePhone)
	wantCode(t, "with a new secret", err, "replica-taken")
	if _, err := a.Renew(bounded(t), row, testPhone, testReplica, first.Secret); err != nil {
		t.Errorf("the first secret: got %v, want it still good", err)
	}
}

func TestRenew(t *testing.T) {
	a, grant, renew := enrolled(t)
	for name, replica := range map[string]event.ReplicaID{"the same replica": testReplica, "a new replica": {9}} {
		fresh, err := renew(testPhone, replica, grant.Secret)
		if err != nil {
			t.Fatalf("%s: got %v, want a token", name, err)
		}
		same(t, name+": secret", fresh.Secret, grant.Secret)
		claims, err := a.Check(fresh.Token)
		if err != nil {
			t.Fatalf("%s: check: %v", name, err)
		}
		same(t, name+": replica", claims.Replica, replica)
		same(t, name+": role", claims.Role, RoleOffice)
	}
}

func TestRenewIsRefused(t *testing.T) {
	_, grant, renew := enrolled(t)
	tests := []struct {
		name   string
		phone  event.PhoneID
		secret string
	}{
		{"a wrong secret", testPhone, grant.Secret[:63] + "x"},
		{"no secret", testPhone, ""},
		{"the secret of another phone", event.PhoneID{2}, grant.Secret},
		{"the secret with more", testPhone, grant.Secret + "0"},
	}
	for _, test := range tests {
		_, err := renew(test.phone, testReplica, test.secret)
		wantCode(t, test.name, err, "secret-refused")
	}
}

func TestRenewForAReplicaOfAnotherPhone(t *testing.T) {
	a, _, row := opened(t)
	if _, err := a.Enrol(bounded(t), row, testPhone, testReplica, RolePhone); err != nil {
		t.Fatal(err)
	}
	second, err := a.Enrol(bounded(t), row, event.PhoneID{2}, event.ReplicaID{2}, RolePhone)
	if err != nil {
		t.Fatal(err)
	}
	_, err = a.Renew(bounded(t), row, event.PhoneID{2}, testReplica, second.Secret)
	wantCode(t, "renew", err, "replica-taken")
}
