package outdir

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
)

// moveTo puts temp where there is nothing, or an empty folder.
func moveTo(temp, target string) error {
	if err := os.Remove(target); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return os.Rename(temp, target)
}

// swapInTwo is for file systems that cannot exchange two folders in one step:
// the old output steps aside, the new one takes its place, and where that
// fails the old one comes back. After a kill between the two the next run
// brings it back.
func swapInTwo(temp, target string) (old string, err error) {
	old = fmt.Sprintf("%s%08x", beside(target, oldPrefix), rand.Uint32())
	if err := os.Rename(target, old); err != nil {
		return "", err
	}
	if err := os.Rename(temp, target); err != nil {
		return "", errors.Join(err, os.Rename(old, target))
	}
	return old, nil
}
