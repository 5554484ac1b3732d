//go:build unix

package outdir

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

const canLock = true

// lockDir locks a folder until the lock is closed or the program ends. It is
// not ok when another run has it, or has removed it meanwhile. A file system
// without locks is an error.
func lockDir(dir string) (lock io.Closer, ok bool, err error) {
	f, err := os.Open(dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		if errors.Is(err, unix.EWOULDBLOCK) {
			err = nil
		}
		return nil, false, errors.Join(err, f.Close())
	}
	mine, err := f.Stat()
	if err != nil {
		return nil, false, errors.Join(err, f.Close())
	}
	if now, err := os.Lstat(dir); err != nil || !os.SameFile(mine, now) {
		return nil, false, f.Close()
	}
	return f, true, nil
}

// takeTurn waits until no other run looks at or replaces an output in that
// folder.
func takeTurn(parent string) (io.Closer, error) {
	const patience = 30 * time.Second
	for end := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		f, err := os.Open(parent)
		if err != nil {
			return nil, err
		}
		err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		if !errors.Is(err, unix.EWOULDBLOCK) {
			return f, nil // ours, or a file system without locks
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
		if time.Now().After(end) {
			return nil, fmt.Errorf("%s is locked by another program; try again, or choose another folder", parent)
		}
	}
}
