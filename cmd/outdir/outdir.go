// Package outdir writes a folder of files whole or not at all.
//
// The files go to a new folder beside the target, which then takes the
// target's place in one step: a full disk, a kill at any moment or a second
// run at the same time leaves the old output or the new one, never a mixture.
// A list of what was written, with a checksum each, stays in the folder; only
// a folder that holds nothing else is ever replaced.
//
// While it is written the new folder is locked. The kernel lifts the lock of a
// run that was killed, so the next run to the same target knows what to clear
// away and leaves a run that is still at work alone.
package outdir

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Dir is a folder being written. Nothing shows at its target before Commit.
type Dir struct {
	target string // absolute
	temp   string // the new folder, beside it
	lock   io.Closer
	made   []string // parents that were not there before, outermost first
	sums   map[string]string
	done   bool
}

// New starts a folder that is to appear at target. It is an error if target
// holds anything that an earlier run did not write.
func New(target string) (*Dir, error) {
	target, err := filepath.Abs(target)
	if err != nil {
		return nil, err
	}
	if err := outside(target); err != nil {
		return nil, err
	}
	d := &Dir{target: target, sums: map[string]string{}}
	if err := d.makeParents(); err != nil {
		return nil, err
	}
	if err := d.start(); err != nil {
		return nil, errors.Join(err, d.Discard())
	}
	return d, nil
}

// start checks the target and makes the new folder.
func (d *Dir) start() error {
	turn, err := takeTurn(filepath.Dir(d.target))
	if err != nil {
		return err
	}
	defer turn.Close()
	if err := clearStale(d.target); err != nil {
		return err
	}
	if _, err := replaceable(d.target); err != nil {
		return err
	}
	d.temp, d.lock, err = makeLocked(d.target)
	return err
}

// Write writes one file. Name is a slash-separated path inside the folder.
func (d *Dir) Write(name string, write func(io.Writer) error) error {
	if !filepath.IsLocal(filepath.FromSlash(name)) || !fs.ValidPath(name) || name == "." || name == manifest {
		return fmt.Errorf("%q is no name for a file in the output folder", name)
	}
	path := d.path(name)
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	sum := sha256.New()
	if err := write(io.MultiWriter(f, sum)); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	d.sums[name] = hex.EncodeToString(sum.Sum(nil))
	return nil
}

func (d *Dir) path(name string) string { return filepath.Join(d.temp, filepath.FromSlash(name)) }

// Commit puts the folder in its place and removes what was there.
func (d *Dir) Commit() error {
	if err := writeManifest(d.temp, d.sums); err != nil {
		return err
	}
	turn, err := takeTurn(filepath.Dir(d.target))
	if err != nil {
		return err
	}
	defer turn.Close()
	// Once more, in case something was put there meanwhile.
	full, err := replaceable(d.target)
	if err != nil {
		return err
	}
	old := ""
	if full {
		old, err = swap(d.temp, d.target)
	} else {
		err = moveTo(d.temp, d.target)
	}
	if err != nil {
		return err
	}
	d.done = true
	if old == "" {
		return d.lock.Close()
	}
	if err := os.RemoveAll(old); err != nil {
		return errors.Join(fmt.Errorf("%s is written, but what it replaces could not be removed: %w", d.target, err), d.lock.Close())
	}
	return d.lock.Close()
}

// Discard removes what was written and not put in its place. It is safe to
// defer: after Commit it does nothing.
func (d *Dir) Discard() error {
	if d.done {
		return nil
	}
	d.done = true
	var err error
	if d.temp != "" {
		err = errors.Join(os.RemoveAll(d.temp), d.lock.Close())
	}
	for i := len(d.made) - 1; i >= 0; i-- {
		if os.Remove(d.made[i]) != nil {
			break // someone else uses it by now
		}
	}
	return err
}

// makeParents makes the folder that the target is to lie in.
func (d *Dir) makeParents() error {
	var missing []string
	for dir := filepath.Dir(d.target); ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
			break // there, or MkdirAll will say what is wrong
		}
		missing = append([]string{dir}, missing...)
	}
	if err := os.MkdirAll(filepath.Dir(d.target), 0o777); err != nil {
		return err
	}
	d.made = missing
	return nil
}

// outside refuses the folder that eke runs in, and those that hold it:
// replacing it would leave the maker's shell in a folder that is gone.
func outside(target string) error {
	info, err := os.Stat(target)
	if err != nil {
		return nil // not there yet
	}
	here, err := os.Getwd()
	if err != nil {
		return nil
	}
	for dir := here; ; dir = filepath.Dir(dir) {
		if other, err := os.Stat(dir); err == nil && os.SameFile(info, other) {
			return fmt.Errorf("%s is the folder you are in, or holds it; name a new folder, such as %s", target, filepath.Join(here, "out"))
		}
		if dir == filepath.Dir(dir) {
			return nil
		}
	}
}
