//go:build unix

package web

import "syscall"

// FreeBytes is the room that is left on the disk of a folder, 0 when it can't be told.
func FreeBytes(dir string) uint64 {
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		return 0 // then nothing is kept that can be done without
	}
	return s.Bavail * uint64(s.Bsize)
}
