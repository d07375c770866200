//go:build unix

package bus

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// lockDir keeps a second program out of the state folder: two servers in one
// store each take half of what is written. The lock falls with the process,
// however it ends.
func lockDir(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("the state folder cannot be locked: %w", err)
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		return nil, fmt.Errorf("the state folder %s is in use by another millrace; end that one, or give another folder", dir)
	}
	return f, nil
}
