package outdir

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// swap puts temp in the place of target in one step of the file system, and
// removes what was there.
func swap(temp, target string) error {
	err := unix.Renameat2(unix.AT_FDCWD, temp, unix.AT_FDCWD, target, unix.RENAME_EXCHANGE)
	switch {
	case err == nil:
		return os.RemoveAll(temp)
	case errors.Is(err, unix.ENOENT): // nothing there yet
		return os.Rename(temp, target)
	}
	return swapInTwo(temp, target)
}
