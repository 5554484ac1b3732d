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
	"path"
	"path/filepath"
	"strings"
)

// manifest is the list of what was written, path to checksum.
const manifest = ".eke-files.json"

// readManifest is the list in a folder, empty where there is none.
func readManifest(dir string) (map[string]string, error) {
	sums := map[string]string{}
	list, err := os.ReadFile(filepath.Join(dir, manifest))
	if errors.Is(err, fs.ErrNotExist) {
		return sums, nil
	}
	if err == nil {
		err = json.Unmarshal(list, &sums)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: the list of files in it cannot be read (%w); choose another folder", dir, err)
	}
	return sums, nil
}

// writeManifest writes the list, whole or not at all: a folder with a list is
// a finished one.
func writeManifest(dir string, sums map[string]string) error {
	list, err := json.MarshalIndent(sums, "", " ")
	if err != nil {
		return err
	}
	path := filepath.Join(dir, manifest)
	if err := os.WriteFile(path+".part", list, 0o666); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}

// replaceable reports, as an error, what keeps a folder from being replaced;
// full says that there is an earlier output to replace.
func replaceable(target string) (full bool, err error) {
	info, err := os.Lstat(target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case info.Mode()&fs.ModeSymlink != 0:
		return false, fmt.Errorf("%s is a link; name the folder itself", target)
	case !info.IsDir():
		return false, fmt.Errorf("%s is not a folder; choose another name for the output", target)
	}
	sums, err := readManifest(target)
	if err != nil {
		return false, err
	}
	unknown, changed, err := foreign(target, sums)
	if err != nil {
		return false, err
	}
	var why []string
	if len(unknown) > 0 {
		why = append(why, "files that eke did not write: "+list(unknown))
	}
	if len(changed) > 0 {
		why = append(why, "files that were changed since eke wrote them: "+list(changed))
	}
	if len(why) > 0 {
		return false, fmt.Errorf("%s holds %s; move them or choose another folder", target, strings.Join(why, ", and "))
	}
	return len(sums) > 0, nil
}

// foreign lists what is in a folder and not in its list, and what is not as
// it was written.
func foreign(dir string, sums map[string]string) (unknown, changed []string, err error) {
	folders := map[string]bool{".": true}
	for name := range sums {
		for f := path.Dir(name); !folders[f]; f = path.Dir(f) {
			folders[f] = true
		}
	}
	err = filepath.WalkDir(dir, func(at string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, at)
		if err != nil || name == manifest && len(sums) > 0 {
			return err
		}
		name = filepath.ToSlash(name)
		if e.IsDir() {
			if !folders[name] {
				unknown = append(unknown, name+"/")
				return fs.SkipDir
			}
			return nil
		}
		want, known := sums[name]
		if !known {
			unknown = append(unknown, name)
		} else if sum, err := checksum(at, e); err != nil {
			return err
		} else if sum != want {
			changed = append(changed, name)
		}
		return nil
	})
	return unknown, changed, err
}

// list names the first few.
func list(names []string) string {
	const most = 5
	if len(names) > most {
		names = append(names[:most:most], fmt.Sprintf("and %d more", len(names)-most))
	}
	return strings.Join(names, ", ")
}

// checksum is that of a regular file, and none for anything else.
func checksum(path string, e fs.DirEntry) (string, error) {
	if !e.Type().IsRegular() {
		return "", nil
	}
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
