package outdir

import (
	"errors"
	"io/fs"
	"os"
)

// swapInTwo is for file systems that cannot exchange two folders in one step:
// the old output steps aside, the new one takes its place, and where that
// fails the old one comes back.
func swapInTwo(temp, target string) error {
	aside := temp + "-old"
	if err := os.Rename(target, aside); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Rename(temp, target); err != nil {
		return errors.Join(err, os.Rename(aside, target))
	}
	return os.RemoveAll(aside)
}
