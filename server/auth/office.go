package auth

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rootledger/shared/fault"
)

// officeFile holds the office token, readable by the server's user only.
const officeFile = "office.token"

// OfficeToken returns the office token of a data directory, making one on the
// first start.
func OfficeToken(dir string) (string, error) {
	token, err := ReadOfficeToken(dir)
	if !errors.Is(err, fs.ErrNotExist) {
		return token, err
	}
	var raw [20]byte
	rand.Read(raw[:])
	token = hex.EncodeToString(raw[:])
	if err := os.WriteFile(filepath.Join(dir, officeFile), []byte(token+"\n"), 0o600); err != nil {
		return "", fmt.Errorf("auth: office token: %w", err)
	}
	return token, nil
}

// ReadOfficeToken reads the token of a running server's data directory.
func ReadOfficeToken(dir string) (string, error) {
	text, err := os.ReadFile(filepath.Join(dir, officeFile))
	if err != nil {
		return "", fmt.Errorf("auth: office token: %w", err)
	}
	return strings.TrimSpace(string(text)), nil
}

// Office says whether a token is this data directory's office token.
func (a *Auth) Office(token string) error {
	if subtle.ConstantTimeCompare([]byte(token), []byte(a.office)) != 1 {
		return fault.New(fault.Denied, "office-token")
	}
	return nil
}
