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

// officeBytes is how many random bytes an office token is made of.
const officeBytes = 20

// OfficeToken returns the office token of a data directory, making one when
// there is none that is whole.
func OfficeToken(dir string) (string, error) {
	token, err := ReadOfficeToken(dir)
	if err == nil || !errors.Is(err, fs.ErrNotExist) && fault.Of(err) == nil {
		return token, err
	}
	var raw [officeBytes]byte
	rand.Read(raw[:])
	token = hex.EncodeToString(raw[:])
	if err := writeWhole(filepath.Join(dir, officeFile), token+"\n"); err != nil {
		return "", fmt.Errorf("%w: auth: office token: %w", fault.New(fault.Unavailable, "data-dir-unusable").With("dir", dir).With("cause", err.Error()), err)
	}
	return token, nil
}

// writeWhole writes a file that is there whole or not at all, whatever happens.
func writeWhole(path, text string) error {
	file, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".new-*") // mode 0600
	if err != nil {
		return err
	}
	_, err = file.WriteString(text)
	if err = errors.Join(err, file.Sync(), file.Close()); err == nil {
		err = os.Rename(file.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(file.Name()))
	}
	return syncDirectory(filepath.Dir(path))
}

// syncDirectory forces to the disk what a directory's files are called.
func syncDirectory(path string) error {
	dir, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

// ReadOfficeToken reads the token of a running server's data directory. One
// that is not whole is a fault.
func ReadOfficeToken(dir string) (string, error) {
	text, err := os.ReadFile(filepath.Join(dir, officeFile))
	if err != nil {
		return "", fmt.Errorf("auth: office token: %w", err)
	}
	token := strings.TrimSpace(string(text))
	if raw, err := hex.DecodeString(token); err != nil || len(raw) != officeBytes {
		return "", fault.New(fault.Damaged, "office-token-damaged").With("dir", dir)
	}
	return token, nil
}

// Office says whether a token is this data directory's office token.
func (a *Auth) Office(token string) error {
	if a.office == "" || subtle.ConstantTimeCompare([]byte(token), []byte(a.office)) != 1 {
		return fault.New(fault.Denied, "office-token")
	}
	return nil
}
