//go:build !unix

package bus

import (
	"errors"
	"os"
)

// lockDir refuses: there is no lock here that falls with the process.
func lockDir(string) (*os.File, error) {
	return nil, errors.New("a state folder cannot be locked on this system; use a bus outside (--bus)")
}
