package outdir

import "golang.org/x/sys/unix"

// swap puts temp in the place of target, in one step where the file system
// can, and says where what was there is now.
func swap(temp, target string) (old string, err error) {
	if unix.Renameat2(unix.AT_FDCWD, temp, unix.AT_FDCWD, target, unix.RENAME_EXCHANGE) == nil {
		return temp, nil
	}
	return swapInTwo(temp, target)
}
