package outdir

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Add adds one file to what an earlier run wrote at target, or replaces it,
// whole or not at all. Name is a slash-separated path inside the folder.
func Add(target, name string, write func(io.Writer) error) (err error) {
	target, err = filepath.Abs(target)
	if err != nil {
		return err
	}
	d := &Dir{target: target, sums: map[string]string{}}
	if err := d.start(); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.Discard()) }()
	if err := d.Write(name, write); err != nil {
		return err
	}
	turn, err := takeTurn(filepath.Dir(target))
	if err != nil {
		return err
	}
	defer turn.Close()
	full, err := replaceable(target)
	if err != nil {
		return err
	}
	if !full {
		return fmt.Errorf("%s is no output of eke's", target)
	}
	sums, err := readManifest(target)
	if err != nil {
		return err
	}
	// A file that is on the list and not there does no harm, one that is there
	// and not on the list does: so the list comes before the file.
	sums[name] = d.sums[name]
	to := filepath.Join(target, filepath.FromSlash(name))
	if err := os.Remove(to); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := writeManifest(d.temp, sums); err != nil {
		return err
	}
	if err := os.Rename(filepath.Join(d.temp, manifest), filepath.Join(target, manifest)); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return err
	}
	return os.Rename(d.path(name), to)
}
