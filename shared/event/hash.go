//go:build !js

package event

import "crypto/sha256"

// hashOf is the SHA-256 of a body.
func hashOf(body []byte) Hash { return sha256.Sum256(body) }
