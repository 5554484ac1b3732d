package outdir

import (
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// Folders beside the target, for as long as a run takes: the new output while
// it is written, and the old one on its way out.
const (
	newPrefix = ".eke-new-"
	oldPrefix = ".eke-old-"
)

// beside is the start of the name of a folder beside the target.
func beside(target, prefix string) string {
	h := fnv.New32a()
	h.Write([]byte(filepath.Base(target)))
	return filepath.Join(filepath.Dir(target), fmt.Sprintf("%s%08x-", prefix, h.Sum32()))
}

// unlocked stands for a lock where there is none to be had.
type unlocked struct{}

func (unlocked) Close() error { return nil }

// makeLocked makes a new folder beside the target and locks it.
func makeLocked(target string) (string, io.Closer, error) {
	for {
		dir := fmt.Sprintf("%s%08x", beside(target, newPrefix), rand.Uint32())
		if err := os.Mkdir(dir, 0o777); errors.Is(err, fs.ErrExist) {
			continue
		} else if err != nil {
			return "", nil, err
		}
		lock, ok, err := lockDir(dir)
		if err != nil {
			return dir, unlocked{}, nil // nobody else can lock it either
		}
		if ok {
			return dir, lock, nil
		}
	}
}

// clearStale removes what killed runs to the same target left behind: folders
// that no run has locked. An old output that was on its way out comes back if
// nothing has taken its place.
func clearStale(target string) error {
	if !canLock {
		return nil
	}
	for _, prefix := range []string{newPrefix, oldPrefix} {
		left, err := filepath.Glob(quoteGlob(beside(target, prefix)) + "*")
		if err != nil {
			return err
		}
		for _, dir := range left {
			if err := clearOne(dir, target, prefix == oldPrefix); err != nil {
				return err
			}
		}
	}
	return nil
}

func clearOne(dir, target string, old bool) error {
	lock, ok, err := lockDir(dir)
	if err != nil || !ok {
		return nil // in use, or gone by now
	}
	defer lock.Close()
	if _, err := os.Lstat(target); old && errors.Is(err, fs.ErrNotExist) {
		return os.Rename(dir, target)
	}
	sums, err := readManifest(dir)
	if err != nil {
		return nil // not as eke leaves a folder: no business of ours
	}
	if len(sums) > 0 {
		if unknown, changed, err := foreign(dir, sums); err != nil || len(unknown)+len(changed) > 0 {
			return nil
		}
	}
	return os.RemoveAll(dir)
}

// quoteGlob makes a path a pattern that matches itself.
func quoteGlob(path string) string {
	var out []rune
	for _, r := range path {
		switch r {
		case '*', '?', '[', ']', '\\':
			if filepath.Separator != '\\' {
				out = append(out, '\\')
			}
		}
		out = append(out, r)
	}
	return string(out)
}
