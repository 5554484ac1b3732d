// Package outdir writes a folder of files whole or not at all.
//
// The files go to a new folder beside the target, which then takes the
// target's place in one step: a full disk, a kill at any moment or a second
// run at the same time leaves the old output or the new one, never a mixture.
// A list of what was written, with a checksum each, stays in the folder; only
// a folder that holds nothing else is ever replaced.
package outdir

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// manifest is the list of what was written, path to checksum.
const manifest = ".eke-files.json"

// Dir is a folder being written. Nothing shows at its target before Commit.
type Dir struct {
	target, temp string
	sums         map[string]string
}

// New starts a folder that is to appear at target. It is an error if target
// holds anything that an earlier run did not write.
func New(target string) (*Dir, error) {
	target, err := filepath.Abs(target)
	if err != nil {
		return nil, err
	}
	if err := replaceable(target); err != nil {
		return nil, err
	}
	parent := filepath.Dir(target)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return nil, err
	}
	temp, err := os.MkdirTemp(parent, "."+filepath.Base(target)+".eke-new-")
	if err != nil {
		return nil, err
	}
	if err := os.Chmod(temp, 0o755); err != nil {
		return nil, errors.Join(err, os.RemoveAll(temp))
	}
	return &Dir{target: target, temp: temp, sums: map[string]string{}}, nil
}

// Write writes one file. Name is a slash-separated path inside the folder.
func (d *Dir) Write(name string, write func(io.Writer) error) error {
	if !fs.ValidPath(name) || name == manifest {
		return fmt.Errorf("%q is no name for a file in the output folder", name)
	}
	path := filepath.Join(d.temp, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
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

// Commit puts the folder in its place.
func (d *Dir) Commit() error {
	list, err := json.MarshalIndent(d.sums, "", " ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(d.temp, manifest), list, 0o644); err != nil {
		return err
	}
	// Once more, in case something was put there meanwhile.
	if err := replaceable(d.target); err != nil {
		return err
	}
	return swap(d.temp, d.target)
}

// Discard removes what was written; after Commit it removes nothing that
// matters. It is safe to defer.
func (d *Dir) Discard() error { return os.RemoveAll(d.temp) }

// replaceable reports, as an error, what keeps a folder from being replaced.
func replaceable(target string) error {
	info, err := os.Lstat(target)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return fmt.Errorf("%s is not a folder; choose another name for the output", target)
	}
	sums := map[string]string{}
	if list, err := os.ReadFile(filepath.Join(target, manifest)); err == nil {
		if err := json.Unmarshal(list, &sums); err != nil {
			return fmt.Errorf("%s: the list of files in it cannot be read (%v); choose another folder", target, err)
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var foreign []string
	err = filepath.WalkDir(target, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, err := filepath.Rel(target, path)
		if err != nil || name == manifest {
			return err
		}
		name = filepath.ToSlash(name)
		if sum, err := checksum(path); err != nil || sum != sums[name] {
			foreign = append(foreign, name)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if len(foreign) > 0 {
		sort.Strings(foreign)
		if len(foreign) > 5 {
			foreign = append(foreign[:5], fmt.Sprintf("and %d more", len(foreign)-5))
		}
		return fmt.Errorf("%s holds files that eke did not write, or that were changed since: %s; move them or choose another folder", target, strings.Join(foreign, ", "))
	}
	return nil
}

func checksum(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}
